"""A stack of sheets in one developer, laid out in time: one by one in, agitated as one, one by one out in the same order.

Nothing is searched for: the recipe says every moment. Moments are ms from when the first sheet goes in.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from assistant.planning.picture import PictureRow
from assistant.recipe.model import Agitate, Develop
from assistant.trade.quantities import format_span
from assistant.trade.wording import counted, to_second

STACK = "*"
"""The sign of all sheets together: they are agitated as one."""


@dataclass(frozen=True)
class Stack:
    """Sheets of a development that go in `apart`, ms.

    `holds` is how many sheets its tray holds, `turns` when the stack is agitated (ms), `turn` how long one sheet of it takes
    the hands (ms), `pace` how long they take to lay one in (ms).
    """

    step: Develop
    sheets: int
    holds: int
    turns: tuple[int, ...]
    turn: int
    pace: int

    @property
    def apart(self) -> int:
        """From one sheet to the next, ms."""
        return self.step.apart or 0

    @property
    def stays(self) -> list[tuple[int, int, int]]:
        """When each sheet goes in, is lifted, and is out, ms."""
        target = self.step.target or 0
        into = [sheet * self.apart for sheet in range(self.sheets)]
        return [(at, at + target - self.step.drain, at + target) for at in into]

    @property
    def finish(self) -> int:
        """When the last sheet is out, ms."""
        return self.stays[-1][2]

    @property
    def most(self) -> int:
        """How many sheets its time and its tray allow: all are in before the first is lifted, and can be gone through once."""
        room = (self.step.target or 0) - self.step.drain
        return min(self.holds, room // self.apart)


def rows(stack: Stack) -> list[PictureRow]:
    """A row for the hands, and one for every sheet in the tray."""
    laid = [(into, into + stack.pace, str(sheet)) for sheet, (into, _, _) in enumerate(stack.stays, 1)]
    agitated = [(at, at + stack.turn * stack.sheets, STACK) for at in stack.turns]
    moved = [(lift, out, str(sheet)) for sheet, (_, lift, out) in enumerate(stack.stays, 1)]
    inside = [
        PictureRow(f"{stack.step.tray} {sheet}", ((into, out, str(sheet)),))
        for sheet, (into, _, out) in enumerate(stack.stays, 1)
    ]
    return [PictureRow("hands", (*laid, *agitated, *moved)), *inside]


def told(stack: Stack) -> list[str]:
    """The same in words: how it goes, when each sheet goes in and comes out, when the stack is agitated, how many fit."""
    name, each, apart = stack.step.name.lower(), format_span(stack.step.target or 0), format_span(stack.apart)
    heads = ("sheet", "in", "lift", "out")
    body = [(str(sheet), *map(to_second, stay)) for sheet, stay in enumerate(stack.stays, 1)]
    turns, agitate = list(map(to_second, stack.turns)), stack.step.agitate
    moved: list[str] = []
    if isinstance(agitate, Agitate) and turns:
        moved = [f"All are agitated together every {format_span(agitate.every)}, from {turns[0]} to {turns[-1]}."]
    elif agitate is not None:
        moved = ["Kept moving all the time between." if isinstance(agitate, str) else "There is no time to agitate it."]
    return [
        f"{counted(stack.sheets, 'sheet')} in the {name}, each for {each}: in one by one every {apart}, out in the same order.",
        "",
        *_columns([heads, *body]),
        "",
        *moved,
        f"At most {counted(stack.most, 'sheet')} can lie in it at once this way.",
    ]


def _columns(lines: Sequence[Sequence[str]]) -> list[str]:
    wide = [max(len(line[i]) for line in lines) for i in range(len(lines[0]))]
    return ["  ".join(f"{cell:>{wide[i]}}" for i, cell in enumerate(line)) for line in lines]


def as_object(stack: Stack) -> dict[str, Any]:
    """The same as plain values: all moments and spans in whole ms."""
    step, tray = stack.step, stack.step.tray
    stays = [{"copy": sheet, "tray": tray, "from_ms": into, "lift_ms": lift, "to_ms": out}
             for sheet, (into, lift, out) in enumerate(stack.stays, 1)]  # fmt: skip
    return {"step": step.name, "apart_ms": stack.apart, "stays": stays, "agitated_ms": list(stack.turns), "most": stack.most}
