"""What will be needed before copy one, as lines to read: sheets, trays, what is poured, and what to mind."""

from collections.abc import Iterator

from assistant.planning.plan import Plan
from assistant.recipe.model import Tray
from assistant.trade.quantities import format_mixture, format_temperature, format_volume

CAUTIONS = {
    "gloves": "gloves on before the tray is touched",
    "ventilation": "fan on, the air drawn away from your face",
}
"""A recipe's word of care -> the usual caution; other words are shown as they stand."""
LABEL = "The product's label and safety sheet, local codes and licensed practice govern. This is no safety device."


def needed(plan: Plan) -> list[str]:
    """The lines, trays in bench order."""
    recipe = plan.recipe
    untoned = f", {plan.reference} of them left untoned" if plan.reference else ""
    lines = [f"{recipe.title}: {plan.copies} {'copy' if plan.copies == 1 else 'copies'}{untoned}."]
    if recipe.paper is not None:
        lines.append(f"Paper: {_paper(plan)}. Number the back of every sheet.")
    wide = max(len(name) for name in recipe.trays) + 1
    lines += [f"  {name:<{wide}} {_bath(tray)}" for name, tray in recipe.trays.items()]
    care = list(dict.fromkeys(word for tray in recipe.trays.values() for word in tray.care))
    lines += [f"Mind: {CAUTIONS.get(word, word)}." for word in care]
    if recipe.flow == "overlap":
        lines.append("Copies are printed one at a time: overlapping them is not planned yet.")
    return [*lines, LABEL]


def _paper(plan: Plan) -> str:
    paper = plan.recipe.paper
    assert paper is not None
    size = f"{paper.size.width:g}x{paper.size.height:g} {paper.size.unit}" if paper.size else None
    batch = f"batch {paper.batch}" if paper.batch else None
    return ", ".join(filter(None, [paper.name, size, paper.grade, batch]))


def _bath(tray: Tray) -> str:
    return ", ".join(_parts(tray))


def _parts(tray: Tray) -> Iterator[str]:
    yield tray.bath
    if tray.volume is not None and tray.mix is not None:
        yield f"{format_volume(tray.volume)} = {format_mixture(tray.mix, tray.volume)}"
    elif tray.volume is not None:
        yield format_volume(tray.volume)
    elif tray.mix is not None:
        yield f"{tray.mix.concentrate:g}+{tray.mix.water:g}"
    if tray.temperature is not None:
        yield format_temperature(tray.temperature)
