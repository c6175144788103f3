"""Writes happenings into a session as fast as it can and says after each that it is kept; made to be killed.

Call: `endless_writer.py RECORDS [PAUSE]`, seconds between two happenings. It goes on with the unfinished session, or begins
one. Every line it prints is a promise: the happening with that number is on the disk.
"""

import os
import sys
import time
from itertools import count
from pathlib import Path

from assistant.devices.clock import SessionClock
from assistant.records.journal import Journal
from assistant.session.happenings import Note


def main(records: Path, pause: float) -> None:
    journal = Journal.open(records)
    found = journal.unfinished()
    if found is None:
        clock = SessionClock.begin()
        kept = journal.begin(clock, recipe="format: 1", title="Slipway panel", file="slipway.yaml", copies=2)
    else:
        kept, clock = journal.resume(found.number, SessionClock.resumed)
    for number in count(len(kept.entries()) + 1):
        at = clock.now()
        kept.append(at, Note(f"{kept.session.number} {number}"))
        os.write(1, b"%d %d %d\n" % (kept.session.number, number, at))
        time.sleep(pause)


if __name__ == "__main__":
    main(Path(sys.argv[1]), float(sys.argv[2]) if len(sys.argv) > 2 else 0)
