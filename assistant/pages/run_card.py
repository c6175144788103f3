"""The run card: what hangs over the sink before lights out. As text, and as a page of the same lines.

Trays in order with what is poured, the light, every step with its times and looks, the cautions.
"""

import textwrap

from assistant.pages.markup import PaperSize, listed, page, section, words
from assistant.planning.briefing import needed
from assistant.planning.plan import Plan
from assistant.recipe.model import Expose, WetStep
from assistant.trade import cautions
from assistant.trade import quantities as q
from assistant.trade.foreign_text import as_text

_WIDE = 78


def card_text(plan: Plan) -> str:
    """The card as plain text."""
    parts = []
    for title, lines in _parts(plan):
        wrapped = [row for line in lines for row in textwrap.wrap(as_text(line), _WIDE - 2, subsequent_indent="    ")]
        parts.append("\n".join([title, *(f"  {row}" for row in wrapped)]))
    title = as_text(plan.recipe.title)
    return f"{title}\n{'=' * min(len(title), _WIDE)}\n\n" + "\n\n".join(parts) + "\n"


def card_page(plan: Plan, size: PaperSize = "a4") -> str:
    """The card as a page, in letters that are read from the sink."""
    body = [f"<h1>{words(plan.recipe.title)}</h1>", *(section(title, [listed(lines)]) for title, lines in _parts(plan))]
    return page(f"Run card: {plan.recipe.title}", body, size, style="body { font-size: 12pt; } h1 { font-size: 20pt; }")


def _parts(plan: Plan) -> list[tuple[str, list[str]]]:
    steps = [f"{place}. {_step(step)}" for place, step in enumerate(plan.recipe.steps, 1)]
    care = list(dict.fromkeys(line for tray in plan.recipe.trays.values() for line in cautions.for_bath(tray.bath)[:-1]))
    before = [line.strip() for line in needed(plan)]
    return [("Before copy one", before), ("Steps", steps), ("Cautions", [*care, cautions.GENERAL])]


def _step(step: Expose | WetStep) -> str:
    if isinstance(step, Expose):
        return step.name
    by_eye = getattr(step, "by_eye", None)
    time = q.format_span(step.target) if step.target else ""
    eye = f"by eye, {q.format_span(by_eye.earliest)} to {q.format_span(by_eye.latest)}" if by_eye else ""
    most = f"at most {q.format_span(step.at_most)}" if step.at_most else ""
    drain = f"drain {q.format_span(step.drain)}" if step.drain else ""
    calls = [f"{q.format_span(call.at)}: {call.words}" for call in step.say if call.at]
    looks = [f"{q.format_span(look.at)}: {look.words}" for look in getattr(step, "look", ())]
    together = "all together" if step.together else ""
    return f"{step.name} ({step.tray}): " + "; ".join(filter(None, [time, eye, most, drain, together, *calls, *looks]))
