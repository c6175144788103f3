"""Whether an answer to a line of tanks holds, by playing it: parts go through the tanks and one hoist moves them.

It shares no code with what finds answers: it reads the file's own numbers, sends a dozen parts on their way one period
apart, and looks at every soak, every tank and every way of the hoist.
"""

from itertools import pairwise
from typing import Any


def faults(line: dict[str, Any], period: float, starts: list[float]) -> list[str]:
    """Everything that is wrong with start times at a period; [] is a good answer."""
    loaded = line["loaded_move"]
    if len(starts) != len(loaded):
        return [f"{len(starts)} starts for {len(loaded)} moves"]
    if period <= 0 or not all(0 <= start < period for start in starts):
        return ["a start lies outside of the period"]
    found: list[str] = []
    moments = _one_part(line, period, starts, found)
    if not found:
        _tanks(line, period, moments, found)
        _hoist(line, period, moments, found)
    return found


def _one_part(line: dict[str, Any], period: float, starts: list[float], found: list[str]) -> list[float]:
    """When one part is moved, from its first move on: every soak lies within its limits."""
    moments = [starts[0]]
    for stage in range(1, len(starts)):
        arrives = moments[-1] + line["loaded_move"][stage - 1]
        leaves = starts[stage]
        least, most = line["min_soak"][stage], line["max_soak"][stage]
        while leaves < arrives + least:
            leaves += period
        if most is not None and leaves - arrives > most:
            found.append(f"stage {stage}: a soak of {leaves - arrives:g}, at most {most:g}")
        moments.append(leaves)
    return moments


def _parts(moments: list[float], period: float) -> range:
    """So many parts that the first is out before the last comes."""
    return range(int((moments[-1] - moments[0]) // period) + 4)


def _tanks(line: dict[str, Any], period: float, moments: list[float], found: list[str]) -> None:
    """No tank ever holds more than it can; it is empty before the next part arrives."""
    holds = line.get("capacity") or [1] * len(moments)
    for stage in range(1, len(moments)):
        arrives = moments[stage - 1] + line["loaded_move"][stage - 1]
        for part in _parts(moments, period):
            inside = sum(
                1
                for other in _parts(moments, period)
                if arrives + other * period <= arrives + part * period <= moments[stage] + other * period
            )
            if inside > holds[stage]:
                found.append(f"stage {stage}: {inside} parts at once, it holds {holds[stage]}")
                return


def _hoist(line: dict[str, Any], period: float, moments: list[float], found: list[str]) -> None:
    """The hoist does one move after the other, and has the time to travel between them."""
    last = len(moments) - 1
    moves = sorted((moment + part * period, stage) for stage, moment in enumerate(moments) for part in _parts(moments, period))
    for (before, stage), (after, following) in pairwise(moves):
        free = before + line["loaded_move"][stage]
        way = line["empty_move_from_unload"] if stage == last else line["empty_move"][stage + 1]
        if after < free + way[following]:
            short = free + way[following] - after
            found.append(f"the hoist comes {short:g} too late from move {stage} to move {following}")
            return
