"""`traycall records`: the sessions printed so far, one of them on the screen, as an edition sheet or as JSON, and the baths."""

import argparse
import json
import sys
from pathlib import Path
from typing import Any

from assistant.history.printed import Printed, Sheet
from assistant.printing.records_read import record_of
from assistant.printing.refusal import Refusal
from assistant.printing.transcript import stay_object
from assistant.records.edition import edition_sheet
from assistant.records.faults import JournalFault
from assistant.records.journal import Journal
from assistant.terminal.brightness import LEVELS
from assistant.trade.wording import to_tenth

SEEN = [level for level, red in LEVELS.items() if red]
"""The levels at which anything is to be seen."""


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    what = parser.add_subparsers(dest="what", metavar="WHAT", title="what to do (default: list all sessions)")
    show = what.add_parser("show", help="one session: each copy's true times, toning, voids, notes, recipe")
    show.add_argument("number", metavar="N", type=int, help="the session's number")
    show.add_argument("--json", action="store_true", help="one JSON object")
    show.add_argument("--text", metavar="FILE", type=Path, help="write the edition sheet into a new file")
    look = what.add_parser("look", help="look back on the screen: sessions, copies, toning along the edition")
    look.add_argument("number", metavar="N", type=int, nargs="?", help="the session to begin with (default: the last)")
    look.add_argument("--light", choices=SEEN, default="setup", help="how bright the screen may be (default: setup)")


def run(args: argparse.Namespace) -> int:
    """Print what was asked for; 1 where it isn't there or can't be read."""
    try:
        with Journal.open() as journal:
            return {None: _list, "look": _look, "show": _show}[args.what](args, journal)
    except (Refusal, JournalFault) as error:
        print(error, file=sys.stderr)
        return 1


def _list(args: argparse.Namespace, journal: Journal) -> int:
    sessions = journal.sessions()
    wide = max((len(session.title) for session in sessions), default=0)
    for session in sessions:
        copies = f"{session.copies} {'copy' if session.copies == 1 else 'copies'}"
        end = "not ended" if session.ended is None else f"ended after {to_tenth(session.ended)}"
        print(f"{session.number:>4}  {session.started:%Y-%m-%d %H:%M}  {session.title:<{wide}}  {copies:<9}  {end}")
    if not sessions:
        print("No session was printed so far.")
    return 0


def _look(args: argparse.Namespace, journal: Journal) -> int:
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise Refusal("Looking back needs a terminal. As plain text: traycall records show N")
    if args.number is not None:
        journal.session(args.number)
    from assistant.printing.past_sessions import PastSessions
    from assistant.screens.looking_back import look_back

    sessions = PastSessions(journal)
    if not sessions:
        raise Refusal("No session was printed so far.")
    look_back(sessions, at=sessions.place(args.number) if args.number is not None else 0, level=args.light)
    return 0


def _show(args: argparse.Namespace, journal: Journal) -> int:
    record = record_of(journal, journal.session(args.number))
    if args.json:
        print(json.dumps(as_object(journal, record), indent=1, ensure_ascii=False))
        return 0
    sheet = edition_sheet(record)
    if args.text is None:
        print(sheet, end="")
        return 0
    try:
        with args.text.open("x", encoding="utf-8") as page:
            page.write(sheet)
    except FileExistsError:
        raise Refusal(f"{args.text} is there already and is left as it is: name another file.") from None
    except OSError as error:
        raise Refusal(f"{args.text} can't be written: {error.strerror}.") from None
    print(f"Session {args.number} is written into {args.text}.")
    return 0


def as_object(journal: Journal, record: Printed) -> dict[str, Any]:
    """What `show --json` prints: all moments and spans in whole ms since the session began."""
    session, course = record.session, record.course
    return {
        "session": session.number,
        "recipe": session.title,
        "file": session.file,
        "copies": session.copies,
        "program": session.program,
        "rules": session.rules,
        "started": session.started.isoformat(),
        "ended_ms": session.ended,
        "lived_ms": session.lived,
        "sheets": [_sheet(sheet) for sheet in course.sheets],
        "stays": [stay_object(stay) for stay in course.stays],
        "unattended": [{"from_ms": since, "to_ms": until} for since, until in record.unattended],
        "first_tones": [{"copy": copy, "after_ms": ms} for copy, ms in course.first_tones],
        "readings": [{"at_ms": r.at, "tray": r.tray, "celsius": r.celsius} for r in course.readings],
        "picked": course.picked,
        "notes": [{"at_ms": at, "words": words} for at, words in course.notes],
        "happenings": [
            {"at_ms": told.at, "wall": told.wall.isoformat(), "name": told.name, **told.details}
            for told in journal.told(session.number)
        ],
        "recipe_text": session.recipe,
        "trouble": record.trouble,
    }


def _sheet(sheet: Sheet) -> dict[str, Any]:
    toned = next((stay.lasted for stay in sheet.stays if stay.kind == "tone"), None)
    return {"copy": sheet.number, "state": sheet.state, "toned_ms": toned}
