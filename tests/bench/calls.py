"""What is called among several copies: how long each call is, and how well it is understood: `python -m tests.bench calls`.

Twelve numbers in seven calls, spoken by the program's own voice and picked out of all of them by an independent recogniser:
as they are, and four times each with pink noise 10 dB below them. Aims: under 1.25 s, 97 %, 90 %, and no wrong number.
"""

import tempfile
from collections import Counter
from pathlib import Path

import numpy as np

from assistant.score import words
from assistant.sound_helper.phrase_cache import PhraseCache
from assistant.sound_helper.speech import Voice
from assistant.sound_helper.tones import RATE
from tests.sound_helper.noises import pink
from tests.sound_helper.said import Ear, plain

COPIES, TIMES, DECIBELS = range(1, 13), 4, 10
CALLS = {
    "lifts now": words.lift,
    "into the stop": lambda copy: words.pip("Stop", copy),
    "into the fixer": lambda copy: words.pip("Fixer", copy),
    "into the holding water": lambda copy: words.pip("Holding water", copy),
    "turns now": lambda copy: words.turn(copy, "turn"),
    "place paper": words.place_among,
    "into the developer": lambda copy: words.into_among("Developer", copy),
}


def run() -> None:
    """A line for each call, and one for all."""
    said = {(name, copy): call(copy) for name, call in CALLS.items() for copy in COPIES}
    with tempfile.TemporaryDirectory() as folder:
        phrases = PhraseCache(Path(folder), Voice(), voices=2)
        phrases.wait(list(said.values()))
        spoken = {key: phrases.samples(text) / 32768 for key, text in said.items()}
    ear, rng = Ear(said.values()), np.random.default_rng(15)
    found: Counter[tuple[str, str]] = Counter()
    for (name, copy), samples in spoken.items():
        text = said[name, copy]
        for noise, heard in (("clean", ear.hear(samples)), *((("noise"), ear.hear(_noisy(samples, rng))) for _ in range(TIMES))):
            right = heard == plain(text)
            number = heard.split()[:1] != plain(text).split()[:1]
            for row in (name, "all"):
                found[row, noise] += right
                found[row, f"{noise} number"] += number and bool(heard)
    for name in (*CALLS, "all"):
        one = [len(samples) / RATE for (row, _), samples in spoken.items() if name in (row, "all")]
        clean, noise = found[name, "clean"] / len(one), found[name, "noise"] / len(one) / TIMES
        wrong = f"wrong number {found[name, 'clean number']} and {found[name, 'noise number']} of {len(one) * TIMES}"
        print(f"  {name:20}{max(one):5.2f} s at most  clean {100 * clean:4.0f} %  {DECIBELS} dB {100 * noise:4.0f} %  {wrong}")


def _noisy(samples: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    noise, quiet = pink(len(samples), rng), samples / 2
    return quiet + noise * np.sqrt((quiet**2).mean() / (noise**2).mean() / 10 ** (DECIBELS / 10))
