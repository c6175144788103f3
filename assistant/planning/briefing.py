"""What is read before copy one, in the light: what is printed and how, sheets, what is poured, and what to mind.

Whatever a recipe says that is not spoken in the dark is said here.
"""

from collections.abc import Iterator

from assistant.planning.hand_work import one_at_a_time
from assistant.planning.plan import Plan
from assistant.recipe.model import Develop, Expose, Hold, Part, Print, Recipe, Tray
from assistant.recipe.several_prints import light_of
from assistant.trade import capacity, cautions, exposure
from assistant.trade import quantities as q
from assistant.trade.lengths import format_length
from assistant.trade.wording import counted, in_stops

LABEL = "The product's label and safety sheet, local codes and licensed practice govern. This is no safety device."
DARK = "Total darkness: room light off, box shut, screen covered, until the voice says that white light is safe."
SWITCH = "You switch the lamp: on when the tone rises, off when it falls."


def needed(plan: Plan) -> list[str]:
    """The lines: the work, the light, the sheets, trays in bench order, what ends by eye, cautions."""
    wide = max(len(name) for name in plan.recipe.trays) + 1
    trays = [f"  {name:<{wide}} {', '.join(poured)}" for name, poured in in_trays(plan.recipe)]
    return [*work(plan), *trays, *mixing(plan.recipe), *_by_hand(plan.recipe), *to_mind(plan), LABEL]


def work(plan: Plan) -> list[str]:
    """What is printed and how, the printer's notes, the light with its parts, the sheets."""
    recipe = plan.recipe
    untoned = f", {plan.reference} of them left untoned" if plan.reference else ""
    title = f"{recipe.title}: {counted(plan.copies, recipe.called)}{untoned}."
    return [title, *recipe.notes.splitlines(), *_negative(recipe), *_lights(recipe), _sheets(plan)]


def in_trays(recipe: Recipe) -> list[tuple[str, list[str]]]:
    """Every tray, from left to right: the bath, how it is mixed, how warm, what it holds and what it is good for."""
    return [(name, list(_bath(recipe, tray))) for name, tray in recipe.trays.items()]


def mixing(recipe: Recipe) -> list[str]:
    """How concentrates are poured, where there are any."""
    return [cautions.WATER_FIRST] if any(tray.mix for tray in recipe.trays.values()) else []


def to_mind(plan: Plan) -> list[str]:
    """Each tray's care, what the trade knows of its bath by its name, the darkness, and how copies follow each other."""
    recipe = plan.recipe
    care = list(dict.fromkeys(word for tray in recipe.trays.values() for word in tray.care))
    lines = [f"Note: {cautions.CARE.get(word, word)}." for word in care]
    lines += cautions.for_baths(tray.bath for tray in recipe.trays.values())
    if recipe.light == "none":
        lines.append(DARK)
    if recipe.flow == "overlap":
        lines.append(_flow(plan))
    return lines


def _flow(plan: Plan) -> str:
    """Whether copies are in the baths together, and why they are not where the recipe asks for it."""
    why = one_at_a_time(plan)
    if why:
        return f"Copies go one at a time: {why}."
    first = plan.recipe.steps[plan.station_after(0)].name.lower() if plan.stations else "end"
    alone = ", copy one alone until it was looked at" if plan.recipe.first == "alone" else ""
    return f"Several copies are in the baths at once, up to the {first}{alone}. Every call begins with its number."


def _negative(recipe: Recipe) -> Iterator[str]:
    if recipe.negative is not None:
        yield f"Negative: {_listed(recipe.negative.name, recipe.negative.orientation)}."
    if recipe.lamp is not None or recipe.height is not None:
        yield f"Lamp: {_listed(recipe.lamp, f'{format_length(recipe.height)} high' if recipe.height else None)}."


def _lights(recipe: Recipe) -> Iterator[str]:
    for step in recipe.steps:
        if isinstance(step, Expose):
            yield f"{step.name}: {_listed(*_base(step))}."
            yield from (f"  {_part(part)}" for part in step.parts)
            yield from (line for one in recipe.prints for line in _print(recipe, step, one))
            yield SWITCH


def _print(recipe: Recipe, step: Expose, one: Print) -> Iterator[str]:
    light = light_of(step, one)
    negative = _listed(one.negative.name, one.negative.orientation) if one.negative else None
    spares = f"{one.spares} spare" if one.spares else None
    yield f"  {one.name}: {_listed(counted(one.copies, recipe.called), spares, negative, *_base(light))}."
    if one.parts is not None:
        yield from (f"    {_part(part)}" for part in light.parts)


def _base(step: Expose) -> Iterator[str | None]:
    if step.strip is not None:
        strip = step.strip
        grows = in_stops(strip.step) if strip.step else f"{q.format_span(strip.add or 0)} more"
        plan = strip.plan()
        totals = (q.format_span(round(total, -2) or total) for total in plan.totals)  # a tenth is as fine as a lamp is
        yield f"{strip.strips} strips: {', '.join(totals)}, each {grows}, {strip.way} at every tone"
        yield f"the time was {q.format_span(step.time)}" if step.time else None
    elif step.time is not None:
        given = q.format_span(exposure.dry_down(step.time, step.dry_down), 1)
        yield q.format_span(step.time)
        yield f"less {step.dry_down:g} % dry-down {given}" if step.dry_down else None
    yield q.format_aperture(step.aperture) if step.aperture else None
    yield f"filter {step.filter}" if step.filter else None


def _part(part: Part) -> str:
    amount = in_stops(part.stops) if part.stops else None
    time = q.format_span(part.time) if part.time else None
    stop = q.format_aperture(part.aperture) if part.aperture else None
    light = f"filter {part.filter}" if part.filter else None
    return _listed(f"{part.kind} {part.area}", amount, time, stop, light, part.say)


def _sheets(plan: Plan) -> str:
    recipe, paper = plan.recipe, plan.recipe.paper
    film = paper is not None and paper.kind == "film"
    size = q.format_size(recipe.sheet_size) if recipe.sheet_size else None
    batch = f"batch {paper.batch}" if paper and paper.batch else None
    called = _listed(paper.name, size, paper.grade, batch) if paper else ""
    laid = recipe.spares + sum(one.spares for one in recipe.prints)
    spares = f"{laid} spare" if laid else None
    blank = f"{recipe.blank} blank, unexposed through every bath, to test the wash" if recipe.blank else None
    out = _listed(counted(plan.copies, "sheet"), spares, blank)
    back = "" if film or plan.copies == 1 else " Number the back of every sheet."
    return f"{'Film' if film else 'Paper'}: {called + ': ' if called else ''}{out}.{back}"


def _bath(recipe: Recipe, tray: Tray) -> Iterator[str]:
    yield tray.bath
    if tray.volume is not None and tray.mix is not None:
        yield f"{q.format_volume(tray.volume)} = {q.format_mixture(tray.mix, tray.volume)}"
    elif tray.volume is not None:
        yield q.format_volume(tray.volume)
    elif tray.mix is not None:
        yield f"{tray.mix.concentrate:g} concentrate + {tray.mix.water:g} water"
    if tray.temperature is not None:
        yield q.format_temperature(tray.temperature)
    if tray.holds > 1:
        yield f"holds {tray.holds}"
    size = recipe.sheet_size
    if tray.lasts is not None and tray.volume is not None and size is not None:
        yield f"good for {int(capacity.sheets(size, tray.volume, tray.lasts))} sheets of {q.format_size(size)}"
    elif tray.lasts is not None:
        yield f"good for {q.format_lasts(tray.lasts)}, in sheets of 8x10 in"


def _by_hand(recipe: Recipe) -> Iterator[str]:
    """What is done without a call: an eye, moving all the time, a rinse that must last, a stack, a warmer bath."""
    for step in recipe.steps:
        if isinstance(step, Expose):
            continue
        if step.by_eye is not None:
            yield f"{step.name}: by eye, usually {q.format_span(step.by_eye.earliest)} to {q.format_span(step.by_eye.latest)}."
        if step.agitate == "all the time":
            yield f"{step.name}: keep it moving all the time."
        if isinstance(step, Hold) and step.at_least is not None:
            yield f"{step.name}: at least {q.format_span(step.at_least)}."
        if step.apart is not None:
            yield f"{step.name}: sheets go in one by one, {q.format_span(step.apart)} apart, and come out so."
        if isinstance(step, Develop) and step.temperature_law is not None:
            yield f"{step.name}: its time follows the temperature that you read and tell."


def _listed(*said: str | None) -> str:
    return ", ".join(filter(None, said))
