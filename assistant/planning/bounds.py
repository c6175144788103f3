"""Below what no plan can finish: the longest chain of one copy's times and full trays, and the hands with all they must do.

The chain knows no hands beyond one action; the hands know no trays beyond when each action can begin and what must
follow it. Whichever is longer bounds the finish from below. Neither knows the other's order, so a plan that meets the
bound is the best there is, and one that does not may be.
"""

from collections.abc import Sequence
from heapq import heappop, heappush


def preemptive(releases: Sequence[int], takes: Sequence[int], tails: Sequence[int]) -> int:
    """When all is over if the hands could leave off any action for a more urgent one; all in ms, a row for each action.

    The bound of one machine with heads and tails: always the released action with the longest tail. Source: J. R.
    Jackson, Scheduling a production line to minimize maximum tardiness, 1955 (from memory); J. Carlier, The one-machine
    sequencing problem, 1982 (from memory).
    """
    order = sorted(range(len(takes)), key=lambda i: releases[i])
    left = list(takes)
    ready: list[tuple[int, int]] = []
    now = over = 0
    at = 0
    while at < len(order) or ready:
        if not ready:
            now = max(now, releases[order[at]])
        while at < len(order) and releases[order[at]] <= now:
            heappush(ready, (-tails[order[at]], order[at]))
            at += 1
        urgent = ready[0][1]
        until = releases[order[at]] if at < len(order) else now + left[urgent]
        spent = min(left[urgent], until - now)
        now += spent
        left[urgent] -= spent
        if not left[urgent]:
            heappop(ready)
            over = max(over, now + tails[urgent])
    return over
