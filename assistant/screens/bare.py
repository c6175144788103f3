"""What every app here takes over from Textual (8.2.8): how it is begun and left, and that nothing of its own is painted."""

import os
from typing import TypeVar

from textual.app import App
from textual.css.query import NoMatches
from textual.driver import Driver
from textual.filter import LineFilter
from textual.widget import MountError

from assistant.terminal.sequences import TITLED, UNTITLED

Left = TypeVar("Left")


class Bare(App[Left]):
    """An app without a palette of commands, whose window has a name and whose faults are raised."""

    ENABLE_COMMAND_PALETTE = False
    ASKED = ""
    """What the terminal is asked for at the beginning, besides the window's name."""

    def get_driver_class(self) -> type[Driver]:
        """The terminal's keys read rightly, where a system has terminals."""
        if os.name != "posix":
            return super().get_driver_class()
        from assistant.screens.keyboard import Keyboard

        return Keyboard

    def get_line_filters(self) -> list[LineFilter]:
        """What is painted is red already: the toolkit's filter for NO_COLOR would make it grey, which lights paper."""
        return []

    def _handle_exception(self, error: Exception) -> None:
        """Once it is left nothing is mounted any more: what a key pressed just then opens has no widgets to find."""
        if not (self._exit and isinstance(error, NoMatches | MountError)):
            super()._handle_exception(error)

    def _print_error_renderables(self) -> None:
        """A fault is raised by `until_left`; nothing of it is painted."""

    def on_ready(self) -> None:
        """Name the window, which a guard has done already."""
        if self._driver is not None and not self.is_headless:
            self._driver.write(self.ASKED + TITLED)

    def on_unmount(self) -> None:
        """The window's title as it was."""
        if self._driver is not None and not self.is_headless:
            self._driver.write(UNTITLED)

    def until_left(self) -> Left | None:
        """Show it until it is left; what it was left with."""
        left = self.run()
        if self._exception is not None:
            raise self._exception
        return left
