"""The edition sheet as a page: what the plain text says, with every copy's times drawn against their targets.

It says what the text says, from the same lines: only tables and drawings are made anew. It calculates nothing.
"""

from collections.abc import Iterator

from assistant.history.printed import Printed
from assistant.pages import edition_text as text
from assistant.pages.drawings import Bar, against_target, along_the_edition
from assistant.pages.markup import PaperSize, listed, page, section, table, words
from assistant.pages.times_table import rows
from assistant.session.copy import Stay
from assistant.trade.wording import to_tenth

_STYLE = (
    ".drawn, .beside { display: flex; flex-wrap: wrap; gap: 2mm 4mm; } figure { margin: 0; width: 88mm; break-inside: avoid; }"
    ".beside p { margin: 0; } td { vertical-align: top; } td:first-child { white-space: nowrap; }"
)
_FLAWS = {"short": "short", "long": "long", "good": "", "void": ""}


def edition_page(record: Printed, size: PaperSize = "a4") -> str:
    """The whole sheet as one page that needs nothing else."""
    title, _, *head = text.head(record)
    head = [*head[: len(head) - len(text.remarks_of_recipe(record))], " ".join(text.remarks_of_recipe(record))]
    body = [
        f"<h1>{words(title)}</h1>",
        *(f"<p>{words(line)}</p>" for line in head),
        section("Paper and light", [listed(_light(record))]),
        section("Baths", [table([], _baths(record), figures=False)] if record.recipe else []),
        section("True times", [_table(record)], long=True),
        section("Against their targets", [_drawn(record)], long=True),
        section("Toning", ['<div class="beside">', *_toning(record), "</div>"] if record.course.toned else []),
        *(section(title, [listed(items)]) for title, items in text.lists(record)),
        section("The recipe, as it was printed from", [f"<pre>{_recipe(record)}</pre>"], long=True),
    ]
    return page(f"{record.session.title}, session {record.session.number}", filter(None, body), size, style=_STYLE)


def _recipe(record: Printed) -> str:
    return "\n".join(words(line) if line else "" for line in record.session.recipe.splitlines())


def _light(record: Printed) -> list[str]:
    """Paper and light; what a print's light has beside its base stands in the print's own line."""
    lines: list[str] = []
    for line in text.paper_and_light(record):
        said = " ".join(line.split())
        if line.startswith(text.UNDER_A_PRINT) and lines:
            lines[-1] += f"; {said}"
        else:
            lines.append(said)
    return lines


def _baths(record: Printed) -> list[tuple[str, str]]:
    return [(tray, "; ".join(filter(None, said))) for tray, *said in text.bath_words(record)]


def _table(record: Printed) -> str:
    sheets = record.course.sheets
    if not any(sheet.stays for sheet in sheets):
        return ""
    heads = ["", "target", *(f"{'void' if sheet.state == 'void' else record.called} {sheet.number}" for sheet in sheets)]
    return table(heads, rows(sheets))


def _drawn(record: Printed) -> str:
    """A drawing for each step that had a target, in the order of the work; bars by copy."""
    steps: dict[tuple[int, str, int], list[Stay]] = {}
    for sheet in record.course.sheets:
        for stay in sheet.stays:
            if stay.target_ms is not None and stay.kind != "expose":
                steps.setdefault((stay.step, stay.name, stay.target_ms), []).append(stay)
    drawn = (
        f"<figure><figcaption>{words(name)}, {to_tenth(target)}</figcaption>"
        f"{against_target(name, _bars(stays), target, record.called)}</figure>"
        for (_, name, target), stays in sorted(steps.items())
    )
    inside = "".join(drawn)
    return f'<div class="drawn">{inside}</div>' if inside else ""


def _bars(stays: list[Stay]) -> list[Bar]:
    return [Bar(stay.copy, stay.lasted, _FLAWS[stay.verdict], stay.verdict == "void") for stay in stays]


def _toning(record: Printed) -> Iterator[str]:
    toned = record.course.toned
    for step in sorted({stay.step for stay in toned}):
        here = [stay for stay in toned if stay.step == step]
        found = record.recipe.steps[step] if record.recipe and step < len(record.recipe.steps) else None
        usual = [("to", found.by_eye.latest), ("from", found.by_eye.earliest)] if found and found.by_eye else []
        yield f"<figure>{along_the_edition(here[0].name, _bars(here), usual, record.called)}</figure>"
    yield f"<div>{''.join(f'<p>{words(line.strip())}</p>' for line in text.toning(record)[1:])}</div>"
