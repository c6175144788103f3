"""The run card: what hangs over the sink before lights out. As text, and as a page of the same words.

The light, trays in order with what is poured, every step with its times, turns and looks, what to mind.
"""

import re
import textwrap

from assistant.pages.edition_text import WIDE
from assistant.pages.markup import PaperSize, listed, page, section, table, words
from assistant.planning.briefing import LABEL, in_trays, mixing, to_mind, work
from assistant.planning.plan import Plan
from assistant.recipe.model import Agitate, Expose, WetStep
from assistant.trade import quantities as q
from assistant.trade.foreign_text import as_text

_STYLE = (
    "body { font-size: 10.5pt; line-height: 1.24; } h1 { font-size: 20pt; } h2 { font-size: 11.5pt; } p { margin: 0 0 0.6mm; }"
    "table { width: 100%; } td { vertical-align: top; } td:first-child { white-space: nowrap; }"
)


def card_text(plan: Plan) -> str:
    """The card as plain text."""
    title = as_text(plan.recipe.title)
    parts = [
        [title, "=" * min(len(title), WIDE), "", *_block("", _work(plan))],
        ["Trays, from left to right", *_columns(_trays(plan)), *_block("  ", mixing(plan.recipe))],
        ["Steps", *_columns(_steps(plan))],
        ["Mind", *_block("  ", _mind(plan))],
    ]
    return "\n\n".join(map("\n".join, parts)) + "\n"


def card_page(plan: Plan, size: PaperSize = "a4") -> str:
    """The card as a page, in letters that are read from the sink."""
    title = plan.recipe.title
    body = [
        f"<h1>{words(title)}</h1>",
        *_said(_work(plan)),
        section("Trays, from left to right", [table([], _trays(plan), figures=False), *_said(mixing(plan.recipe))]),
        section("Steps", [table([], _steps(plan), figures=False)]),
        section("Mind", [listed(_mind(plan))]),
    ]
    return page(f"Run card: {title}", body, size, style=_STYLE)


def _work(plan: Plan) -> list[str]:
    return [as_text(line.strip()) for line in work(plan)]


def _trays(plan: Plan) -> list[tuple[str, str]]:
    return [(as_text(name), as_text(", ".join(poured))) for name, poured in in_trays(plan.recipe)]


def _steps(plan: Plan) -> list[tuple[str, str]]:
    return [(f"{place}. {as_text(step.name)}", as_text(_step(step))) for place, step in enumerate(plan.recipe.steps, 1)]


def _mind(plan: Plan) -> list[str]:
    """What is to be minded, each a sentence."""
    lines = (line.removeprefix("Note: ") for line in to_mind(plan))
    return [as_text(line[:1].upper() + line[1:]) for line in (*lines, LABEL)]


def _said(lines: list[str]) -> list[str]:
    return [f"<p>{words(line)}</p>" for line in lines]


def _step(step: Expose | WetStep) -> str:
    if isinstance(step, Expose):
        return q.format_span(step.time) if step.time else ""
    by_eye = getattr(step, "by_eye", None)
    factor = getattr(step, "factor", None)
    agitate = step.agitate
    said = [
        q.format_span(step.target) if step.target else "",
        f"{factor:g} times the first tone" if factor else "",
        f"by eye, {q.format_span(by_eye.earliest)} to {q.format_span(by_eye.latest)}" if by_eye else "",
        f"at least {q.format_span(step.at_least)}" if step.at_least and step.at_least != step.target else "",
        f"at most {q.format_span(step.at_most)}" if step.at_most else "",
        f"drain {q.format_span(step.drain)}" if step.drain and step.ends == "clock" else "",
        f"{agitate.say or 'agitate'} every {q.format_span(agitate.every)}" if isinstance(agitate, Agitate) else agitate or "",
        "by the temperature that you read and tell" if step.temperature_law else "",
        *(f"at {q.format_span(call.at)} {call.words}" for call in step.say if call.at),
        *(f"{q.format_span(call.left)} before the end {call.words}" for call in step.say if call.left),
        *(f"at {q.format_span(look.at)} {look.words}" for look in getattr(step, "look", ())),
        "all together" if step.together else "",
        f"one by one, {q.format_span(step.apart)} apart" if step.apart else "",
    ]
    tray = f"in {step.tray}: " if step.tray.casefold() != step.name.casefold() else ""
    return tray + "; ".join(filter(None, said))


def _columns(rows: list[tuple[str, str]]) -> list[str]:
    wide = min(max((len(name) for name, _ in rows), default=0), WIDE // 3) + 2
    hang = " " * (wide + 2)
    wrapped = (_wrapped(f"  {name:<{wide}}{said}", WIDE, hang) for name, said in rows)
    return [row for rows in wrapped for row in rows]


def _block(indent: str, lines: list[str]) -> list[str]:
    wrapped = (_wrapped(line, WIDE - len(indent), "    ") for line in lines)
    return [f"{indent}{row}" for rows in wrapped for row in rows]


def _wrapped(line: str, wide: int, hang: str) -> list[str]:
    """The rows of a line; a figure stays with its unit."""
    held = re.sub(r"(?<=\d) (?=(?:C|l|ml|s|in|cm)\b)", "\u00a0", line)
    return [row.replace("\u00a0", " ") for row in textwrap.wrap(held, wide, subsequent_indent=hang)]
