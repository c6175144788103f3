"""What the listener makes of sound: cut, scored and judged as in a session; and what its text alone would have been taken for."""

import re
from dataclasses import dataclass
from functools import cache
from zlib import crc32

from assistant.listener.cutting import CHUNK, CHUNK_MS, Cutter
from assistant.listener.recogniser import Recogniser
from assistant.listener.scoring import Scorer, Wording
from assistant.planning.plan import make_plan
from assistant.score.score import Score
from assistant.session.advance import open_bench
from assistant.session.heard import Heard, Sure
from assistant.session.said import PHRASES, sure, texts
from assistant.session.wordings import apart
from tests.session import cards
from tests.voice.rooms import clips, in_a_room
from tests.voice.spoken import COMMANDS

DISTANCE, APART = 0.30, 0.15
"""The twin's limits: how far a text may be from a phrase by its sounds, and how much nearer than to any other."""
NEAR = 200
"""What is heard so near to a command (ms) is of that command."""


@cache
def everything():
    """A session that can want every phrase: eight copies, six strips, a bath with a law."""
    expose = {"kind": "expose", "strip": {"first": "5 s", "strips": 6, "step": "1/2"}}
    develop = {**cards.DEVELOP, "temperature_law": {"coefficient": "2"}}
    return open_bench(Score(make_plan(cards.recipe(expose, develop, cards.STOP, cards.FIX, cards.WASH, copies=8))))


@cache
def scorer():
    bench = everything()
    listed = [Wording(name, number, text, number_said) for name in PHRASES for number, number_said, text in texts(name, bench)]
    return Scorer(Recogniser(), listed)


ALL = frozenset(PHRASES)


def utterances(samples):
    """What is cut out of samples."""
    cutter = Cutter()
    for at in range(0, len(samples) - CHUNK, CHUNK):
        cut = cutter.feed(samples[at : at + CHUNK])
        if cut is not None:
            yield cut


def heard(samples, allowed=ALL):
    """Every utterance with what was understood and how surely."""
    for cut in utterances(samples):
        found = scorer().found(cut.samples, allowed)
        one = found.wording
        words = Heard(
            one.name, one.number, one.text, cut.begin * CHUNK_MS, cut.end * CHUNK_MS,
            found.score, found.margin, found.number_margin,
        )  # fmt: skip
        yield words, sure(words), found.text


def by_text(text):
    """The twin's judgement, by what the recogniser would have written alone: the phrase that sounds nearest, None for none."""
    words = " ".join(re.sub(r"[^a-z' ]", " ", text.lower()).split())
    bench = everything()
    every = ((apart(words, said), name, number) for name in PHRASES for number, _, said in texts(name, bench))
    (distance, *nearest), *others = sorted(every, key=lambda one: one[0])
    next_ = min(one[0] for one in others if list(one[1:]) != nearest)
    return tuple(nearest) if words and distance <= DISTANCE and next_ - distance >= APART else None


def judged(voice, decibels, seed=None, each=1):
    """For every command of a voice in a room, or each so many-th: how far off its beginning was (ms), and all that was heard."""
    seed = crc32(f"{voice} {decibels}".encode()) % 1000 if seed is None else seed
    samples, spans = in_a_room(clips(voice)[::each], decibels, seed)
    told = list(heard(samples))
    for (name, number, text), (begin, end) in zip(COMMANDS[::each], spans, strict=True):
        mine = [one for one in told if one[0].begin < end * 1000 + NEAR and one[0].end > begin * 1000 - NEAR]
        taken = [(words.name, words.number) for words, verdict, _ in mine if verdict is Sure.YES]
        off = [words.begin - begin * 1000 for words, _, _ in mine]
        yield Tried(voice, decibels, text, taken == [(name, number)], any(one != (name, number) for one in taken), off, mine)


@dataclass(frozen=True)
class Tried:
    """One command that was tried: whether it was understood, or taken for another, and all that was heard of it."""

    voice: str
    decibels: int
    text: str
    right: bool
    wrong: bool
    off: list
    heard: list
