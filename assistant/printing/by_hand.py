"""Going on by hand with a session that was begun under other rules: a table of what lies where, and a line for every move.

Nothing is called; a time that is up is said once, in a line and by the terminal's bell. All that is told is kept at once.
"""

import re
import select
import sys
from dataclasses import replace
from typing import TextIO

from assistant.devices.clock import SessionClock
from assistant.history.by_hand import CannotMove, moved_on, voided
from assistant.history.printed import Course, Sheet, Within
from assistant.planning.plan import Plan
from assistant.printing.text_out import say_lines
from assistant.records.session_journal import SessionJournal
from assistant.session.script import span
from assistant.trade.quantities import Misread, format_span
from assistant.trade.wording import to_tenth

HOW = """\
By hand: nothing is called, so go by these times.
  3                sheet 3 went on to its next bath just now; 3,5 or 3-6: these; all: all
  3 10s            ten seconds ago
  void 3           it does not count
  note WORDS       your words, kept with the moment
  Enter            where all is
  end, or leave    the session is over, or left until later"""
_SOME = r"\d{1,3}(?:-\d{1,3})?"
_LINE = re.compile(rf"(void )?({_SOME}(?:,{_SOME})*|all)(?: (.+))?")


class ByHand:
    """One session, followed on two streams of text until it is ended or left."""

    def __init__(self, kept: SessionJournal, plan: Plan, clock: SessionClock, source: TextIO) -> None:
        self.kept, self.plan, self.clock, self.source = kept, plan, clock, source
        self.course = kept.course()
        self._said: set[tuple[int, int]] = set()

    def run(self) -> None:
        """Until there is nothing left to follow, or the printer leaves it."""
        say_lines(HOW.split("\n"))
        self._show()
        while self._sheets():
            line = self._next()
            if line is None or line == "leave":
                self.kept.leave()
                say_lines(["Left as it is: `traycall run --resume` comes back to it."])
                return
            if line == "end":
                break
            try:
                self._told(line)
            except (CannotMove, ValueError) as error:
                say_lines([f"  {error}"])
            else:
                self._show()
        self.kept.finish(max(self.clock.now(), self.kept.mark.at))
        say_lines([f"The session is ended: `traycall records show {self.kept.session.number}`"])

    def _told(self, line: str) -> None:
        now = self.clock.now()
        if not line:
            return
        if line.startswith("note "):
            words = line.removeprefix("note ").strip()
            self._keep(now, {"note": words}, replace(self.course, notes=(*self.course.notes, (now, words))))
            return
        found = _LINE.fullmatch(line)
        if found is None:
            raise CannotMove(f'"{line}" is not known here: 3, 3-6, all, 3 10s, void 3, note WORDS, end, leave')
        numbers = self._numbers(found[2])
        if found[1]:
            self._keep(now, {"void": numbers}, voided(self.course, numbers))
            return
        try:
            at = now - (span(found[3].removesuffix(" ago")) if found[3] else 0)
        except Misread as error:
            raise CannotMove(str(error)) from None
        self._keep(now, {"moved": numbers, "at_ms": at}, moved_on(self.course, self.plan, numbers, at))

    def _keep(self, at: int, told: dict[str, object], course: Course) -> None:
        self.kept.by_hand(at, told, course)
        self.course = course

    def _numbers(self, text: str) -> list[int]:
        if text == "all":
            return [sheet.number for sheet in self._sheets()]
        found: list[int] = []
        for part in text.split(","):
            first, _, last = part.partition("-")
            if last and int(last) < int(first):
                raise CannotMove(f"{part} are no sheets: write the lower number first")
            found += range(int(first), int(last or first) + 1)
        return list(dict.fromkeys(found))

    def _sheets(self) -> list[Sheet]:
        return [sheet for sheet in self.course.sheets if sheet.state == "not finished"]

    def _show(self) -> None:
        now = self.clock.now()
        for sheet in self._sheets():
            say_lines([f"  {self.plan.recipe.called} {sheet.number}: {_where(sheet.within, now)}"])

    def _next(self) -> str | None:
        """The next line, None at their end; what is up until then is said."""
        while True:
            now = self.clock.now()
            self._say_what_is_up(now)
            ends = [sheet.within.since + sheet.within.target_ms for sheet in self._sheets()
                    if sheet.within is not None and sheet.within.target_ms is not None]  # fmt: skip
            wait = min((end - now for end in ends if end > now), default=None)
            if self.source.isatty() and wait is not None:
                ready, _, _ = select.select([self.source], [], [], wait / 1000)
                if not ready:
                    continue
            line = self.source.readline()
            return " ".join(line.split()) if line else None

    def _say_what_is_up(self, now: int) -> None:
        for sheet in self._sheets():
            within = sheet.within
            if within is None or within.target_ms is None or (sheet.number, within.since) in self._said:
                continue
            if now >= within.since + within.target_ms:
                self._said.add((sheet.number, within.since))
                which = f"{self.plan.recipe.called} {sheet.number}"
                say_lines([f"  {which}: its {format_span(within.target_ms)} in the {within.name.lower()} are over."])
                if self.source.isatty():
                    sys.stdout.write("\a")
                    sys.stdout.flush()


def _where(within: Within | None, now: int) -> str:
    if within is None:
        return "between two baths"
    of = f" of {format_span(within.target_ms)}" if within.target_ms else ""
    return f"{within.name.lower()}, {to_tenth(now - within.since)}{of}"
