"""What one pair of hands needs for each thing it does: read by the settings too, so nothing of a recipe is imported here."""

from dataclasses import dataclass, fields, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from assistant.recipe.model import HandTimes


@dataclass(frozen=True)
class Hands:
    """What one pair of hands needs, in ms; common practice, no source: every printer has other hands.

    `slack`: free before every exact lift, and in hand in every soft bath. `pace`: until the hands answer, in every action.
    `place`: a sheet out of the box and under the negative. `carry`: from there into the first bath. `change`: to dry the
    hands and cross over to the paper, or back. `turn`: one turn of a sheet in its bath.
    """

    slack: int = 15_000
    pace: int = 2_000
    place: int = 20_000
    carry: int = 10_000
    change: int = 5_000
    turn: int = 3_000

    def but(self, times: "HandTimes") -> "Hands":
        """These hands with what a recipe says of them."""
        own = {field.name: getattr(times, field.name) for field in fields(self)}
        return replace(self, **{name: ms for name, ms in own.items() if ms is not None})
