"""Notes that were spoken in a session: where their sound is, and how it is heard again."""

import subprocess
import sys
from pathlib import Path

from assistant.devices.settings import read_settings
from assistant.places import home
from assistant.printing.by_voice import NOTES
from assistant.printing.refusal import Refusal
from assistant.records.journal import Journal

LONGEST = 30.0 + 15.0
"""Seconds in which a player must have come to its end: half a minute of note, and what a device needs to be opened."""


def spoken_notes(journal: Journal, number: int) -> list[tuple[str, Path, str]]:
    """The spoken notes of a session: wall time, the file of the sound, the words as they were heard."""
    told = (one for one in journal.told(number) if one.name == "note" and one.details.get("sound"))
    session = journal.session(number)
    return [
        (f"{session.wall(one.at):%H:%M:%S}", home() / NOTES / Path(str(one.details["sound"])).name, str(one.details["words"]))
        for one in told
    ]


def play(file: Path) -> None:
    """Sound it once, to its end; Refusal says why that can't be."""
    if not file.is_file():
        raise Refusal(f"{file}: the sound of this note is not there any more.")
    settings = read_settings()
    call = [sys.executable, "-m", "assistant.sound_helper.recording", str(file), settings.player, settings.output]
    try:
        done = subprocess.run(call, capture_output=True, text=True, timeout=LONGEST, check=False)
    except subprocess.TimeoutExpired:
        raise Refusal("No sound: the output does not answer.") from None
    if done.returncode:
        raise Refusal(done.stdout.strip() or "No sound: the output does not answer.")
