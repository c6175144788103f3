"""One long piece of work on the records, announced by a line before it and one after it; made to be killed in between.

`open RECORDS` brings an old file up to date; `import RECORDS FILE` takes a file in.
"""

import os
from pathlib import Path

from assistant.records.journal import Journal
from assistant.records.transfer import take_in


def main(work: str, records: str, file: str = "") -> None:
    os.write(1, b"begun\n")
    with Journal.open(Path(records)) as journal:
        if work == "import":
            take_in(journal, Path(file))
    os.write(1, b"done\n")
