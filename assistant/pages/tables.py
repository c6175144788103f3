"""Sessions and stays as plain values: one JSON object, or rows for a spreadsheet. Moments and spans in whole ms."""

import csv
import io
from collections.abc import Iterable, Sequence
from typing import Any

from assistant.history.printed import Printed, Session, Sheet
from assistant.session.copy import Stay

_FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""A spreadsheet takes a cell that begins like this for a formula; such words get an apostrophe before them."""

# Spans and moments in ms; `started` by the wall clock, ISO 8601.
STAY_COLUMNS = ("session", "copy", "step", "name", "tray", "from_ms", "to_ms", "lasted_ms", "target_ms", "verdict", "print")
SESSION_COLUMNS = ("session", "started", "title", "negative", "paper", "copies", "done", "void", "ended_ms", "program", "rules")


def stay_object(stay: Stay) -> dict[str, Any]:
    """A stay as it stands in every JSON answer."""
    return {
        "copy": stay.copy,
        "step": stay.kind,
        "name": stay.name,
        "tray": stay.tray,
        "from_ms": stay.from_ms,
        "to_ms": stay.to_ms,
        "target_ms": stay.target_ms,
        "verdict": stay.verdict,
        **({"turns_left_out": stay.left_out} if stay.left_out else {}),
    }


def session_object(record: Printed, happenings: Sequence[dict[str, Any]] = ()) -> dict[str, Any]:
    """A whole session, with what happened in it."""
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
        "untoned": list(course.untoned),
        "prints": {name: [sheet.number for sheet in sheets] for name, sheets in course.prints.items()},
        "readings": [{"at_ms": r.at, "tray": r.tray, "celsius": r.celsius} for r in course.readings],
        "picked": course.picked,
        "notes": [{"at_ms": at, "words": words} for at, words in course.notes],
        "baths": [
            {"tray": bath.tray, "bath": bath.bath.name, "made": bath.bath.made.isoformat(), "sheets_before": bath.through}
            for bath in record.baths
        ],
        "remarks": [
            {"copy": r.copy, "entered": r.entered.isoformat(), "judged": r.judged, "words": r.words, "holder": r.holder}
            for r in record.remarks
        ],
        "happenings": list(happenings),
        "recipe_text": session.recipe,
        "trouble": record.trouble,
    }


def _sheet(sheet: Sheet) -> dict[str, Any]:
    toned = next((stay.lasted for stay in sheet.stays if stay.kind == "tone"), None)
    return {"copy": sheet.number, "state": sheet.state, "toned_ms": toned}


def session_row(record: Printed) -> dict[str, Any]:
    """A session as one row of a list."""
    session: Session = record.session
    recipe = record.recipe
    negatives = [recipe.negative, *(one.negative for one in recipe.prints)] if recipe else []
    counted = record.course.counted
    return {
        "session": session.number,
        "started": session.started.isoformat(),
        "title": session.title,
        "negative": "; ".join(dict.fromkeys(negative.name for negative in negatives if negative)),
        "paper": (recipe.paper.name or "") if recipe and recipe.paper else "",
        "copies": session.copies,
        "done": counted.get("done", 0),
        "void": counted.get("void", 0),
        "ended_ms": session.ended,
        "program": session.program,
        "rules": session.rules,
    }


def stay_rows(record: Printed) -> list[dict[str, Any]]:
    """Every stay of a session, a row each."""
    number, prints = record.session.number, {sheet.number: sheet.print for sheet in record.course.sheets}
    return [
        {"session": number, **stay_object(stay), "lasted_ms": stay.lasted, "print": prints[stay.copy]}
        for stay in record.course.stays
    ]


def as_csv(columns: Sequence[str], rows: Iterable[dict[str, Any]]) -> str:
    """Rows as comma-separated values (RFC 4180, but for the line end, which is the system's own to change)."""
    page = io.StringIO()
    writer = csv.writer(page, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows([_cell(row[column]) for column in columns] for row in rows)
    return page.getvalue()


def _cell(value: Any) -> Any:
    return f"'{value}" if isinstance(value, str) and value.startswith(_FORMULA) else value
