"""What is said at the beginning of a session besides what is promised: of the screen, of what differs, of temperatures and baths.

It is said once a face listens, so that it is shown as well as heard.
"""

from collections.abc import Mapping, Sequence

from assistant.conductor.conductor import Conductor
from assistant.printing.refusal import Refusal
from assistant.score.score import Score
from assistant.session.advance import advance, open_bench
from assistant.session.happenings import Reading
from assistant.trade.quantities import format_temperature


def checked(score: Score, temperatures: Mapping[str, float]) -> None:
    """Refusal where a temperature (degrees Celsius) is of no tray of the recipe, or can't be a bath's."""
    for tray, celsius in temperatures.items():
        trays = score.plan.recipe.trays
        if tray not in trays:
            raise Refusal(f"{score.plan.recipe.title} has no tray {tray}; it has {', '.join(trays)}.")
        outcome = advance(open_bench(score), Reading(tray, celsius), 0)
        if outcome.refused and outcome.answer is not None:
            raise Refusal(f"{tray} at {format_temperature(celsius)}: {outcome.answer.words}.")


def say_first(conductor: Conductor, screen: str, differs: str, temperatures: Mapping[str, float], remarks: Sequence[str]) -> None:
    """The screen's warning alone; then in one sentence what differs from an earlier session, temperatures (C) and all else."""
    conductor.beat()
    read = [_read(conductor, tray, celsius, len(temperatures) > 1) for tray, celsius in temperatures.items()]
    for said in (screen, ". ".join(filter(None, [differs, *read, *remarks]))):
        if said:
            conductor.remark(said)


def _read(conductor: Conductor, tray: str, celsius: float, several: bool) -> str:
    """A temperature is told to the session like one that is read during it; what it answers, with the tray where it must be."""
    answer = conductor.tell(Reading(tray, celsius), aloud=False).answer
    said = answer.words if answer is not None else ""
    by_law = any(
        step.kind == "develop" and step.tray == tray and step.temperature_law for step in conductor.bench.plan.recipe.steps
    )
    return said if by_law and not several else f"{tray} {said}"
