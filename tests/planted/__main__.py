"""Plants every mistake, one after the other, and says which the tests did not find: `python -m tests.planted [WORD...]`.

With words only those mistakes whose name holds one of them. It fails where a place has changed, or fewer than 95 % are found.
"""

import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.planted.planting import ALL, Moved, found

AT_ONCE = 2
LEAST = 0.95


def looked_for(name: str) -> tuple[str, str, float]:
    """A mistake, what became of it, and in how many seconds."""
    began = time.monotonic()
    with tempfile.TemporaryDirectory(prefix="planted") as folder:
        try:
            seen, _ = found(ALL[name][1], Path(folder))
            became = "found" if seen else "NOT FOUND"
        except (Moved, RuntimeError) as error:
            became = f"NOT PLANTED: {error}"
    return name, became, time.monotonic() - began


def main(words: list[str]) -> int:
    """Plant and look; 0 where enough was found and everything could be planted."""
    names = [name for name in ALL if not words or any(word in name for word in words)]
    seen = planted = 0
    with ThreadPoolExecutor(AT_ONCE) as pool:
        for name, became, took in pool.map(looked_for, names):
            seen += became == "found"
            planted += not became.startswith("NOT PLANTED")
            print(f"{took:6.1f} s  {name}: {became}", flush=True)
    rooms = sorted({ALL[name][0] for name in names})
    print(f"{seen} of {len(names)} mistakes found, in {len(rooms)} rooms ({', '.join(rooms)})")
    return 0 if planted == len(names) and seen >= LEAST * len(names) else 1


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
