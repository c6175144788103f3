"""Two sessions side by side: what differs in how they were printed, and what became of each step's times."""

import textwrap
from statistics import median

from assistant.history.printed import Printed
from assistant.history.summary import became
from assistant.pages.edition_text import paper_and_light
from assistant.trade.foreign_text import as_text
from assistant.trade.wording import to_tenth

_LEFT, _EACH = 26, 26
"""Characters of the names and of each session: 78 in all, as on the edition sheet."""


def comparison(one: Printed, other: Printed) -> str:
    """The two, a column each; of a step's times the median of the sheets that count, and from when to when."""
    rows = [
        ("", f"session {one.session.number}", f"session {other.session.number}"),
        ("title", one.session.title, other.session.title),
        ("begun", f"{one.session.started:%Y-%m-%d %H:%M}", f"{other.session.started:%Y-%m-%d %H:%M}"),
        ("program, rules", *(f"{r.session.program}, {r.session.rules}" for r in (one, other))),
        ("copies" if one.called == other.called == "copy" else "sheets", became(one.course.sheets), became(other.course.sheets)),
        ("light and paper", *("; ".join(" ".join(line.split()) for line in paper_and_light(r)) for r in (one, other))),
        ("baths", *(_baths(r) for r in (one, other))),
        *((name, _times(one, name), _times(other, name)) for name in _steps(one, other)),
        ("first visible tone", *(_span([ms for _, ms in r.course.first_tones]) for r in (one, other))),
        ("recipe", *(["the same text"] * 2 if one.session.recipe == other.session.recipe else ["its own", "another text"])),
    ]
    return "\n".join(line for row in rows if any(row[1:]) for line in _row(*row)) + "\n"


def _steps(one: Printed, other: Printed) -> list[str]:
    stays = (*one.course.stays, *other.course.stays)
    first: dict[str, int] = {}
    for stay in stays:
        first[stay.name] = min(stay.step, first.get(stay.name, stay.step))
    return sorted(first, key=lambda name: (first[name], name))


def _times(record: Printed, name: str) -> str:
    return _span([stay.lasted for stay in record.course.stays if stay.name == name and stay.verdict != "void"])


def _span(times: list[int]) -> str:
    if not times:
        return ""
    middle = to_tenth(round(median(times)))
    return middle if min(times) == max(times) else f"{middle} ({to_tenth(min(times))} to {to_tenth(max(times))})"


def _baths(record: Printed) -> str:
    known = {bath.tray: bath.bath.name for bath in record.baths}
    trays = record.recipe.trays if record.recipe else {}
    return "; ".join(f"{tray}: {known.get(tray, written.bath)}" for tray, written in trays.items())


def _row(name: str, left: str, right: str) -> list[str]:
    columns = [textwrap.wrap(as_text(text), width - 2) or [""] for text, width in ((name, _LEFT), (left, _EACH), (right, _EACH))]
    differs = ">" if name and left != right else " "
    rows = []
    for i in range(max(map(len, columns))):
        cells = [column[i] if i < len(column) else "" for column in columns]
        rows.append(f"{differs if i == 0 else ' '} {cells[0]:<{_LEFT}}{cells[1]:<{_EACH}}{cells[2]}".rstrip())
    return rows
