"""The screens as pictures for people who read about them: `make pictures` writes them beside this file.

Each is the real screen on a session of an invented boatyard, as Textual exports it, drawn anew without fonts from
the net and without a window round it. The level is `setup`, for they are looked at by daylight.
"""

import asyncio
import re
import sys
from collections.abc import Callable, Iterator
from datetime import timedelta
from pathlib import Path
from tempfile import TemporaryDirectory
from xml.etree import ElementTree
from xml.sax.saxutils import escape

from textual.app import App

from assistant.buttons.one_button import one_button
from assistant.conductor.conductor import Conductor
from assistant.conductor.rehearsal import rehearse
from assistant.conductor.twins import RecordingDesk
from assistant.devices.clock import JumpingClock
from assistant.places import shipped
from assistant.planning.plan import make_plan
from assistant.printing.past_sessions import PastSessions
from assistant.recipe.loader import load
from assistant.records.journal import Journal
from assistant.records.memory_journal import MemoryJournal
from assistant.score.score import Score
from assistant.screens.app import Seen, SessionApp
from assistant.screens.choosing import DrySide, Offered
from assistant.screens.looking_back import LookingBack
from assistant.screens.reckoning import Reckoning
from assistant.session import happenings as h
from assistant.session.advance import open_bench
from assistant.session.bench import Bench
from assistant.session.passing import due
from assistant.session.script import Played
from tests.records.sessions import MORNING, keep
from tests.screens.tiring import Tiring

PICTURES = Path(__file__).parent
SIZE = (100, 30)
LARGEST = 60_000
CELL, LINE = 12, 24
"""One character of the picture, in its own units."""
RED = re.compile(r"#[0-9a-f]{2}0000", re.IGNORECASE)
BLOCKS = {"█": (0, LINE), "▀": (0, LINE // 2), "▄": (LINE // 2, LINE // 2)}
"""Block characters, from where in their line and how high: drawn, since fonts leave gaps between them."""
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
        f'<g font-family="monospace" font-size="{CELL / 0.6:g}" xml:space="preserve">',
    ]
    for text in root.iter(f"{SVG}text"):
        if (fill := fills.get(text.get("class", ""))) is not None and (text.text or "").strip():
            drawn += _line(fill, *_place(text), (text.text or "").replace("\xa0", " "))
    return "\n".join([*drawn, "</g>", "</svg>", ""])


def _place(text: ElementTree.Element) -> tuple[int, int]:
    """Column and row; the export sets each character 12.2 wide and 24.4 high, the first line's foot at 20."""
    return round(float(text.get("x", 0)) / 12.2), round((float(text.get("y", 0)) - 20) / 24.4)


def _line(fill: str, column: int, row: int, text: str) -> Iterator[str]:
    if not RED.fullmatch(fill):
        raise NotRed(f"{fill} in row {row}: {text.strip()}")
    blocks = [
        f"M{(column + i) * CELL} {row * LINE + BLOCKS[sign][0]}h{CELL}v{BLOCKS[sign][1]}h-{CELL}z"
        for i, sign in enumerate(text)
        if sign in BLOCKS
    ]
    if blocks:
        yield f'<path fill="{fill}" d="{"".join(blocks)}"/>'
    letters = "".join(" " if sign in BLOCKS else sign for sign in text).rstrip()
    indent = len(letters) - len(letters.lstrip())
    if letters := letters.lstrip():
        x, y = (column + indent) * CELL, row * LINE + LINE * 3 // 4
        yield f'<text x="{x}" y="{y}" textLength="{len(letters) * CELL}" fill="{fill}">{escape(letters)}</text>'


def exported(app: App[object], *keys: str) -> str:
    """What a screen shows once these keys were pressed, as Textual exports it."""

    async def look() -> str:
        async with app.run_test(size=SIZE) as pilot:
            await pilot.press(*keys)
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


def choosing() -> str:
    files = sorted(shipped("recipes").glob("*.yaml"))
    offered = [Offered(file.stem, load(file).recipe) for file in files]
    at = [one.name for one in offered].index("slipway-edition")
    return exported(DrySide(offered), *["down"] * at)


NOTED: tuple[Played, ...] = (
    (1_500_000, h.Note("copy 3: the sheet floated up, held under by hand")),
    (2_100_000, h.Reading("developer", 19.5)),
)


def looking_back(*keys: str) -> str:
    evenings = (("boat-shed-door", 4), ("by-the-first-tone", 6), ("slipway-edition", 8))
    with TemporaryDirectory() as folder, Journal.open(Path(folder) / "records.sqlite") as journal:
        for evening, (name, copies) in enumerate(evenings):
            loaded = load(shipped("recipes") / f"{name}.yaml")
            played = rehearse(Score(make_plan(loaded.recipe, copies)), Tiring(late=4_000))
            hands = sorted((*played.hands, *NOTED), key=lambda hand: hand[0])
            started = MORNING + timedelta(days=2 * evening, hours=9)
            keep(journal, hands, played.bench.now, text=loaded.text, copies=copies, started=started)
        return exported(LookingBack(PastSessions(journal)), *keys)


MADE: dict[str, Callable[[], str]] = {
    "wet-side-developer": lambda: wet_side(within("develop", 3, 47_000)),
    "wet-side-toner": lambda: wet_side(within("tone", 2, 52_000)),
    "choosing": choosing,
    "reckoning-strip": lambda: exported(Reckoning(), *["tab"] * 3),
    "reckoning-temperature": lambda: exported(Reckoning(), *["tab"] * 12),
    "looking-back": looking_back,
    "looking-back-first-tones": lambda: looking_back("down"),
    "looking-back-copy": lambda: looking_back("right", "right"),
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
