"""The dry side's app as a test works it: with a printer's own folders, keys and clicks, and what it shows as text."""

import asyncio
import contextlib
from collections.abc import Awaitable, Callable

import pytest
from rich.segment import Segment
from textual.pilot import Pilot
from textual.widget import Widget

from assistant.printing.outside import House
from assistant.screens.dry.app import DrySide
from assistant.screens.dry.outside import DryState

Play = Callable[["Stage"], Awaitable[object]]
MOST_LOOKS = 100


class Stage:
    """An app under way."""

    def __init__(self, app: DrySide, pilot: Pilot[object]) -> None:
        self.app, self.pilot = app, pilot

    async def settle(self) -> None:
        """Until all that was begun is done, but for what waits for a voice."""
        await self.pilot.pause()
        for worker in list(self.app.workers):
            if worker.name == "_read_all":
                await worker.wait()
        await self.pilot.pause()

    async def still(self) -> list[str]:
        """Until three looks in turn are alike, and what they show: a busy machine's program that waits for its turn is taken to
        be at rest by the toolkit."""
        looks: list[list[str]] = []
        while len(looks) < 3 or (looks[-3:] != 3 * looks[-1:] and len(looks) < MOST_LOOKS):
            await self.settle()
            looks.append(self.rows())
        return looks[-1]

    async def press(self, *keys: str) -> None:
        """Keys one after the other."""
        for key in keys:
            await self.pilot.press(key)
            await self.settle()

    async def click(self, what: str | Widget, offset: tuple[int, int] = (1, 0)) -> None:
        """A click on a widget, or on what lies in it there; OutOfBounds where it is not in sight."""
        await self.pilot.click(what, offset=offset)
        await self.settle()

    def segments(self) -> list[list[Segment]]:
        """What is painted, row by row, as it leaves the app."""
        return [list(strip) for strip in self.app.screen._compositor.render_strips()]

    def rows(self) -> list[str]:
        """The same as text."""
        return ["".join(segment.text for segment in row).rstrip() for row in self.segments()]

    def text(self) -> str:
        """The window on one line."""
        return " ".join(" ".join(self.rows()).split())


def played(play: Play, *, state: DryState | None = None, size: tuple[int, int] = (100, 30), silent: bool = True) -> object:
    """Work the app; what it ended with."""

    async def course() -> object:
        with contextlib.closing(House(silent)) as house:
            app = DrySide(house, state)
            async with app.run_test(size=size, notifications=True) as pilot:
                stage = Stage(app, pilot)
                await stage.settle()
                await play(stage)
            return app.return_value

    return asyncio.run(course())


@pytest.fixture
def own(tmp_path, monkeypatch):
    """A printer's folders, empty."""
    monkeypatch.setenv("TRAYCALL_HOME", str(tmp_path / "home"))
    here = tmp_path / "here"
    here.mkdir()
    monkeypatch.chdir(here)
    return tmp_path / "home"
