"""The guarded session in real terminals, judged by the pixels of the frame buffer. Run by `make dark`; no test of pytest's.

    python -m tests.dark.xterm

Xvfb keeps its frame buffer in a file (a header and rows of 32 bits), which is looked at all the time while the session
goes through its phases; xterm starts black on white. A twin without the guard shows that a lit pixel is seen. Then every
terminal that is installed, on a white and on a black ground: dark while a session runs and after a signal, and after the word
the ground and the letters that it had before.
"""

import contextlib
import os
import signal
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import numpy as np

HERE = Path(__file__).parent
PLANTED, QUICK = str(HERE / "planted.py"), str(HERE.parent / "pty" / "quick.yaml")
WIDTH, HEIGHT, DISPLAY = 1000, 700, ":87"


class FrameBuffer:
    """What Xvfb shows, as the file that it is kept in."""

    def __init__(self, folder: str) -> None:
        file = Path(folder, "Xvfb_screen0")
        header = np.fromfile(file, ">u4", 25)
        self._at = int(header[0]) + int(header[19]) * 12  # the header and its colour table
        self._row = int(header[12])
        self._bytes = np.memmap(file, np.uint8, "r")

    def pixels(self) -> np.ndarray:
        """Rows x columns x (blue, green, red)."""
        rows = np.array(self._bytes[self._at : self._at + self._row * HEIGHT]).reshape(HEIGHT, self._row // 4, 4)
        return rows[:, :WIDTH, :3]


class Watch(threading.Thread):
    """Looks as often as it can; for each phase: looks, most pixels with green or blue in one look, brightest red."""

    def __init__(self, buffer: FrameBuffer) -> None:
        super().__init__(daemon=True)
        self._buffer, self._over = buffer, threading.Event()
        self.phase = "before"
        self.seen: dict[str, list[int]] = {}
        self.black_at: float | None = None

    def run(self) -> None:
        while not self._over.is_set():
            phase, pixels = self.phase, self._buffer.pixels()
            lit = int(np.count_nonzero(pixels[:, :, :2].any(axis=2)))
            if phase == "start" and self.black_at is None:
                if lit:
                    continue  # the window as it was before the program
                self.black_at = time.monotonic()
            looks, most, red = self.seen.get(phase, [0, 0, 0])
            self.seen[phase] = [looks + 1, max(most, lit), max(red, int(pixels[:, :, 2].max()))]

    def stop(self) -> None:
        self._over.set()
        self.join()


@contextlib.contextmanager
def screen(folder: str) -> Iterator[FrameBuffer]:
    """A display of its own, black where there is no window, with the pointer where the window will be."""
    words = ["Xvfb", DISPLAY, "-screen", "0", f"{WIDTH}x{HEIGHT}x24", "-fbdir", folder, "-br", "-noreset", "-nolisten", "tcp"]
    server = subprocess.Popen(words, stderr=subprocess.DEVNULL)
    try:
        until(lambda: tool("mousemove", "200", "200") == 0)
        yield FrameBuffer(folder)
    finally:
        server.terminate()
        server.wait()


def until(done) -> None:
    end = time.monotonic() + 40
    while not done():
        if time.monotonic() > end:
            raise SystemExit("waited in vain for the display or the program")
        time.sleep(0.02)


def tool(*words: str) -> int:
    on_display = {**os.environ, "DISPLAY": DISPLAY}
    return subprocess.run(["xdotool", *words], env=on_display, capture_output=True, check=False).returncode


def children(pid: int) -> list[int]:
    with contextlib.suppress(OSError):
        return [int(word) for word in Path(f"/proc/{pid}/task/{pid}/children").read_text().split()]
    return []


def child(pid: int) -> int | None:
    """What a process has started: of several the one that has started something itself, for urxvt has a helper of its own."""
    found = children(pid)
    return next((one for one in found if children(one)), found[0] if found else None)


def program(window: subprocess.Popen, shells: int = 0) -> int | None:
    """The program that the guard in this window guards; below so many shells."""
    found = child(window.pid)
    for _ in range(shells + 1):
        found = found and child(found)
    return found


def window(how: str, home: str) -> subprocess.Popen:
    """An xterm as wide as 100 letters, black on white, with the session in it."""
    guard = "--guard" if how == "guarded" else "--no-guard"
    env = {**os.environ, "DISPLAY": DISPLAY, "TRAYCALL_HOME": home, "PYTHONPATH": str(HERE.parents[1]), "TMUX": "", "STY": ""}
    look = ["-geometry", "100x30+20+20", "-bg", "white", "-fg", "black", "-b", "6", "-tn", "xterm-256color"]
    return subprocess.Popen(["xterm", *look, "-e", sys.executable, PLANTED, how, "run", QUICK, "--silent", guard], env=env)


def keys(*names: str) -> None:
    for name in names:
        tool("key", name)
        time.sleep(0.05)


def resized(*sizes: tuple[int, int]) -> None:
    for width, height in sizes:
        tool("search", "--class", "xterm", "windowsize", str(width), str(height))
        time.sleep(0.6)


def end(window: subprocess.Popen, shells: int = 0) -> None:
    """End the session by hand: twice within ten seconds, and again where a slow start has missed it."""
    for _ in range(30):
        if program(window, shells):
            keys("question", "ctrl+c", "ctrl+c")
            time.sleep(0.5)
    time.sleep(1)


def journey(watch: Watch, xterm: subprocess.Popen) -> None:
    """Through everything, in the dark, up to the typed word."""

    def phase(name: str, *names: str, lasting: float = 0.8) -> None:
        watch.phase = name
        keys(*names)
        time.sleep(lasting)

    phase("to be read", lasting=1.5)
    phase("session", "space", lasting=1.5)
    phase("help, a note, a tap", "question", "question", "n", "g", "Return", "space")
    phase("noise past the screen", "F11")
    watch.phase = "resized"
    resized((900, 640), (500, 300), (960, 660), (620, 420))
    for name, key in (("level work", "F6"), ("level setup", "F7"), ("blackout", "F8")):
        phase(name, key)
    watch.phase = "resized in the blackout"
    resized((900, 640), (620, 420))
    phase("lifted", "F5")
    phase("a fault", "F9")
    phase("gone on with", "Return", lasting=1.5)
    phase("a fault in a library", "F10")
    phase("gone on with again", "Return", lasting=1.5)
    watch.phase = "killed"
    until(lambda: program(xterm))
    killed = program(xterm)
    assert killed is not None
    os.kill(killed, signal.SIGKILL)
    until(lambda: program(xterm) not in (None, killed) or keys("Return"))  # by itself, or on a tap
    phase("gone on with a third time", lasting=1.5)
    watch.phase = "ended"
    end(xterm)
    phase("wrong words", "q", "Return", "l", "i", "g", "h", "t", "x", "Return")
    watch.phase = "lights"
    keys(*"lights", "Return")
    xterm.wait(40)


def guarded(folder: str) -> bool:
    """The journey and its figures; whether all of it was dark."""
    with screen(folder) as buffer:
        watch = Watch(buffer)
        watch.start()
        xterm = window("guarded", folder)
        until(lambda: np.count_nonzero(buffer.pixels()) > WIDTH)
        watch.phase, began = "start", time.monotonic()
        until(lambda: program(xterm))
        journey(watch, xterm)
        watch.stop()
    for not_judged in ("before", "lights"):
        watch.seen.pop(not_judged, None)
    print(f"black {((watch.black_at or began) - began) * 1000:.0f} ms after the window was seen")
    print(f"{'phase':26}{'looks':>7}{'pixels with green or blue':>28}{'brightest red':>16}")
    for name, (looks, most, red) in watch.seen.items():
        print(f"{name:26}{looks:7}{most:28}{red:16}")
    looks, most = sum(seen[0] for seen in watch.seen.values()), max(seen[1] for seen in watch.seen.values())
    print(f"{looks} looks at {WIDTH * HEIGHT} pixels: at most {most} with green or blue")
    return most == 0 and watch.black_at is not None


def bare(folder: str) -> bool:
    """The twin: no guard, the same start and the same noise; whether anything lit was seen."""
    with screen(folder) as buffer:
        watch = Watch(buffer)
        watch.start()
        xterm = window("bare", folder)
        until(lambda: np.count_nonzero(buffer.pixels()) > WIDTH)
        time.sleep(2.5)
        keys("space")  # what is to be read has been
        time.sleep(1.5)
        watch.phase = "noise past the screen"
        keys("F11")
        time.sleep(0.5)
        watch.stop()
        xterm.terminate()
        xterm.wait()
    print(f"without the guard: up to {watch.seen['noise past the screen'][1]} pixels with green or blue")
    return watch.seen["noise past the screen"][1] > 0


GROUNDS = {"white": "black", "black": "white"}
"""The ground of a window, and its letters."""
TERMINALS = {
    "xterm": ["xterm", "-geometry", "90x28+20+20", "-b", "6", "-bg", "{ground}", "-fg", "{letters}"],
    "urxvt": ["urxvt", "-geometry", "90x28+20+20", "-b", "6", "+sb", "-bg", "{ground}", "-fg", "{letters}"],
    "st": ["st", "-g", "90x28+20+20"],
    "alacritty": [
        *("alacritty", "-o", "window.position={{x: 20, y: 20}}", "colors.primary.background='{ground_hex}'"),
        *("colors.primary.foreground='{letters_hex}'", "window.dimensions={{columns: 90, lines: 28}}"),
    ],
}
"""How a window of each kind is opened; st has its colours compiled in."""
_HEX = {"white": "#ffffff", "black": "#000000"}
CALL = 'echo before before before; read _; "$0" "$1" guarded run "$2" --silent --guard; echo after after after; read _'


def look(buffer: FrameBuffer) -> tuple[tuple[int, ...], int]:
    """The commonest colour of the window's middle, and how many pixels of it have another one."""
    middle = buffer.pixels()[28:380, 28:540].reshape(-1, 3).astype(np.uint32) @ np.array([1 << 16, 1 << 8, 1], np.uint32)
    colours, counts = np.unique(middle, return_counts=True)
    commonest = int(colours[counts.argmax()])
    return tuple(commonest.to_bytes(3, "big")), int(len(middle) - counts.max())


def lit(buffer: FrameBuffer) -> int:
    return int(np.count_nonzero(buffer.pixels()[:, :, :2].any(axis=2)))


def given_back(terminal: str, ground: str) -> bool:
    """One terminal on one ground, to the word and after it."""
    names = {"ground": ground, "letters": GROUNDS[ground], "ground_hex": _HEX[ground], "letters_hex": _HEX[GROUNDS[ground]]}
    words = [word.format(**names) for word in TERMINALS[terminal]]
    with tempfile.TemporaryDirectory() as folder, screen(folder) as buffer:
        unsaid = ("COLORTERM", "COLORFGBG", "TERM", "TMUX", "STY")
        env = {name: value for name, value in os.environ.items() if name not in unsaid}
        env |= {"DISPLAY": DISPLAY, "TRAYCALL_HOME": folder, "PYTHONPATH": str(HERE.parents[1])}
        tool("mousemove", str(WIDTH - 1), str(HEIGHT - 1))  # some draw their pointer in colours of their own
        shell = ["sh", "-c", CALL, sys.executable, PLANTED, QUICK]
        with open(os.devnull, "w") as nowhere:  # noqa: PTH123
            watch = Watch(buffer)
            watch.start()
            window = subprocess.Popen([*words, "-e", *shell], env=env, stderr=nowhere, stdout=nowhere)
        try:
            until(lambda: look(buffer) > ((0, 0, 0), 20) and (ground == "black" or look(buffer)[0] == (255, 255, 255)))
            before, _ = look(buffer)
            tool("search", "--onlyvisible", "--name", ".", "windowfocus")  # there is no window manager to do it
            keys("Return")
            until(lambda: program(window, 1) and not lit(buffer))
            watch.phase = "dark"
            until(lambda: look(buffer)[1] > 200)
            keys("space")  # what is to be read has been
            time.sleep(1.5)
            end(window, 1)
            watch.phase = "lights"
            keys(*"lights", "Return")
            until(lambda: look(buffer)[0] == before and look(buffer)[1] > 20 and lit(buffer) > 20)
            good = watch.seen["dark"][1] == 0
        except SystemExit:
            good = False
        finally:
            watch.stop()
            window.kill()
            window.wait()
    said = "given back, with letters on it" if good else "FAILED"
    most = watch.seen.get("dark", [0, 0])[1]
    print(f"{terminal:10} on {ground}: at most {most} lit pixels while dark; the ground {said}")
    return good


def main() -> int:
    from shutil import which

    with tempfile.TemporaryDirectory() as one, tempfile.TemporaryDirectory() as two:
        dark, seen = guarded(one), bare(two)
    found = [(terminal, ground) for terminal in TERMINALS if which(terminal) for ground in GROUNDS]
    back = [given_back(terminal, ground) for terminal, ground in found if terminal != "st" or ground == "black"]
    return 0 if dark and seen and all(back) else 1


if __name__ == "__main__":
    raise SystemExit(main())
