"""`traycall records`: what was printed so far: found again, shown, noted afterwards, compared, put on paper, moved."""

import argparse
from collections.abc import Callable
from pathlib import Path

from assistant import __version__
from assistant.cli.fields import action, day, whole_number
from assistant.cli.printing_words import SEEN
from assistant.history.printed import Printed, Remark
from assistant.history.search import found
from assistant.pages.comparison import comparison
from assistant.pages.edition_html import edition_page
from assistant.pages.edition_text import edition_sheet
from assistant.pages.labels import labels_page
from assistant.pages.markup import SHEETS
from assistant.pages.proof_book import proof_book
from assistant.pages.tables import SESSION_COLUMNS, STAY_COLUMNS, as_csv, session_object, session_row, stay_rows
from assistant.printing.options import on_terminal
from assistant.printing.records_read import record_of, wall_now
from assistant.printing.refusal import Refusal
from assistant.printing.text_out import complain, say, say_json, say_lines
from assistant.printing.written import write_new
from assistant.records.faults import JournalFault
from assistant.records.fogtests import BadFogTests
from assistant.records.journal import Journal
from assistant.records.transfer import BadTransfer, export, take_in
from assistant.trade.foreign_text import as_text
from assistant.trade.wording import counted, to_tenth


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    what = parser.add_subparsers(dest="what", metavar="WHAT", title="what to do (default: list all sessions)")
    every = action(what, "list", "the sessions, or those in which all these words are found")
    every.add_argument("words", nargs="*", metavar="WORDS", help="of negative, paper, title, date, notes, baths, who has it")
    every.add_argument("--since", metavar="DATE", help="begun on this day or later")
    every.add_argument("--until", metavar="DATE", help="begun on this day or before")
    every.add_argument("--trials", action="store_true", help="and those that a note calls a trial")
    _values(every)
    show = _one(action(what, "show", "one session: each copy's true times, toning, voids, notes, recipe"))
    _values(show)
    show.add_argument("--play", action="store_true", help="and hear the notes that were spoken")
    look = action(what, "look", "browse on the screen: sessions, copies, toning over the edition")
    look.add_argument("number", metavar="N", type=whole_number, nargs="?", help="the session to show first (default: the last)")
    look.add_argument("--light", choices=SEEN, default="setup", help="how bright the screen may be (default: setup)")
    _noted(_one(action(what, "note", "add a note afterwards: a look at the dry print, who has it")))
    compare = _one(action(what, "compare", "two sessions side by side"))
    compare.add_argument("other", metavar="M", type=whole_number, help="the other session's number")
    sheet = _one(action(what, "sheet", "the edition sheet: plain text, or a page with drawings"))
    sheet.add_argument("-o", "--out", metavar="FILE", type=Path, help="into a new file; a page, if its name ends in .html")
    sheet.add_argument("--paper", choices=list(SHEETS), default="a4", help="the page's size (default: a4)")
    labels = _one(action(what, "labels", "labels for the backs of the prints, a page of them"))
    labels.add_argument("-o", "--out", metavar="FILE", type=Path, required=True, help="the page, a new .html file")
    labels.add_argument("--paper", choices=list(SHEETS), default="a4", help="its size (default: a4)")
    labels.add_argument("--line", default="", metavar="WORDS", help="a line of your own on every label")
    labels.add_argument("--date", default="", metavar="WORDS", help="the date as you want it (default: the session's)")
    action(what, "proofs", "the proof book: strips, picks, dry prints and editions of every negative")
    for name, line, file in (
        ("export", "everything into one file of JSON Lines", "a new file"),
        ("import", "add what an exported file holds and these records do not", "a file that `records export` wrote"),
        ("backup", "the records as they stand into another file, while a session runs too", "a new file, to be kept elsewhere"),
    ):
        action(what, name, line).add_argument("file", metavar="FILE", type=Path, help=file)


def _noted(note: argparse.ArgumentParser) -> None:
    words = "your own words; `trial` leaves the session out of the lists, `no trial` undoes that"
    note.add_argument("words", nargs="?", default="", metavar="WORDS", help=words)
    note.set_defaults(parser=note, after_options="words")
    note.add_argument("--copy", type=whole_number, metavar="C", help="of this copy, by its number")
    judged = note.add_mutually_exclusive_group()
    judged.add_argument("--pass", dest="judged", action="store_const", const="pass", help="the dry print is good")
    judged.add_argument("--fail", dest="judged", action="store_const", const="fail", help="the dry print is not")
    note.add_argument("--holder", default="", metavar="WHO", help="who has the print")


def _one(parser: argparse.ArgumentParser) -> argparse.ArgumentParser:
    parser.add_argument("number", metavar="N", type=whole_number, help="the session's number")
    return parser


def _values(parser: argparse.ArgumentParser) -> None:
    how = parser.add_mutually_exclusive_group()
    how.add_argument("--json", action="store_true", help="as JSON")
    how.add_argument("--csv", action="store_true", help="as comma-separated values")


def run(args: argparse.Namespace) -> int:
    """Do what was asked for; 1 where it isn't there or can't be done."""
    try:
        with Journal.open(reading=args.what not in _WRITING) as journal:
            _WHAT[args.what](args, journal)
            return 0
    except (Refusal, JournalFault, BadTransfer, BadFogTests) as error:
        complain(error)
        return 1


def _record(journal: Journal, number: int) -> Printed:
    return record_of(journal, journal.session(number))


def _list(args: argparse.Namespace, journal: Journal) -> None:
    wanted = " ".join(getattr(args, "words", ()))
    since, until = (day(text) if (text := getattr(args, name, None)) else None for name in ("since", "until"))
    trials = getattr(args, "trials", False)
    every = [one for one in journal.sessions(trials) if since is None or one.started >= since]
    every = [one for one in every if until is None or one.started.date() <= until.date()]
    as_values = getattr(args, "json", False) or getattr(args, "csv", False)
    if wanted or as_values:
        records = [record for record in (record_of(journal, one) for one in every) if found(record, wanted)]
        every = [record.session for record in records]
        if as_values:
            rows = [session_row(record) for record in records]
            if args.json:
                say_json(rows)
            else:
                say(as_csv(SESSION_COLUMNS, rows), end="")
            return
    wide = max((len(as_text(session.title)) for session in every), default=0)
    for session in every:
        sheets = counted(session.copies, "sheet")
        end = "not ended" if session.ended is None else f"ended after {to_tenth(session.ended)}"
        title = as_text(session.title)
        say_lines([f"{session.number:>4}  {session.started:%Y-%m-%d %H:%M}  {title:<{wide}}  {sheets:<9}  {end}"])
    if not every:
        say_lines(["No session was found." if journal.sessions(trials=True) else "No session has been printed yet."])
    if not trials and (out := len(journal.sessions(trials=True)) - len(journal.sessions())):
        say_lines([f"{counted(out, 'trial')} {'is' if out == 1 else 'are'} left out: `traycall records list --trials`"])


def _look(args: argparse.Namespace, journal: Journal) -> None:
    if not on_terminal():
        raise Refusal("Looking back needs a terminal. As plain text: traycall records show N")
    if args.number is not None:
        journal.session(args.number)
    from assistant.printing.dry_side import place
    from assistant.screens.dry.outside import DryState

    place(DryState("records", session=args.number), args.light)


def _show(args: argparse.Namespace, journal: Journal) -> None:
    record = _record(journal, args.number)
    if args.json:
        say_json(whole(journal, record))
    elif args.csv:
        say(as_csv(STAY_COLUMNS, stay_rows(record)), end="")
    else:
        say(edition_sheet(record), end="")
        _spoken(args, journal)


def _spoken(args: argparse.Namespace, journal: Journal) -> None:
    from assistant.printing.spoken_notes import play, spoken_notes

    notes = spoken_notes(journal, args.number)
    if args.play and not notes:
        raise Refusal(f"Session {args.number} has no spoken note.")
    if notes and not args.play:
        say_lines(["", f"Spoken notes, to be heard with `traycall records show {args.number} --play`"])
    for wall, file, words in notes:
        say(f"  {wall}  {words}" if args.play else f"  {wall}  {file}")
        if args.play:
            play(file)


def whole(journal: Journal, record: Printed) -> dict[str, object]:
    """A session as one object, with every happening as its row stands."""
    told = journal.told(record.session.number)
    happenings = [{"at_ms": one.at, "wall": one.wall.isoformat(), "name": one.name, **one.details} for one in told]
    return session_object(record, happenings)


def _note(args: argparse.Namespace, journal: Journal) -> None:
    record = _record(journal, args.number)
    if not (args.words.strip() or args.judged or args.holder.strip()):
        raise Refusal('Say what is to be noted: traycall records note 3 "dry: a third of a stop dark" --copy 2 --fail')
    there = [sheet.number for sheet in record.course.sheets]
    if args.copy is not None and args.copy not in there:
        raise Refusal(f"Session {args.number} has no {record.called} {args.copy}; it has {len(there)}.")
    journal.remark(args.number, Remark(args.copy, wall_now(), args.judged, args.words.strip(), args.holder.strip()))
    say_lines([f"Noted: `traycall records show {args.number}`"])


def _compare(args: argparse.Namespace, journal: Journal) -> None:
    say(comparison(_record(journal, args.number), _record(journal, args.other)), end="")


def _sheet(args: argparse.Namespace, journal: Journal) -> None:
    record = _record(journal, args.number)
    if args.out is None:
        say(edition_sheet(record), end="")
        return
    write_new(args.out, edition_page(record, args.paper) if args.out.suffix == ".html" else edition_sheet(record))
    say_lines([f"Session {args.number} is written into {args.out}."])


def _labels(args: argparse.Namespace, journal: Journal) -> None:
    record = _record(journal, args.number)
    if not record.kept:
        raise Refusal(f"No {record.called} of session {args.number} was finished and is good: there is nothing to label.")
    write_new(args.out, labels_page(record, args.paper, args.line, args.date))
    failed = record.course.counted["done"] - len(record.kept)
    out = f" {counted(failed, record.called)} noted with --fail {'has' if failed == 1 else 'have'} none." if failed else ""
    say_lines([f"{counted(len(record.kept), 'label')} in {args.out}: print them at full size.{out}"])


def _proofs(args: argparse.Namespace, journal: Journal) -> None:
    book = proof_book(record_of(journal, session) for session in journal.sessions())
    say(book or "No session has been printed yet.\n", end="")


def _export(args: argparse.Namespace, journal: Journal) -> None:
    say_lines([f"{args.file}: everything is in it, {counted(export(journal, args.file, __version__), 'line')} of it."])


def _import(args: argparse.Namespace, journal: Journal) -> None:
    taken = take_in(journal, args.file)
    found = ((taken.sessions, "session"), (taken.baths, "bath"), (taken.fog_tests, "fog test"))
    said = (counted(*one) for one in found if one[0])
    say_lines([f"Added: {', '.join(said) or 'nothing'}."])
    for old, new in taken.renumbered:
        say_lines([f"Session {old} is session {new} here."])
    for what in taken.skipped:
        say_lines([as_text(f"There already, left as it is: {what}.")])


def _backup(args: argparse.Namespace, journal: Journal) -> None:
    journal.back_up(args.file)
    say_lines([f"The records are kept in {args.file}, as they stood."])


_WRITING = ("note", "import", "backup", "look")  # `look` is the dry side, where everything can be done
_WHAT: dict[str | None, Callable[[argparse.Namespace, Journal], None]] = {
    None: _list, "list": _list, "show": _show, "look": _look, "note": _note, "compare": _compare, "sheet": _sheet,
    "labels": _labels, "proofs": _proofs, "export": _export, "import": _import, "backup": _backup,
}  # fmt: skip
