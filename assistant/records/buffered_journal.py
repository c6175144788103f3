"""A journal that never holds a printer up: it is written in a thread of its own, in order, each line stamped before.

A disk may take seconds for a flush, or take nothing. With sheets in the developer that is no reason to stop: all that
waits goes to the disk in one flush, what cannot be kept now is held in memory and tried again, and the face says plainly
that it is not being kept.
"""

import time
from collections import deque
from contextlib import suppress
from dataclasses import dataclass
from threading import Condition, Thread
from types import TracebackType

from assistant.records.faults import JournalFault
from assistant.records.session_journal import JournalLine, SessionJournal
from assistant.session.bench import Bench
from assistant.session.happenings import Happening

PATIENCE = 0.05
"""Seconds that a happening waits for its line: a disk that is well takes some hundredths, and no hand is that exact."""
SLOW = 5.0
"""Seconds after which a line that is not yet on the disk is said: a disk that woke up has taken it by then."""


@dataclass(frozen=True)
class _Unwritten:
    """A line, and since when it waits."""

    line: JournalLine
    since: float


class BufferedJournal:
    """A session's journal for the time of the session; satisfies `conductor.ports.HappeningsJournal`. Raises only at the end.

    Use it in a `with`: it writes what waits and ends its thread. Meanwhile nobody else may use the records it writes into.
    """

    def __init__(self, kept: SessionJournal) -> None:
        self._kept = kept
        self._waiting: deque[_Unwritten] = deque()
        self._under_way = 0
        """How many of the first lines are just being written."""
        self._slow = False
        """The disk did not answer in time when it was last waited for; until it does nobody waits for it."""
        self._fault = ""
        self._broken: Exception | None = None
        self._trying = False
        self._closing = False
        self._changed = Condition()
        # Not waited for when the program is interrupted at its end: a dead disk would hold it.
        self._writer = Thread(target=self._write_on, name="journal", daemon=True)
        self._writer.start()

    def __enter__(self) -> "BufferedJournal":
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None) -> None:
        self._end_writing()

    def append(self, at: int, happening: Happening, bench: Bench) -> None:
        """Have one happening written, and the bench that it made, after all that still waits."""
        self._put(JournalLine(at, happening, bench, self._kept.wall()))
        with self._changed:
            self._slow = self._slow or not self._changed.wait_for(lambda: not self._trying, PATIENCE)

    def alive(self, at: int, bench: Bench) -> None:
        """The program lives at this moment; what waits is tried again before that is written."""
        self._put(JournalLine(at, None, bench, self._kept.wall()))

    def behind(self) -> bool:
        """Whether something is still on its way to the disk; not so where it can't be kept, which is `trouble`."""
        with self._changed:
            return self._trying

    def trouble(self) -> str:
        """Why the session is not being kept, "" when it is."""
        with self._changed:
            if self._fault:
                return f"Not being kept: {self._fault}"
            if self._waiting and time.monotonic() - self._waiting[0].since > SLOW:
                return "Not being kept: the disk does not answer."
            return ""

    def finish(self, at: int, bench: Bench) -> None:
        """End the session as the bench stands; JournalFault when some of it could not be kept."""
        self._end_writing()
        self._complain()
        self._kept.alive(at, bench)
        self._kept.finish(at)

    def leave(self) -> None:
        """Let go of the session unfinished; JournalFault when some of it could not be kept."""
        self._end_writing()
        self._kept.leave()
        self._complain()

    def _complain(self) -> None:
        if self._broken is not None:
            raise self._broken
        happenings = sum(one.line.happening is not None for one in self._waiting)
        if happenings:
            raise JournalFault(f"Happenings that could not be kept: {happenings}. {self._fault}")

    def _put(self, line: JournalLine) -> None:
        with self._changed:
            if self._broken is not None:
                raise self._broken  # no fault of the disk: the session ends by it and is resumed
            if len(self._waiting) > self._under_way and self._waiting[-1].line.happening is None:
                self._waiting.pop()  # it lived still later
            self._waiting.append(_Unwritten(line, time.monotonic()))
            self._trying = True
            self._changed.notify_all()

    def _end_writing(self) -> None:
        """After this the caller's own thread has written what there was, as far as the disk takes it."""
        with self._changed:
            self._closing = True
            self._changed.notify_all()
        self._writer.join()
        with suppress(JournalFault):
            while self._waiting and self._broken is None:
                self._write()

    def _write_on(self) -> None:
        while True:
            with self._changed:
                self._changed.wait_for(lambda: self._closing or self._trying)
                if self._closing:
                    return
            try:
                with suppress(JournalFault):  # kept in `_fault`, and tried again with the next line
                    self._write()
            except Exception as error:
                with self._changed:
                    self._broken, self._trying = error, False
                    self._changed.notify_all()
                return

    def _write(self) -> None:
        """Write all that waits, in one flush; where that is refused, the first line alone: it may be smaller than the rest."""
        began, count = time.monotonic(), len(self._waiting)
        try:
            try:
                self._flush(count)
            except JournalFault:
                if count == 1:
                    raise
                self._flush(1)
        except JournalFault as fault:
            self._tried(str(fault))
            raise
        with self._changed:
            self._slow = time.monotonic() - began > PATIENCE
        self._tried("")

    def _flush(self, count: int) -> None:
        with self._changed:
            self._under_way = count
            lines = [self._waiting[place].line for place in range(count)]
        try:
            self._kept.keep(lines)
        except BaseException:
            with self._changed:
                self._under_way = 0
            raise
        with self._changed:
            self._under_way = 0
            for _ in lines:
                self._waiting.popleft()

    def _tried(self, fault: str) -> None:
        with self._changed:
            self._fault = fault
            self._trying = bool(self._waiting) and not fault
            self._changed.notify_all()
