"""What fills a new version's tables from an old file's, within the transaction that brings the file up to date."""

import json
import sqlite3
from datetime import datetime
from pathlib import Path

from assistant.history.course import course_of
from assistant.history.printed import Course
from assistant.planning.plan import CannotPlan, make_plan
from assistant.recipe.faults import BadRecipe
from assistant.recipe.loader import loads
from assistant.records import course_rows
from assistant.records.entries import bounded, happened, moment
from assistant.records.faults import JournalFault
from assistant.records.session_lock import SessionLock
from assistant.score.score import Score
from assistant.session.advance import replay
from assistant.session.bench import Told
from assistant.session.passing import fresh_bench
from assistant.trade.quantities import Misread

_ASKED = (
    "SELECT sessions.number, title, file, recipe, copies, program, coalesce(endings.at, marks.at, 0), endings.at FROM sessions "
    "LEFT JOIN marks ON marks.session = sessions.number LEFT JOIN endings ON endings.session = sessions.number"
)

_LIVED = "SELECT sessions.number, started, coalesce(marks.at, 0) FROM sessions LEFT JOIN marks ON marks.session = sessions.number"


def write_courses(connection: sqlite3.Connection, path: Path) -> None:
    """Work out once, by the rules it was printed by, how each session of an old file went, and write it.

    A session that can't be worked out keeps its recipe and happenings, and the reason is written in place of its course.
    """
    for number, title, file, recipe, copies, program, until, ended in connection.execute(_ASKED).fetchall():
        if ended is None:
            _nobody_prints(path, number, title, program)
        try:
            course_rows.write(connection, number, Course(), _course(connection, number, recipe, file, copies, until))
        except (BadRecipe, CannotPlan, Misread, KeyError, TypeError, ValueError, AttributeError, LookupError) as error:
            words = f"How session {number} went could not be worked out when its record was brought up to date: {error}"
            connection.execute("INSERT INTO troubles (session, words) VALUES (?, ?)", (number, words))


def _course(connection: sqlite3.Connection, number: int, recipe: str, file: str, copies: int, until: int) -> Course:
    asked = "SELECT at, name, details FROM entries WHERE session = ? ORDER BY number"
    told = connection.execute(asked, (number,)).fetchall()
    history = tuple(Told(bounded(at), happened(name, details)) for at, name, details in told)
    score = Score(make_plan(loads(recipe, file or "recipe").recipe, copies))
    return course_of(replay(fresh_bench(score, rules=1), history, until))


def _nobody_prints(path: Path, number: int, title: str, program: str) -> None:
    """An older program that is printing would go on writing happenings, and no course."""
    lock = SessionLock.take(path, number)
    if lock is None:
        raise JournalFault(
            f"Session {number}, {title}, is being printed by another traycall ({program}). These records are brought up to "
            "date when it is over: end it there first. Nothing was changed."
        )
    lock.release()


def name_the_baths(connection: sqlite3.Connection, path: Path) -> None:
    """Every mixing that was said of a tray becomes a bath of the tray's name; the one said after it retires it."""
    said = connection.execute("SELECT number, tray, mixed, entered FROM mixings ORDER BY number").fetchall()
    standing: dict[str, list[tuple[datetime, int]]] = {}
    for number, tray, mixed, entered in said:
        row = (number, tray, tray, mixed, entered)
        connection.execute("INSERT INTO baths (number, name, form, what, made, entered) VALUES (?, ?, 'bath', ?, ?, ?)", row)
        for _, before in standing.get(tray, [])[-1:]:
            event = (before, mixed, "retired", json.dumps({"why": "mixed fresh"}), entered)
            connection.execute("INSERT INTO bath_events (bath, at, kind, details, entered) VALUES (?, ?, ?, ?, ?)", event)
        event = (number, mixed, "stood", json.dumps({"tray": tray}), entered)
        connection.execute("INSERT INTO bath_events (bath, at, kind, details, entered) VALUES (?, ?, ?, ?, ?)", event)
        standing.setdefault(tray, []).append((moment(mixed), number))
    for session, started, lived in connection.execute(_LIVED).fetchall():
        begun = moment(started)
        for tray, mixings in standing.items():
            for from_ms, bath in _stood(mixings, begun, lived):
                connection.execute("INSERT INTO session_baths VALUES (?, ?, ?, ?, 1)", (session, tray, from_ms, bath))


def _stood(mixings: list[tuple[datetime, int]], begun: datetime, lived: int) -> list[tuple[int, int]]:
    """From which moments of a session (ms) which bath stood in a tray; of two that were mixed before, the one said later."""
    before = [bath for mixed, bath in mixings if mixed <= begun][-1:]
    during = sorted((round((mixed - begun).total_seconds() * 1000), bath) for mixed, bath in mixings if mixed > begun)
    return [*((0, bath) for bath in before), *((ms, bath) for ms, bath in dict(during).items() if ms <= lived)]
