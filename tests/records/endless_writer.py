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
from assistant.session.advance import advance, open_bench
from assistant.session.happenings import Note
from tests.records.sessions import TEXT, score_of


def main(records: str, pause: str = "0") -> None:
    journal = Journal.open(Path(records))
    found = journal.unfinished()
    if found is None:
        clock = SessionClock.begin()
        kept = journal.begin(clock, recipe=TEXT, title="Slipway panel", file="slipway.yaml", copies=3)
    else:
        kept, clock = journal.resume(found.number, SessionClock.resumed)
    bench = open_bench(score_of())
    for entry in kept.entries():
        bench = advance(bench, entry.happening, entry.at).bench
    for number in count(len(kept.entries()) + 1):
        at = clock.now()
        note = Note(f"{kept.session.number} {number}")
        bench = advance(bench, note, at).bench
        kept.append(at, note, bench)
        os.write(1, b"%d %d %d\n" % (kept.session.number, number, at))
        time.sleep(float(pause))


if __name__ == "__main__":
    main(*sys.argv[1:])
