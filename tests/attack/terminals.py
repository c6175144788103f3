"""Random keys, bytes, pastes, sizes and signals: the program on every kind of terminal that is guarded, judged cell by cell."""

import random
import signal
import sys
import tempfile

from tests.dark.journey import Journey
from tests.dark.profiles import PROFILES
from tests.dark.screen import Fault
from tests.dark.trips import OFFER, QUICK, ROOT

SIZES = ((100, 30), (80, 24), (60, 20), (160, 50), (40, 10), (20, 5), (200, 60))
KEYS = (
    " ", "\r", "\x1b", "?", "a", "l", "h", "v", "u", "m", "n", "t", "b", "b", "e", "q", "x", "\t", "\x7f", "\x0c", "\x03", "\x1a",
    "\x1b[A", "\x1b[6~", "\x1bOP", "\x1b[15~", "\x1b[I", "\x1b[O", "\x1b[<0;5;5M", "\x1b[<0;5;5m", "\x1b[<64;2;2M", "\x1b[M !!",
    "\x1b[200~pasted\x1b[201~", "\x1b[200~no end", "\x1b]11;rgb:ffff/ffff/ffff\x1b\\", "\x1b[?62;22c", "\x1b[1;1R", "\x1b[97;5u",
    "\x1bP1$r0m\x1b\\", "\x1b_", "\x1b[", "0.5", "moved 5s", "green \u2705", "\u5b57", "\x00", "\x1b[32m", "\x1b[?1049l",
)  # fmt: skip
RAW = (b"\xe9", b"\xff\xfe", b"\xc3", b"\x9b32m", b"\x1b[M\xff\xff\xff", b"\x80\x81")
LEFT = "Nothing was chosen.", "Nothing was started.", "There is no session to resume"
"""What is said on the terminal's own screen where there is no session: no paper is out."""
LOOKS = 100
"""Looks at what a move has led to, at the most: some ten screens."""
WIDE = ((100, 30), (80, 24))


def kinds() -> dict[str, tuple[str, tuple[int, int]]]:
    """Every kind of terminal that is guarded, in two sizes."""
    return {f"{name} {width}x{height}": (name, (width, height)) for name in PROFILES for width, height in WIDE}


def attack(seed: int) -> str:
    """What is wrong on one journey, "" where nothing is."""
    chance = random.Random(seed)
    names = list(kinds())
    profile, size = kinds()[names[seed % len(names)]]
    with tempfile.TemporaryDirectory(prefix="journey") as home:
        words = [] if chance.random() < 0.3 else [QUICK]
        call = [sys.executable, "-m", "assistant", "run", *words, "--silent", "--guard"]
        with Journey(call, profile, {**ROOT, "TRAYCALL_HOME": home}, size) as trip:
            trip.until(OFFER if words else "Calculate F3")
            for number in range(chance.randint(5, 25)):
                trip.go(f"move {number}")
                _moved(chance, trip)
                if trip.code is not None or _left(trip):
                    break
            return _judged(trip)


def _left(trip: Journey) -> bool:
    return any(words in trip.text() for words in LEFT) and not trip.emulator.on_other


def _unasked(trip: Journey) -> list[Fault]:
    """What lit while it must not: the move that left the dry side, with nothing begun, gave the terminal back as it was."""
    return [fault for fault in trip.faults if not (_left(trip) and fault.phase == trip.emulator.phase)]


def _moved(chance: random.Random, trip: Journey) -> None:
    draw = chance.random()
    if draw < 0.7:
        trip.press("".join(chance.choices(KEYS, k=chance.choice((1, 1, 1, 3, 12)))))
    elif draw < 0.8:
        trip.write(chance.choice(RAW))
    elif draw < 0.95:
        trip.resize(*chance.choice(SIZES))
    elif draw < 0.98:
        trip.kill(signal.SIGSTOP)
        trip.kill(signal.SIGCONT)
    else:
        trip.kill(signal.SIGTERM)
    trip.settle(0.05, LOOKS)


def _judged(trip: Journey) -> str:
    faults = _unasked(trip)
    if faults:
        return f"lit: {faults[0]} ({len(faults)} in all)"
    if "Traceback" in trip.text():
        return trip.text()
    if trip.code == 70 or "(exit code 70)" in trip.text():
        return f"an internal fault: {trip.text()}"
    return ""
