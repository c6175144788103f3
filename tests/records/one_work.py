"""One long piece of work on the records, announced by a line before it and one after it; made to be killed in between.

Call: `one_work.py open RECORDS` brings an old file up to date; `one_work.py import RECORDS FILE` takes a file in.
"""

import os
import sys
from pathlib import Path

from assistant.records.journal import Journal
from assistant.records.transfer import take_in


def main(work: str, records: Path, file: Path | None = None) -> None:
    os.write(1, b"begun\n")
    with Journal.open(records) as journal:
        if work == "import" and file is not None:
            take_in(journal, file)
    os.write(1, b"done\n")


if __name__ == "__main__":
    main(sys.argv[1], *map(Path, sys.argv[2:]))
