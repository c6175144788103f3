"""What the values of an exposure mean to each other: its strip, its burns and dodges, and other lights on the same sheet.

A rule yields findings and passes over what could not be read, which is None, whatever the model says.
"""

from collections.abc import Iterator

from assistant.recipe.faults import Finding, Path, warning
from assistant.recipe.model import Expose, Part
from assistant.trade import parts
from assistant.trade.quantities import Misread


def of_light(step: Expose, path: Path) -> Iterator[Finding]:
    """All findings about one exposure; `path` leads to it, kind included."""
    yield from _strip(step, path)
    for i, part in enumerate(step.parts or ()):
        if part is not None:
            yield from _part(step, part, (*path, "parts", i))
    yield from _times(step, path)


def _strip(step: Expose, path: Path) -> Iterator[Finding]:
    strip = step.strip
    if strip is None or (strip.step is None) == (strip.add is None):
        return
    here = (*path, "strip")
    try:
        plan = strip.plan()
    except Misread as error:
        yield Finding(here, error.what, error.fix)
    else:
        yield from (warning(here, words) for words in plan.warnings)
    if step.parts:
        yield Finding((*path, "parts"), "a test strip has no burns and dodges", "leave them for the print")
    if step.dry_down:
        what = "a strip is given its times as they are, and judged as it is"
        yield Finding((*path, "dry_down"), what, "leave dry_down for the print")


def _part(step: Expose, part: Part, path: Path) -> Iterator[Finding]:
    """What a part may say beside what it is: a burn and a dodge have stops, a light has a time."""
    own, other = ("time", "stops") if part.light else ("stops", "time")
    name = "light" if part.light else "burn" if part.burn else "dodge"
    if own not in part.model_fields_set:
        yield Finding(path, f"`{own}` is missing", f"write it like {'time: 7 s' if part.light else 'stops: 1/2'}")
    if getattr(part, other) is not None:
        why = "a light has a time of its own" if part.light else f"a {name} is so many stops of the base"
        yield Finding((*path, other), why, f"write {own}, and leave {other} out")
    for key in ("filter", "aperture"):
        if getattr(part, key) is None:
            continue
        if part.dodge:
            yield Finding((*path, key), "a dodge lies in the base's own light", f"leave {key} out")
        elif getattr(step, key) is None:
            fix = f"write {key} in the exposure too: it is set back for the next sheet"
            yield Finding((*path, key), f"the base has no {key} to go back to", fix)


def _times(step: Expose, path: Path) -> Iterator[Finding]:
    if step.time is None or step.strip is not None:
        return
    given = []
    for part in step.parts or ():
        if part is None or (part.burn is None and part.dodge is None and part.light is None):
            return
        if part.light is None and part.stops is None:
            return
        if part.light is None:
            given.append(parts.BurnOrDodge("burn" if part.burn else "dodge", part.area, part.stops or 0.0))
    try:
        plan = parts.plan(step.time, given, step.dry_down or 0.0)
        parts.shades(plan.base, [timed.ms for timed in plan.parts if timed.part.kind == "dodge"])
    except Misread as error:
        yield Finding((*path, "parts"), error.what, error.fix)
    else:
        yield from (warning((*path, "parts"), words) for words in plan.warnings)
