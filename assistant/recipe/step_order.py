"""What steps mean to each other, and to the number of copies: their order, what must lie between them, what lasts.

A rule yields findings. What could not be read is None, whatever the model says, a whole step too; no rule complains
about what may stand in its place.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise

from assistant.recipe import several_prints
from assistant.recipe.faults import Finding, Path, nearest
from assistant.recipe.model import Develop, Expose, Fix, Hold, Recipe, Step, Stop, Tone, Tray, Wash, Wet
from assistant.recipe.step_rules import EARLIEST_LIGHT
from assistant.trade import capacity
from assistant.trade.cautions import CARE
from assistant.trade.quantities import Size, format_size, format_span
from assistant.trade.wording import counted

Steps = Sequence[Step | None]

WASHES = {
    "fibre": (20, 90, "fibre paper needs 20 min and more, after a washing aid", "longer softens it and gains nothing"),
    "coated": (2, 10, "coated paper needs 2 min and more of running water", "longer lets water in at the edges"),
    "film": (5, 30, "film needs 5 min and more of running water", "longer gains nothing"),
}
"""Paper -> least and most minutes of a final wash, and why: common practice, no source; for 90 min on fibre Clerc,
*Photography: Theory and Practice*, section 607. The material's own leaflet goes before it."""


def of_recipe(recipe: Recipe, steps: Steps, trays: Mapping[str, Tray | None]) -> Iterator[Finding]:
    """All findings about the order of a recipe's steps and about its number of copies."""
    for i, step in enumerate(steps):
        if step is not None:
            yield from _in_order(step, steps[:i], steps[i + 1 :], ("steps", i, step.kind))
    yield from _names(steps)
    yield from _copies(recipe, steps, trays)
    yield from _out_of_company(steps)
    yield from _stacks(recipe, steps)
    yield from several_prints.of_prints(recipe, steps)
    yield from _left_out(recipe, steps)
    yield from _early_light(steps)
    yield from _final_wash(recipe, steps)
    yield from _used_up(recipe, steps, trays)
    yield from _care(trays)


def _in_order(step: Step, before: Steps, after: Steps, path: Path) -> Iterator[Finding]:
    if isinstance(step, Expose) and any(isinstance(one, Expose) for one in before):
        name = step.name.lower() if step.name and "name" in step.model_fields_set else "second light"
        time = format_span(step.time) if step.time else "7 s"
        fix = f"write it as a part of the first: parts: [{{light: {name}, time: {time}}}]"
        yield Finding(path, "this exposes the same sheet for the second time", fix)
    elif isinstance(step, Expose) and _any(before, Develop):
        yield Finding(path, "this exposes paper that was developed before", "put expose before develop")
    elif isinstance(step, Expose) and any(isinstance(one, Wet) for one in before):
        yield Finding(path, "this exposes paper that is wet", "put expose before every bath")
    if isinstance(step, Develop) and _any(before, Develop):
        yield Finding(path, "this develops for the second time", "keep one develop")
    if isinstance(step, Fix) and not _any(before, Develop) and (_any(after, Develop) or _any(before, Expose)):
        yield Finding(path, "this fixes paper that was not developed", "put develop before fix")
    if isinstance(step, Fix) and "light_safe" in step.model_fields_set and any(isinstance(one, Fix) for one in before):
        what = "white light counts from the first fix"
        yield Finding((*path, "light_safe"), what, "write light_safe there, and leave it out here")
    if isinstance(step, Tone) and not _any(before, Fix):
        yield Finding(path, "this tones paper that was not fixed", "put fix and a rinse before tone")
    if isinstance(step, Tone) and not _any(_since(before, Fix), Wash, Hold):
        fix = "rinse first, with a wash or a hold: fixer in the toner stains"
        yield Finding(path, "no rinse between fix and tone", fix, "warning")


def _names(steps: Steps) -> Iterator[Finding]:
    """Two trays under one spoken name: in the dark nobody could tell which is meant."""
    seen: dict[str, tuple[int, str]] = {}
    for i, step in enumerate(steps):
        if step is None or step.tray is None or step.name is None:
            continue
        number, tray = seen.setdefault(step.name.casefold(), (i + 1, step.tray))
        if tray != step.tray:
            what = f'this is called "{step.name}" as step {number} is, and it is another tray'
            yield Finding(("steps", i, step.kind), what, f"give it a name of its own, like `name: {step.tray}`")


def _any(steps: Steps, *kinds: type[Step]) -> bool:
    """Whether one of the kinds is among the steps, or could be."""
    return any(step is None or isinstance(step, kinds) for step in steps)


def _since(before: Steps, kind: type[Step]) -> Steps:
    """The steps after the last one of a kind; a step that could not be read where there is none."""
    for i in range(len(before) - 1, -1, -1):
        if isinstance(before[i], kind):
            return before[i + 1 :]
    return (None,)


def _copies(recipe: Recipe, steps: Steps, trays: Mapping[str, Tray | None]) -> Iterator[Finding]:
    copies = several_prints.sheets(recipe)
    if copies is None or recipe.reference is None:
        return
    so_many = counted(copies, recipe.called)
    if recipe.reference > copies:
        what = f"{recipe.reference} untoned references of {so_many}"
        yield Finding(("reference",), what, f"write at most {copies}")
    if recipe.reference and not _any(steps, Tone):
        yield Finding(("reference",), "nothing is toned in this recipe", "leave reference out", "warning")
    together: Wet | None = None  # since then all go on at one moment, until a hand begins them one by one
    for i, step in enumerate(steps):
        if step is None or isinstance(step, Expose):
            continue
        tray = trays.get(step.tray)
        gathers = isinstance(step, Hold) and step.gather
        held = tray.holds if tray is not None and tray.holds is not None else copies
        if (gathers or step.together or _stacked(step)) and copies > held:
            what = f"{so_many} gather here and `{step.tray}` holds {held}"
            fix = f"print at most {held}, or raise holds if the tray is larger"
            yield Finding(("steps", i, step.kind), what, fix)
        elif together is not None and copies > held:
            what = f"{so_many} come here at once from the {together.name.lower()}, and `{step.tray}` holds {held}"
            yield Finding(("steps", i, step.kind), what, "raise holds if the tray is larger, or put a hold between the two")
            together = None  # a hold there helps the trays behind it too
        together = step if step.together else None if step.ends != "clock" else together


def _out_of_company(steps: Steps) -> Iterator[Finding]:
    """Sheets that share a bath of the clock leave it at one moment; a hand can't then begin them one by one."""
    for i, (step, after) in enumerate(pairwise(steps)):
        if step is None or after is None or not step.together or step.ends != "clock":
            continue
        if isinstance(after, Develop) and after.apart is not None:
            continue
        if after.begin == "by hand" and not after.together:
            what = f"all sheets leave the {step.name.lower()} at once, and one after the other is begun here"
            yield Finding(("steps", i + 1, after.kind), what, "put a hold between the two, or write together: true")


def _stacked(step: Step) -> bool:
    return isinstance(step, Develop) and step.apart is not None


def _stacks(recipe: Recipe, steps: Steps) -> Iterator[Finding]:
    """Sheets that go into a bath apart come from where all of them wait, and gather again in the next one."""
    copies = several_prints.sheets(recipe)
    for i, step in enumerate(steps):
        if not isinstance(step, Develop) or step.apart is None:
            continue
        path, before, after = ("steps", i, "develop", "apart"), steps[i - 1] if i else step, steps[i + 1 : i + 2]
        if before is not None and not before.together and not before.gathers:
            fix = "put a soak before it, a wash with together: true, or a hold"
            yield Finding(path, "the sheets have to lie ready where they can be taken from one by one", fix)
        if after and after[0] is not None and not after[0].together and not after[0].gathers:
            fix = f"write together: true in the {after[0].name.lower()}"
            yield Finding(path, "the sheets come out one by one, and the next bath does not wait for the last of them", fix)
        if copies is not None and step.target is not None and (fault := too_large(step, copies)):
            yield Finding(path, *fault)
        if copies is not None and after and (longest := after[0].at_most if after[0] else None) is not None:
            first = (copies - 1) * step.apart + (after[0].target or 0 if isinstance(after[0], Wet) else 0)
            if first > longest:
                what = f"the first sheet is in the next bath for {format_span(first)}, and most is {format_span(longest)}"
                yield Finding(path, what, "print fewer at once, or write a shorter time", "warning")


def too_large(step: Develop, copies: int) -> tuple[str, str] | None:
    """Why so many sheets do not fit a development that they go into apart, and what to do; None where they fit.

    The last one has been in for as long as they are apart before the first is lifted: so long it takes to go through them once.
    """
    if step.apart is None or step.target is None or step.drain is None:
        return None
    if copies < 2 or copies * step.apart + step.drain <= step.target:
        return None
    fit = max((step.target - step.drain) // step.apart, 1)
    what = (
        f"{copies} sheets, one every {format_span(step.apart)}, are in after {format_span((copies - 1) * step.apart)}, "
        f"and the first is lifted at {format_span(step.target - step.drain)}"
    )
    return what, f"print at most {fit} at once, or write a shorter `apart`"


def _left_out(recipe: Recipe, steps: Steps) -> Iterator[Finding]:
    for i, step in enumerate(steps):
        if isinstance(step, Fix) and _any(steps[:i], Develop) and not _any(steps, Stop):
            fix = "developer is carried into the fixer and weakens it: put a stop before it"
            yield Finding(("steps", i, "fix"), "no stop between develop and fix", fix, "warning")
            return


def _early_light(steps: Steps) -> Iterator[Finding]:
    """White light counts from the first fixing bath: not before half of its time (common practice, no source)."""
    first = next((i for i, step in enumerate(steps) if step is None or isinstance(step, Fix)), None)
    step = steps[first] if first is not None else None
    if not isinstance(step, Fix) or step.target is None or step.light_safe is None:
        return
    if EARLIEST_LIGHT <= step.light_safe < step.target / 2:
        what = f"white light before half of the fixing time, {format_span(step.target)}"
        fix = f"write light_safe: {format_span(step.target // 2)} or more"
        yield Finding(("steps", first or 0, "fix", "light_safe"), what, fix, "warning")


def _washed(recipe: Recipe, ms: int, path: Path) -> Iterator[Finding]:
    least, most, too_short, too_long = WASHES[(recipe.paper.kind if recipe.paper else None) or "fibre"]
    if ms < least * 60_000:
        yield Finding(path, f"a final wash of {format_span(ms)} is short", f"{too_short}; see its leaflet", "warning")
    elif ms > most * 60_000:
        yield Finding(path, f"a final wash of {format_span(ms)} is long", f"{too_long}; see its leaflet", "warning")


def _final_wash(recipe: Recipe, steps: Steps) -> Iterator[Finding]:
    for i in range(len(steps) - 1, -1, -1):
        step = steps[i]
        if isinstance(step, Wash):
            if step.target is not None and _any(steps[:i], Fix):
                yield from _washed(recipe, step.target, ("steps", i, "wash", "for"))
            return
        if step is None:
            return


def _used_up(recipe: Recipe, steps: Steps, trays: Mapping[str, Tray | None]) -> Iterator[Finding]:
    """Baths that are spent before the last copy; nothing is said where paper size, volume or life are not known."""
    size, copies = _sheet_size(recipe, steps), several_prints.sheets(recipe)
    if size is None or copies is None:
        return
    used = [step.tray for step in steps if isinstance(step, Wet) and not isinstance(step, Hold)]
    for name, tray in trays.items():
        if tray is None or tray.lasts is None or tray.volume is None:
            continue
        use = capacity.edition(size, (copies + (recipe.blank or 0)) * used.count(name), tray.volume, tray.lasts)
        if use.spent_at is not None:
            sheets = (use.spent_at - 1) // used.count(name)
            what = f"this bath is used up after {sheets} of {counted(copies, recipe.called)}, {format_size(size)}"
            fix = "mix more, or renew it on the way; strips and spoiled sheets count too"
            yield Finding(("trays", name, "lasts"), what, fix, "warning")


def _sheet_size(recipe: Recipe, steps: Steps) -> Size | None:
    strip = next((step.strip for step in steps if isinstance(step, Expose) and step.strip), None)
    return (strip.size if strip else None) or (recipe.paper.size if recipe.paper is not None else None)


def _care(trays: Mapping[str, Tray | None]) -> Iterator[Finding]:
    """A word of care that is nearly one with a caution of its own; any other is the printer's."""
    for name, tray in trays.items():
        for i, word in enumerate((tray.care if tray is not None else ()) or ()):
            near = None if not word or word in CARE else nearest(word, CARE)
            if near is not None:
                what = f'"{word}" has no caution of its own'
                yield Finding(("trays", name, "care", i), what, f"did you mean `{near}`?", "warning")
