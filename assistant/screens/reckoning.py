"""The dry side's worksheets on the screen: filled in by keyboard, worked out at every key. Prints nothing itself.

A topic at a time: its fields, what can't be read beside the field, the answer with its law, and a picture where people
would rather look than read.
"""

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass, replace

from assistant.reckoning.topic import Answer, Field, Topic, Worked, worked
from assistant.reckoning.topics import TOPICS
from assistant.screens import curves
from assistant.screens.drawing import Row, packed
from assistant.screens.leaf import Leaf, dry_peak, page_of
from assistant.terminal.brightness import LEVELS
from assistant.trade.strips import StripPlan

SHEETS: tuple[Topic, ...] = tuple(TOPICS.values())
KEYS = (
    "tab: next sheet", "up down: field", "esc: leave", "page down: read on", "left right: choose", "type: replace",
    "backspace: change", "f1: help",
)  # fmt: skip
LONGEST = 200
"""Characters of a field: more is no quantity."""


@dataclass(frozen=True)
class Desk:
    """What lies before the printer: which sheet, which field of it, the page read, and what is written in all of them."""

    sheet: int = 0
    field: int = 0
    page: int = 0
    fresh: bool = True
    """The field has just been come to: what is typed takes the place of what stands there."""
    written: tuple[tuple[str, ...], ...] = tuple(tuple(field.start for field in sheet.fields) for sheet in SHEETS)

    @property
    def here(self) -> Field:
        """The field that is being filled in."""
        return SHEETS[self.sheet].fields[self.field]

    @property
    def text(self) -> str:
        """What is written in it."""
        return self.written[self.sheet][self.field]

    def write(self, text: str) -> "Desk":
        """The desk with another text in the field."""
        texts = list(self.written[self.sheet])
        texts[self.field] = text[:LONGEST]
        sheets = (*self.written[: self.sheet], tuple(texts), *self.written[self.sheet + 1 :])
        return replace(self, written=sheets, page=0, fresh=False)


def key_pressed(desk: Desk, key: str, character: str | None) -> Desk:
    """The desk after a key; one that means nothing leaves it as it is."""
    fields = SHEETS[desk.sheet].fields
    if key in ("pagedown", "pageup"):
        return replace(desk, page=desk.page + (1 if key == "pagedown" else -1))
    if key in ("tab", "shift+tab"):
        return replace(desk, sheet=(desk.sheet + (1 if key == "tab" else -1)) % len(SHEETS), field=0, page=0, fresh=True)
    if key in ("up", "down", "enter"):
        return replace(desk, field=(desk.field + (-1 if key == "up" else 1)) % len(fields), fresh=True)
    if desk.here.choices:
        step = {"left": -1, "right": 1, "space": 1}.get(key)
        return desk if step is None else desk.write(_beside(desk.here.choices, desk.text, step))
    if key == "backspace":
        return desk.write(desk.text[:-1])
    if key == "ctrl+u":
        return desk.write("")
    if not character or not character.isascii() or not character.isprintable():
        return desk
    return desk.write(character if desk.fresh else desk.text + character)


def _beside(choices: Sequence[str], chosen: str, step: int) -> str:
    return choices[(choices.index(chosen) + step) % len(choices)]


def draw_desk(desk: Desk, width: int, height: int) -> list[Row]:
    """The rows of the sheet, `height` of them: fields first, then the answer, then as much of its picture as fits."""
    sheet, texts = SHEETS[desk.sheet], desk.written[desk.sheet]
    done = worked(sheet, {field.name: text for field, text in zip(sheet.fields, texts, strict=True)})
    rows = [Row(text, "dim") for text in packed([_named(one, one is sheet) for one in SHEETS], width, "  ")]
    wide = max(len(field.name) for field in sheet.fields)
    rows += [_field(desk, i, wide, done, width) for i in range(len(sheet.fields))]
    rows += [Row(text, "bright") for text in _complaints(done, desk, width)]
    foot = [Row(row, "dim") for row in packed(KEYS, width)]
    rows.append(Row(""))
    room = height - len(foot) - len(rows)
    rows += page_of(_answered(done.answer, width, room), desk.page, room, "page down") if done.answer else []
    rows += [Row("")] * (height - len(foot) - len(rows))
    return [*rows[: max(0, height - len(foot))], *foot][:height]


def _named(sheet: Topic, looked_at: bool) -> str:
    return f"[{sheet.name}]" if looked_at else sheet.name


def _field(desk: Desk, i: int, wide: int, done: Worked, width: int) -> Row:
    field, text, here = SHEETS[desk.sheet].fields[i], desk.written[desk.sheet][i], i == desk.field
    shown = f"< {text} >" if field.choices else f"{text}_" if here else text
    hint = "  ?" if field.name in done.faults else f"   ({field.form})" if here and not field.choices and not text else ""
    row = f"{'>' if here else ' '} {field.name:<{wide}}  {shown}{hint}"
    return Row(_cut(row, width), "bright" if here else "text")


def _complaints(done: Worked, desk: Desk, width: int) -> list[str]:
    """The complaint about the field being filled in, or else the first one, or why there is no sum."""
    said = done.faults.get(desk.here.name) or next(iter(done.faults.values()), done.why)
    return textwrap.wrap(f"! {said}", width, subsequent_indent="  ") if said else []


def _answered(answer: Answer, width: int, room: int) -> list[Row]:
    rows = [Row(one, "bright") for line in answer.lines for one in _wrapped(line, width)]
    picture = answer.picture
    if isinstance(picture, StripPlan):
        rows += [Row(one) for line in curves.strip(picture, width) for one in _wrapped(line, width)]
    law = [Row(one, "dim") for one in _wrapped(f"law: {answer.law}", width)]
    minds = [Row(one, "dim") for mind in answer.minds for one in _wrapped(mind, width)]
    if picture is not None and not isinstance(picture, StripPlan):
        left = min(12, room - len(rows) - len(law) - min(len(minds), 2))
        rows += [Row(line) for line in curves.curve(picture, width, left)]
    return [*rows, *law, *minds]


def _wrapped(line: str, width: int) -> list[str]:
    return textwrap.wrap(line, width, subsequent_indent="    ", drop_whitespace=True) or [""]


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else text[: max(0, width - 1)] + "…"


class Reckoning(Leaf[None]):
    """The worksheets, until the printer leaves."""

    ON_KEYS = (
        "tab and shift+tab: the next sheet, the one before",
        "up, down or enter: another field; what is typed there first takes the place of what stands there",
        "backspace: the last letter away; ctrl+u: all of it; an empty field says nothing",
        "left, right: choose, in a field with < and >",
        "page down, page up: the rest of a long answer",
        "esc: leave",
    )

    def __init__(self, peak: int = LEVELS["setup"]) -> None:
        super().__init__(peak)
        self.desk = Desk()

    def pressed(self, key: str, character: str | None) -> None:
        """Fill in, or leave."""
        if key in ("escape", "ctrl+c"):
            self.exit()
        else:
            self.desk = key_pressed(self.desk, key, character)

    def rows(self, width: int, height: int) -> list[Row]:
        """The sheet that is being filled in."""
        return draw_desk(self.desk, width, height)


def reckon_on_screen(*, level: str = "setup", gated: bool = False) -> None:
    """Let the printer reckon before any paper is out. Level and gate as in `app.run_session`."""
    Reckoning(dry_peak(level, gated)).run()
