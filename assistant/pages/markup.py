"""A page that stands alone: black on white, fetching nothing, and with other people's words in it as words.

Every word that somebody wrote passes `words`; nothing else gets into a page but what this program writes itself.
"""

import html
from collections.abc import Iterable, Sequence
from typing import Literal

from assistant.trade.foreign_text import as_text

PaperSize = Literal["a4", "letter"]

SHEETS: dict[PaperSize, tuple[float, float]] = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height, mm: ISO 216, and ANSI/ASME Y14.1 size A."""

_STYLE = """
:root { color-scheme: only light; }
* { box-sizing: border-box; }
body { margin: 0; background: #fff; color: #000; font: 9.5pt/1.3 "DejaVu Sans", Arial, Helvetica, sans-serif; }
h1 { font-size: 15pt; margin: 0 0 1mm; } h2 { font-size: 10.5pt; margin: 3.5mm 0 1mm; }
p { margin: 0 0 1mm; } ul { margin: 0; padding-left: 5mm; }
table { border-collapse: collapse; } th, td { border: 0.2mm solid #000; padding: 0.4mm 1.6mm; text-align: left; }
td.n, th.n { text-align: right; font-variant-numeric: tabular-nums; }
pre { white-space: pre-wrap; overflow-wrap: anywhere; font: 7pt/1.2 "DejaVu Sans Mono", monospace; margin: 0; }
section { break-inside: avoid; overflow-wrap: anywhere; } section.long { break-inside: auto; }
svg { max-width: 100%; height: auto; } svg text { font: 8px "DejaVu Sans", Arial, sans-serif; }
"""


def words(text: str) -> str:
    """Other people's words within a page: escaped, isolated from the reading order around them, and doing nothing."""
    return f"<bdi>{escaped(text)}</bdi>"


def escaped(text: str) -> str:
    """The same where no element may stand: in a title, an attribute, a drawing."""
    return html.escape(as_text(text), quote=True)


def page(title: str, body: Iterable[str], size: PaperSize = "a4", margin: str = "12mm", style: str = "") -> str:
    """A whole page."""
    wide, high = SHEETS[size]
    head = (
        '<!DOCTYPE html>\n<html lang="en"><head><meta charset="utf-8">'
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'\">"
        f"<title>{escaped(title)}</title>\n"
        f"<style>@page {{ size: {wide}mm {high}mm; margin: {margin}; }}{_STYLE}{style}</style></head>"
    )
    return f"{head}\n<body>\n" + "\n".join(body) + "\n</body></html>\n"


def section(title: str, body: Iterable[str], long: bool = False) -> str:
    """A part of a page under its title; "" where there is nothing in it."""
    inside = "\n".join(part for part in body if part)
    return f"<section{' class=long' if long else ''}><h2>{words(title)}</h2>\n{inside}</section>" if inside else ""


def listed(items: Iterable[str]) -> str:
    """Lines of other people's words."""
    inside = "".join(f"<li>{words(item)}</li>" for item in items)
    return f"<ul>{inside}</ul>" if inside else ""


def table(heads: Sequence[str], rows: Iterable[Sequence[str]], figures: bool = True) -> str:
    """A table: the first column words, the rest `figures` or words too; without `heads` it has rows alone."""

    def cells(row: Sequence[str], tag: str) -> str:
        return "".join(f"<{tag}{' class=n' if i and figures else ''}>{words(cell)}</{tag}>" for i, cell in enumerate(row))

    body = "".join(f"<tr>{cells(row, 'td')}</tr>" for row in rows)
    head = f"<thead><tr>{cells(heads, 'th')}</tr></thead>" if heads else ""
    return f"<table>{head}<tbody>{body}</tbody></table>"
