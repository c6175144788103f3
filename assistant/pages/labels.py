"""Labels for the backs of prints, laid out on a sheet of paper: one for every copy that was finished and is good.

A label numbers the print within the edition; a voided sheet, and one that was judged no good afterwards, has no label and
leaves no gap.
"""

from collections.abc import Sequence

from assistant.history.printed import Printed, Sheet
from assistant.pages.markup import SHEETS, PaperSize, page, words
from assistant.recipe.model import Tone
from assistant.trade import quantities as q

ACROSS, DOWN = 2, 7
"""Labels on a sheet, side by side and one under the other."""
MARGIN = 10.0
"""White around them, mm: printers can't print to the edge."""


def labels_page(record: Printed, size: PaperSize = "a4", line: str = "", day: str = "") -> str:
    """The sheet of labels; `line` is the printer's own, `day` the date to be written (the session's, if "")."""
    prints = record.kept
    wide, high = SHEETS[size]
    across, down = (wide - 2 * MARGIN) / ACROSS, (high - 2 * MARGIN) / DOWN
    style = (
        f".sheet {{ display: grid; grid-template-columns: repeat({ACROSS}, {across:.2f}mm); grid-auto-rows: {down:.2f}mm; }}"
        ".label { border: 0.2mm dotted #000; margin: 0 -0.2mm -0.2mm 0; }"
        ".label { padding: 2.5mm 4mm; overflow: hidden; break-inside: avoid; line-height: 1.25; }"
        ".label b { font-size: 11pt; } .label div { white-space: nowrap; overflow: hidden; text-overflow: ellipsis; }"
        ".sheet + .sheet { break-before: page; }"
    )
    editions: dict[str, list[Sheet]] = {}
    for sheet in prints:
        editions.setdefault(sheet.print, []).append(sheet)
    backs = [
        _label(record, sheet, place, len(edition), line, day)
        for edition in editions.values()
        for place, sheet in enumerate(edition, 1)
    ]
    each = ACROSS * DOWN
    sheets = [f'<div class="sheet">{"".join(backs[i : i + each])}</div>' for i in range(0, len(backs), each)]
    none = (
        [f"<p>No {record.called} of this session was finished and is good: there is nothing to label.</p>"] if not prints else []
    )
    return page(f"Labels: {record.session.title}", [*sheets, *none], size, f"{MARGIN}mm", style)


def label_lines(record: Printed, sheet: Sheet, place: int, of: int, line: str = "", day: str = "") -> list[str]:
    """What a label says: title, negative, number of the edition, paper, toning, date, the printer's own line."""
    recipe = record.recipe
    number = f"{place} of {of}" + (f" (sheet {sheet.number})" if sheet.number != place else "")
    one = next((found for found in recipe.prints if found.name == sheet.print), None) if recipe else None
    held = (one.negative if one else None) or (recipe.negative if recipe else None)
    negative = f"negative {held.name}" if held else ""
    paper = recipe.paper if recipe else None
    size = q.format_size(paper.size) if paper and paper.size else ""
    called = ", ".join(filter(None, [paper.name, size])) if paper else ""
    date = day or f"{record.session.started:%Y-%m-%d}"
    title = f"{record.session.title}: {sheet.print}" if sheet.print else record.session.title
    return list(filter(None, [title, negative, number, called, toned(record, sheet), date, line]))


def toned(record: Printed, sheet: Sheet) -> str:
    """In what a print was toned, "" where the edition was not."""
    recipe = record.recipe
    toners = [step.tray for step in recipe.steps if isinstance(step, Tone)] if recipe else []
    if not toners or recipe is None:
        return ""
    through = [stay for stay in sheet.stays if stay.kind == "tone" and stay.tray in recipe.trays]
    if not through:
        return "untoned"
    bath = recipe.trays[through[0].tray or ""]
    return f"toned in {bath.bath}" + (f" {q.format_mix(bath.mix)}" if bath.mix else "")


def _label(record: Printed, sheet: Sheet, place: int, of: int, line: str, day: str) -> str:
    first, *rest = label_lines(record, sheet, place, of, line, day)
    return f'<div class="label"><div><b>{words(first)}</b></div>{_lines(rest)}</div>'


def _lines(lines: Sequence[str]) -> str:
    return "".join(f"<div>{words(line)}</div>" for line in lines)
