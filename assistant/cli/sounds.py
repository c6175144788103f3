"""`traycall sounds`: play every tone with its meaning; an output's delay, by tapping along."""

import argparse
import statistics
import sys
import time
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from assistant.printing.live_sound import NoSound, sounding
from assistant.printing.text_out import complain, say, say_lines
from assistant.score.cues import KINDS, Cue

if TYPE_CHECKING:
    from assistant.devices.settings import Settings

APART = 1_800
"""From tone to tone, ms: the longest tone, and time to read what it means."""
BEATS, BEAT, LEARNING = 16, 800, 4
"""Taps along: so many beats, ms apart, the first of which only give the measure. A foot taps so; common practice, no source."""
SCATTER = 60
"""Taps of which the middle half lies further apart than this (ms) tell nothing."""
SURE = 30
"""A hand is no surer than about this (ms): common practice, no source."""
STILL_COMING = 2
"""Seconds after the last beat in which a tap may still come."""


def configure(parser: argparse.ArgumentParser) -> None:
    """The call's words."""
    what = parser.add_mutually_exclusive_group()
    what.add_argument("--write", type=Path, metavar="FOLDER", help="write the tones as WAV files, as a start for your own")
    what.add_argument("--align", action="store_true", help="measure the output's delay: tap Enter in time with it")


def run(args: argparse.Namespace) -> int:
    """Play, write or measure; 1 where there is no sound or the settings are wrong, said in a sentence."""
    from assistant.devices.settings import BadSetting, read_settings

    try:
        if args.write is not None:
            return _write(args.write)
        return _align(read_settings()) if args.align else _play(read_settings())
    except (BadSetting, NoSound) as error:
        complain(error)
        return 1


def _write(folder: Path) -> int:
    from assistant.sound_helper.tones import write

    try:
        files = write(folder)
    except OSError as error:
        complain(f"{folder}: the tones can't be written here: {error.strerror}")
        return 1
    say_lines([f"{len(files)} tones written to {folder}."])
    return 0


def _play(settings: "Settings") -> int:
    from assistant.devices.settings import settings_file
    from assistant.sound_helper.tones import MEANINGS

    kinds = {sound.tone: kind for kind, sound in KINDS.items() if sound.tone}
    cues = [Cue(i * APART, kinds[name]) for i, name in enumerate(MEANINGS)]
    for cue, (name, meaning) in zip(sounding(cues, replace(settings, quiet=False)), MEANINGS.items(), strict=True):
        assert cue.sound.tone == name
        say(f"{name:<8} {meaning}")
    say_lines(["", f"Your own sounds and settings: {settings_file()}"])
    return 0


def _align(settings: "Settings") -> int:
    say_lines([f"Tap Enter along with {BEATS} beats, as you would tap your foot. The first ones set the pace."])
    beats = [Cue(i * BEAT, "count") for i in range(BEATS)]
    moments: list[float] = []
    for _ in sounding(beats, replace(settings, offset=0, quiet=False)):
        moments.append(time.monotonic())
        if len(moments) == 1:
            taps = _taps(BEATS * BEAT / 1000)
    late = delays(moments[LEARNING:], taps())
    if len(late) < BEATS // 2:
        complain(f"Only {len(late)} taps were near a beat: try again.")
        return 1
    middle, low, high = statistics.median(late), *statistics.quantiles(late, n=4)[::2]
    if high - low > SCATTER:
        complain(f"The taps lie {high - low:.0f} ms apart and tell nothing: try again, with the eyes shut.")
        return 1
    say_lines(advice(round(middle)).split("\n"))
    return 0


def _taps(seconds: float) -> Callable[[], list[float]]:
    """Listen for Enter beside the beats; the moments of the taps, when asked."""
    import threading

    taps: list[float] = []
    ends = time.monotonic() + seconds + STILL_COMING

    def listen() -> None:
        while time.monotonic() < ends and sys.stdin.readline():
            taps.append(time.monotonic())

    threading.Thread(target=listen, daemon=True).start()
    return lambda: taps


def delays(beats: list[float], taps: list[float]) -> list[float]:
    """By how much each beat's nearest tap came after it, ms: from a quarter before it to three quarters after."""
    found = []
    for beat in beats:
        near = [(tap - beat) * 1000 for tap in taps if -BEAT / 4 <= (tap - beat) * 1000 < 3 * BEAT / 4]
        found += near[:1]
    return found


def advice(late: int) -> str:
    """What to write into the settings where taps came so late (ms)."""
    from assistant.devices.settings import settings_file

    if abs(late) <= SURE:
        return f"The taps came {late} ms after the beats: within what a hand can do. No offset is needed."
    if late < 0:
        return f"The taps came {-late} ms before the beats: no output is early. Try again, listening more than counting."
    return f"The taps came {late} ms after the beats. Write this into {settings_file()}:\noffset = {late}"
