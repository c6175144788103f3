"""A phrase that was heard, and whether it was heard surely enough to be obeyed.

Pure. A score is the logarithm of how likely the phrase is for the sound, less that of the best words there could be: 0 is
perfect. The limits were found on synthetic voices in water and fan noise; they are the same for every voice and room.
"""

import re
from dataclasses import dataclass
from enum import Enum


@dataclass(frozen=True)
class Heard:
    """One phrase between two silences: its name and number in the table, its words, and when they began and ended.

    Moments are ms since the session began. `score` is the phrase's own, `margin` how far ahead of any other phrase it
    is, `number_margin` how far ahead of the same phrase with another number; all in natural logarithms, 99 without a rival.
    """

    name: str
    number: float | None
    text: str
    begin: int
    end: int
    score: float = 0.0
    margin: float = 99.0
    number_margin: float = 99.0


@dataclass(frozen=True)
class SpokenNote:
    """A note that was spoken: what was understood of it ("" nothing), and the file with its sound ("" none)."""

    text: str
    file: str


class Sure(Enum):
    """How a phrase was understood."""

    YES = "understood"
    HALF = "half understood"
    TALK = "talk"


LEAST, LEAST_GRAVE = -4.0, -3.0
"""Least score of a phrase, and of one that begins a light or spoils a sheet. Measured at -4: no command taken for another,
one false phrase in half an hour of read sentences; at -3 a tenth of the commands are asked for again in loud water."""
LEAST_ALONE, ALONE = -7.0, 5.0
"""A phrase that is so far ahead of every other one may score less, but for those two kinds: none was wrong, none was found in
half an hour of talk, and in loud water four more of a hundred are understood at once. At -8 "take a look" was "take it back"."""
MARGIN, NUMBER_MARGIN, READING_MARGIN = 3.0, 2.5, 4.0
"""How far ahead of the next phrase, of the same with another number, or of another of a hundred temperatures it has to be;
measured with the scores. At 5 dB "twenty point zero" was taken for "twenty four point zero", 3.0 ahead."""
HALF_HEARD = -10.0
"""What scores less is talk and not for us; between this and `LEAST` the printer is asked to say it again."""
PACE = 140, 450
"""A syllable of speech lasts so long (ms): short phrases would else win on long sounds, the program's own words among them."""
EDGES = 150
"""What the detector of speech may add at both ends together (ms)."""
_VOWELS = re.compile(r"[aeiouy]+")


def how_sure(heard: Heard, grave: bool, number_margin: float = NUMBER_MARGIN) -> Sure:
    """Whether to obey; `grave` where it begins a light or spoils a sheet, `number_margin` between numbers of its kind."""
    lasted, count = heard.end - heard.begin, syllables(heard.text)
    if heard.score < HALF_HEARD or not PACE[0] * count <= lasted <= PACE[1] * count + EDGES:
        return Sure.TALK
    alone = not grave and heard.score >= LEAST_ALONE and heard.margin >= ALONE
    surely = alone or heard.score >= (LEAST_GRAVE if grave else LEAST)
    return Sure.YES if surely and heard.margin >= MARGIN and heard.number_margin >= number_margin else Sure.HALF


def syllables(text: str) -> int:
    """How many syllables English words have, by their groups of vowels; a last silent e is none."""
    return max(1, sum(_of_word(word) for word in text.lower().split()))


def _of_word(word: str) -> int:
    groups = list(_VOWELS.finditer(word))
    silent = len(groups) > 1 and groups[-1][0] == "e" and word[groups[-1].end() :] in ("", "s", "d")
    return len(groups) - silent
