"""How evenly a bare lamp lights a sheet: the corner is further away and is lit at a slant. The lens is not in this."""

import math
from dataclasses import dataclass

from assistant.trade import limits
from assistant.trade.quantities import Size

LAW = "E = cos^3 of the angle at the lamp, tan = half the diagonal / height"


@dataclass(frozen=True)
class Corner:
    """The light in the corner of a sheet, as a share of the middle's and in stops (below zero)."""

    share: float
    stops: float


def corner(size: Size, height: float) -> Corner:
    """The corner of a sheet that lies under the middle of a bare lamp, `height` mm over it."""
    half_diagonal = math.hypot(*size.edges_mm) / 2
    share = math.cos(math.atan2(half_diagonal, limits.between(height, 10, 100_000, "the lamp's height", "mm"))) ** 3
    return Corner(share, math.log2(share))
