"""Long work over a place: a command of the program in a process of its own, how far it is, and Escape to stop it."""

import os
import re
import signal
import subprocess
import sys
from typing import ClassVar

from textual import work
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.widgets import ProgressBar, Static
from textual.worker import get_current_worker

from assistant.screens.dry import found
from assistant.screens.dry.dialogs import Window
from assistant.trade.foreign_text import as_text

PER_CENT = re.compile(r"(\d+) %")
"""A line by which a command at long work says how far it is."""


class Working(Window):
    """A command of the program at long work, how far it is, and what it said at its end; Escape stops it."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "stop it, back")]

    READ = True

    def __init__(self, title: str, call: list[str]) -> None:
        super().__init__()
        self.TITLE_WORDS = title
        self._call = [*call, "--progress"]
        self._process: subprocess.Popen[str] | None = None

    def content(self) -> ComposeResult:
        """That it goes on, and what came of it."""
        yield ProgressBar(total=100, show_eta=False)
        yield Static("Escape stops it.", id="came", markup=False)

    def on_mount(self) -> None:
        """Begin."""
        self._work()

    @work(thread=True)
    def _work(self) -> None:
        call, pipe, worker = [sys.executable, "-m", "assistant", *self._call], subprocess.PIPE, get_current_worker()
        wide = {"COLUMNS": str(max(20, self.query_one("#came").size.width))}
        with subprocess.Popen(
            call, text=True, stdin=subprocess.DEVNULL, stdout=pipe, stderr=pipe, env={**os.environ, **wide}
        ) as process:
            self._process = process
            assert process.stdout is not None
            assert process.stderr is not None
            said = []
            for line in process.stdout:
                if far := PER_CENT.fullmatch(line.rstrip()):
                    if not worker.is_cancelled:
                        found.show(self, self._far, int(far[1]))
                else:
                    said.append(line.rstrip())
            said += process.stderr.read().splitlines()
        if not worker.is_cancelled:
            found.show(self, self._over, said)

    def _far(self, percent: int) -> None:
        self.query_one(ProgressBar).update(progress=percent)

    def _over(self, said: list[str]) -> None:
        self._process = None
        self.query_one(ProgressBar).display = False
        self.query_one("#came", Static).update("\n".join(map(as_text, said)))

    def action_leave(self) -> None:
        """Stop the work, or leave what is done."""
        if self._process is not None:
            self._process.send_signal(signal.SIGINT)  # so that it puts away what is half written
            self.app.notify("Stopped.")
        self.workers.cancel_node(self)
        self.dismiss(None)

    def on_unmount(self) -> None:
        """Nothing goes on that nobody waits for."""
        if self._process is not None:
            self._process.terminate()
