"""Twenty thousand random streams, cut anywhere, through the gate: judged by the checker's terminal, nothing lights.

The gate writes for the terminal that it is told of, so each kind is fed to the hardest terminal of that kind: one whose own
colours cannot be set, where there is one.
"""

import random
from itertools import pairwise

import pytest

from assistant.terminal import sequences
from assistant.terminal.brightness import LEVELS
from assistant.terminal.gate import Gate
from tests.dark.emulator import Emulator
from tests.dark.profiles import PROFILES, RARE

STREAMS = 20_000
KEY = "5f3c"
WHOLE = [
    "\x1b[38;2;1;200;3m", "\x1b[32m", "\x1b[0m", "\x1b[m", "\x1b[48;5;21m", "\x1b[38:2::9:9:9m", "\x1b[7m", "\x1b[39;49m",
    "\x1b[1;2;3;4;5;8;9m", "\x1b[4:3m", "\x1b[58;5;46m", "\x1b[97;104m", "\x1b[38;5m", "\x1b[48;2;9m", "\x1b[38;2;;;m",
    "\x1b[?1049l", "\x1b[?47l", "\x1b[?25h", "\x1b[?5h", "\x1b[?1049h", "\x1b[?1000h", "\x1b[?25;1000h", "\x1bc", "\x1b#8",
    "\x1b[!p", "\x1b[?3h", "\x1b]11;#fff\x1b\\", "\x1b]4;1;rgb:00/ff/00\x07", "\x1b]104\x07", "\x1b]8;;x\x07", "\x1bP$qm\x1b\\",
    "\x1bPq#0~\x1b\\", "\x1b_x\x1b\\", "\x1b_traycall;;setup\x1b\\", "\x1b_traycall;0000;setup\x07",
    "\x1b^a\x1b\\", "\x1bXb\x1b\\",
    "\x1b[2J", "\x1b[K", "\x1b[3;4H", "\x1b[9S", "\x1b[2T", "\x1b[3L", "\x1b[2M", "\x1b[4@", "\x1b[4P", "\x1b[5X", "\x1b[2;5r",
    "\x1b7", "\x1b8", "\x1bM", "\x1bD", "\x1b(0", "\x0e", "\x0f", "\x07", "\x9b32m", "\x9d11;#fff\x9c",
    "\x1b[>4;2m", "\x1b[?2026$p",
    "text", "a longer line of words", "\u2588\u2591\u2501", "\u00e9", "\U0001f600", "\u2705", "\u26a0\ufe0f",
    "1\ufe0f\u20e3", "\ud800",
    "\U0001f469\u200d\U0001f52c", "\u5b57", "\u200b\u202e", "\n", "\r", "\t", "\b", "\x00", "\x7f", "\x18", "\x85",
    "\x1b[?u", "\x1b[u", "\x1b[s", "\x1b[<9u", "\x1b[#P", "\x1b[#Q", "\u00db\u009b",
]  # fmt: skip
PARTS = ["\x1b", "\x1b[", "\x1b]", "\x1bP", "\x1b_", "\x9b", ";", ":", "?", "3", "8", "48", "255", "m", "J", "h", "l", "\\", "$"]
BYTES = [b"", b"\xff", b"\xc3", b"\xe2\x96", b"\x9b32m", b"\xf0\x9f", b"\xed\xa0\x80", b"\x80\x80"]
"""What is no UTF-8, or breaks a letter in two."""
KINDS = {"true": PROFILES["ignores every OSC"], "256": RARE["256 by name"], "16": PROFILES["16 that can be set"]}
LEAST = {"true": 0, "256": 95, "16": 0}
"""The least red that its palette can show."""


def asked(level):
    return f"\x1b_traycall;{KEY};{level}\x1b\\".encode()


def streams(count):
    chance = random.Random(8613)
    for _ in range(count):
        text = "".join(chance.choices(WHOLE, k=8) + chance.choices(PARTS, k=3) + chance.choices(WHOLE, k=3))
        data = text.encode("utf-8", "surrogatepass")
        at = chance.randrange(len(data))
        data = data[:at] + chance.choice(BYTES) + data[at:]
        cuts = sorted(chance.sample(range(len(data) + 1), 3))
        pieces = [data[a:b] for a, b in pairwise([0, *cuts, len(data)])]
        yield [*pieces, asked(chance.choice(list(LEVELS)))] if chance.random() < 0.05 else pieces


def dark(kind):
    """A terminal of this kind, taken as a guard takes it, and the gate before it."""
    emulator = Emulator(40, 10, KINDS[kind])
    emulator.feed(sequences.first() + sequences.take(kind, LEVELS["paper"]))
    return emulator, Gate(kind, "paper", KEY)


@pytest.mark.parametrize("kind", KINDS)
def test_random_streams_cut_anywhere_light_nothing_on_a_terminal_of_kind(kind):
    emulator, gate = dark(kind)
    letters = 0
    for number, pieces in enumerate(streams(STREAMS // 3 + 1)):
        if number % 50 == 0:
            emulator, gate = dark(kind)
        allowed = {gate.level, *(level for level in LEVELS if pieces[-1] == asked(level))}
        for piece in pieces:
            out = gate.feed(piece)
            letters += len(out)
            emulator.feed(out)
        assert emulator.faults == [], pieces
        assert gate.level in allowed
        if number % 10 == 0:
            assert emulator.lit() == 0
            assert emulator.brightest() <= max(LEVELS[gate.level], LEAST[kind] if LEVELS[gate.level] else 0)
        assert emulator.on_other
        assert not emulator.cursor_shown
    assert letters > 1_000_000


def test_the_same_streams_without_the_gate_are_seen_to_light():
    seen = 0
    for pieces in streams(300):
        emulator, _ = dark("true")
        emulator.feed(b"".join(pieces))
        seen += bool(emulator.faults)
    assert seen > 290
