"""What `hostile.py` runs once the gate is in its place, or without one: a Textual app with a trick on each of its keys."""

import contextlib
import ctypes
import os
import signal
import subprocess

from textual.app import App
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Button, DataTable, Footer, Header, Input, Label, ProgressBar, Static, Switch

from assistant.terminal.brightness import session_begins, set_level

NOISE = "\x1b[32mgreen\x1b[0m \x1b[48;2;0;0;255mblue\x1b[m \u2705\u26a0\ufe0f\U0001f7e2 \x1b[1;4;5;97mbright\x1b[m"
RAW = [
    *("\x1b]11;#00ff00\x07", "\x1b]4;1;rgb:00/ff/00;52;rgb:ff/ff/ff\x1b\\", "\x1b[?5h", "\x1bc", "\x1b#8", "\x1b[!p", "\x07"),
    *("\x1b]8;;http://localhost\x1b\\link\x1b]8;;\x1b\\", "\x1bP0;0q#0;2;0;100;0!9~\x1b\\", "\x1b_Gf=24;AAAA\x1b\\"),
    *("\x1b]9;notice\x07", "\x1b[?25h", "\x1b[?1049l", "\x1b[0m\x1b[2J", "\x1b[39;49m\x1b[K", "\x1b[7m swapped "),
    *("\x1b[42m\x1b[5S", "\x1b[46m\x1b[2L\x1b[m", "\x1b[38:2::10:200:30mcolons", "\x1b[38;5;46mindexed", "\x1b[42m\n\n\n"),
    *("\x1b7\x1b[32m\x1b8", "\x0e\x1b(0qqq\x0f", "\x1b[4:3m\x1b[58;5;46mx", "\x9b32mC1", "\x1b[>4;2m", NOISE),
    *("\x1b_traycall;0000000000000000;setup\x1b\\", "\x1b_traycall;;setup\x1b\\", "\x1b]104\x07\x1b]110\x07\x1b]111\x07"),
]
KEYS = {
    "d": "dialog", "t": "toast", "r": "raw", "n": "noise", "x": "crash", "s": "segfault", "q": "quit", "l": "theme",
    "f5": "level('paper')", "f6": "level('work')", "f7": "level('setup')", "f8": "level('blackout')", "i": "ignore",
}  # fmt: skip
MARKUP = "[green]green[/] [on blue]ground[/] [@click=app.bell]a link[/] \u2705 \U0001f7e2 \u26a0\ufe0f words to wait for"


class Dialog(ModalScreen):
    BINDINGS = (("escape", "dismiss", "close"),)

    def compose(self):
        with Vertical():
            yield Label("A dialog that shines \u2728")
            yield Button("Go on", variant="success")
            yield Button("Leave", variant="error")


class Hostile(App):
    TITLE = "hostile"
    CSS = "Dialog { align: center middle; background: green 40%; } Vertical { width: 40; height: 12; background: blue; }"
    BINDINGS = tuple((key, action, action) for key, action in KEYS.items())

    def compose(self):
        yield Header()
        yield Static(MARKUP)
        yield Input(placeholder="a placeholder in grey")
        yield Switch(value=True)
        yield ProgressBar(total=100, show_eta=False)
        yield DataTable(zebra_stripes=True)
        yield Footer()

    def on_mount(self):
        session_begins()
        table = self.query_one(DataTable)
        table.add_columns("print", "tray", "time")
        table.add_rows([(f"copy {n}", "stop \U0001f4a7", f"{n}:00") for n in range(8)])
        self.query_one(ProgressBar).update(progress=40)
        self.set_focus(table)

    def action_dialog(self):
        self.push_screen(Dialog())

    def action_toast(self):
        self.notify("A toast that is all green \U0001f35e", title="done", severity="information")
        self.notify("and one in red", severity="error")
        self.copy_to_clipboard("words")
        self.bell()

    def action_raw(self):
        for raw in RAW:
            self._driver.write(raw)
        self._driver.write("\x1b[1;1H\x1b[32mraw was written")

    def action_noise(self):
        os.write(2, NOISE.encode())
        os.write(1, NOISE.encode())
        subprocess.run(["printf", NOISE.replace("\x1b", r"\033")], check=False)
        with contextlib.suppress(OSError), open("/dev/tty", "w") as terminal:  # noqa: PTH123
            terminal.write(NOISE)
        self.sub_title = "noise was made"

    def action_level(self, level):
        self.sub_title = f"{level} asked of a guard: {set_level(level)}"

    def action_ignore(self):
        for number in (signal.SIGTERM, signal.SIGHUP, signal.SIGINT):
            signal.signal(number, signal.SIG_IGN)
        self.sub_title = "signals are ignored"

    def action_theme(self):
        self.theme = "textual-light"

    def action_crash(self):
        raise RuntimeError("a fault on purpose \u274c")

    def action_segfault(self):
        ctypes.string_at(0)
