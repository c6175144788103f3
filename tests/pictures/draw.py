"""The screens as pictures for people who read about them: `make pictures` writes them beside this file.

Each is the real screen on a session of an invented boatyard, as Textual exports it, drawn anew without fonts from
the net and without a window round it. The level is `setup`, for they are looked at by daylight.
"""

import asyncio
import contextlib
import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from xml.etree import ElementTree
from xml.sax.saxutils import escape

import pytest
from textual.app import App

from assistant.buttons.one_button import one_button
from assistant.conductor.conductor import Conductor
from assistant.conductor.twins import RecordingDesk
from assistant.devices.clock import JumpingClock
from assistant.places import shipped
from assistant.planning.plan import make_plan
from assistant.printing.outside import House
from assistant.recipe.loader import load
from assistant.score.score import Score
from assistant.screens.app import Seen, SessionApp
from assistant.screens.dry.app import DrySide
from assistant.screens.dry.outside import DryState, PlaceName
from assistant.session.advance import open_bench
from assistant.session.bench import Bench
from assistant.session.passing import due
from tests.records.memory_journal import MemoryJournal
from tests.screens.evenings import keep_evenings
from tests.screens.tiring import Tiring

PICTURES = Path(__file__).parent
SIZE = (100, 30)
LARGEST = 60_000
CELL, LINE = 12, 24
"""One character of the picture, in its own units."""
RED = re.compile(r"#[0-9a-f]{2}0000", re.IGNORECASE)
BLOCKS = {"█": (0, LINE), "▀": (0, LINE // 2), "▄": (LINE // 2, LINE // 2)}
"""Block characters, from where in their line and how high: drawn, since fonts leave gaps between them."""
WORDS = re.compile(r"\S+(?: \S+)*")
"""What stands together: some readers of pictures take several spaces for one, so a wider gap begins a text of its own."""
BRAILLE = frozenset(map(chr, range(0x2800, 0x2900)))
DOTS = ((0, 0), (0, 1), (0, 2), (1, 0), (1, 1), (1, 2), (0, 3), (1, 3))
"""The dots of a braille sign in the order of its bits: column and row; drawn too, since many fonts lack them."""
SVG = "{http://www.w3.org/2000/svg}"


class NotRed(ValueError):
    """A picture with a colour that would fog paper."""


def picture(exported: str) -> str:
    """An exported screen drawn anew: nothing but red text and blocks on black. NotRed for any other colour."""
    root = ElementTree.fromstring(exported)
    style = root.findtext(f"{SVG}style", "")
    fills = dict(re.findall(r"\.([\w-]+-r\d+) \{ fill: (#[0-9a-fA-F]{6})", style))
    wide, high = SIZE[0] * CELL, SIZE[1] * LINE
    drawn = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="-{CELL} -{CELL} {wide + 2 * CELL} {high + 2 * CELL}">',
        f'<rect x="-{CELL}" y="-{CELL}" width="100%" height="100%" fill="#000000"/>',
        f'<g font-family="monospace" font-size="{CELL / 0.6:g}">',
    ]
    for ground in root.iter(f"{SVG}rect"):
        drawn += _ground(ground)
    for text in root.iter(f"{SVG}text"):
        if (fill := fills.get(text.get("class", ""))) is not None and (text.text or "").strip():
            drawn += _line(fill, *_place(text), (text.text or "").replace("\xa0", " "))
    return "\n".join([*drawn, "</g>", "</svg>", ""])


def _ground(rect: ElementTree.Element) -> Iterator[str]:
    """The ground of marked cells; the export begins its rows 24.4 apart at 1.5."""
    fill = rect.get("fill", "")
    if rect.get("shape-rendering") is None or fill == "#000000":
        return  # the window round it, or black
    column, row = round(float(rect.get("x", 0)) / 12.2), round((float(rect.get("y", 0)) - 1.5) / 24.4)
    wide = round(float(rect.get("width", 0)) / 12.2)
    if not RED.fullmatch(fill):
        raise NotRed(f"a ground of {fill} in row {row}")
    yield f'<path fill="{fill}" d="M{column * CELL} {row * LINE}h{wide * CELL}v{LINE}h-{wide * CELL}z"/>'


def _place(text: ElementTree.Element) -> tuple[int, int]:
    """Column and row; the export sets each character 12.2 wide and 24.4 high, the first line's foot at 20."""
    return round(float(text.get("x", 0)) / 12.2), round((float(text.get("y", 0)) - 20) / 24.4)


def _line(fill: str, column: int, row: int, text: str) -> Iterator[str]:
    if not RED.fullmatch(fill):
        raise NotRed(f"{fill} in row {row}: {text.strip()}")
    drawn = "".join(_drawn(sign, (column + i) * CELL, row * LINE) for i, sign in enumerate(text))
    if drawn:
        yield f'<path fill="{fill}" d="{drawn}"/>'
    letters = "".join(" " if sign in BLOCKS or sign in BRAILLE else sign for sign in text)
    for words in WORDS.finditer(letters):
        x, y = (column + words.start()) * CELL, row * LINE + LINE * 3 // 4
        yield f'<text x="{x}" y="{y}" textLength="{len(words[0]) * CELL}" fill="{fill}">{escape(words[0])}</text>'


def _drawn(sign: str, x: int, y: int) -> str:
    """A block or the dots of a braille sign as a path; "" for a letter."""
    if sign in BLOCKS:
        return f"M{x} {y + BLOCKS[sign][0]}h{CELL}v{BLOCKS[sign][1]}h-{CELL}z"
    if sign not in BRAILLE:
        return ""
    dots = [place for bit, place in enumerate(DOTS) if ord(sign) - 0x2800 & 1 << bit]
    return "".join(f"M{x + 2 + right * 6} {y + 2 + down * 6}h3v3h-3z" for right, down in dots)


def exported(app: App[object], *keys: str) -> str:
    """What a screen shows once these keys were pressed, as Textual exports it."""

    async def look() -> str:
        async with app.run_test(size=SIZE) as pilot:
            for key in ("", *keys):
                await pilot.press(*filter(None, [key]))
                await pilot.pause()
                await app.workers.wait_for_complete()
                await pilot.pause()
            return app.export_screenshot()

    return asyncio.run(look())


# Sessions.


def edition() -> Score:
    return Score(make_plan(load(shipped("recipes") / "slipway-edition.yaml").recipe))


def wet_side(until: Callable[[Bench], int | None]) -> str:
    """The edition at a moment: `until` tells it from the bench, None while it has not come."""
    clock, printer = JumpingClock(), Tiring()
    conductor = Conductor(open_bench(edition()), clock, RecordingDesk(), MemoryJournal(clock))
    conductor.open()
    while (moment := until(conductor.bench)) is None:
        hand, next_beat = printer.next(conductor.bench), due(conductor.bench)
        at = min(filter(None, (hand and hand[0], next_beat)))
        clock.jump(max(at, clock.now()))
        if hand and at == hand[0]:
            conductor.tell(hand[1])
            printer.played(hand)
        conductor.beat()
    clock.jump(moment)
    return exported(SessionApp(conductor, one_button(conductor), Seen("setup"), waited=lambda pressed: 0))


def within(kind: str, copy: int, after: int) -> Callable[[Bench], int | None]:
    """The moment `after` ms into a copy's step of this kind."""

    def moment(bench: Bench) -> int | None:
        sheet = bench.copy(copy)
        here = sheet.since is not None and bench.step_of(sheet).kind == kind
        return sheet.since + after if here and sheet.since is not None else None

    return moment


def dry_side(place: PlaceName, *keys: str, evenings: bool = False) -> str:
    """A place of the dry side, with a printer's own folders that are empty but for some evenings."""
    with TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch:
        patch.setenv("TRAYCALL_HOME", folder)
        patch.chdir(folder)
        if evenings:
            keep_evenings()
        with contextlib.closing(House()) as house:
            return exported(DrySide(house, DryState(place, "slipway-edition")), *keys)


MADE: dict[str, Callable[[], str]] = {
    "wet-side-developer": lambda: wet_side(within("develop", 3, 47_000)),
    "wet-side-toner": lambda: wet_side(within("tone", 2, 52_000)),
    "dry-print": lambda: dry_side("print"),
    "dry-strip": lambda: dry_side("calculate", *["down"] * 3),
    "dry-temperature": lambda: dry_side("calculate", *["down"] * 12),
    "dry-records": lambda: dry_side("records", evenings=True),
    "dry-first-tones": lambda: dry_side("records", "down", evenings=True),
    "dry-set-up": lambda: dry_side("setup"),
}
"""Picture -> the screen as Textual exports it."""


def main() -> None:
    PICTURES.mkdir(exist_ok=True)
    for name, export in MADE.items():
        drawn = picture(export())
        if len(drawn.encode()) > LARGEST:
            sys.exit(f"{name}: {len(drawn.encode())} bytes are too many; {LARGEST} are allowed.")
        (PICTURES / f"{name}.svg").write_text(drawn, encoding="utf-8")


if __name__ == "__main__":
    main()
