"""Which phrase an utterance is: every phrase that is open is scored against the sound, and against the best words there could be.

Of a family of numbers only a few members are scored at first; the whole family only where one of them comes near.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from assistant.listener.recogniser import Encoded, Recogniser

NEAR, WITHIN = -18.0, 8.0
"""A family is looked at whole where a member scores at least so much, and is so near to the best (natural logarithms): wide,
since the member that is looked at first may have another number in it."""
AGAIN, SHIFT = 14, 1_024
"""So many wordings are scored once more on the same sound without its first 64 ms, which are room: one look has luck in it."""
CERTAIN, AGAINST = -0.65, 3.0
"""Where the best words are so likely there is no doubt about them: then a phrase has to be them, or it was another sentence,
"save it again". So what it lacks counts threefold. Measured: half of such sentences pass without, one command in 300 is lost."""
MANY = 24
"""A family of more members than this is narrowed: to the nearest two whole numbers, then to the nearest tenth in every one."""


@dataclass(frozen=True)
class Wording:
    """One way to say a phrase: its name, its number if it has one, and the words."""

    name: str
    number: float | None
    text: str
    said: str = ""
    """The number as it stands in the words."""


@dataclass(frozen=True)
class Found:
    """The likeliest phrase, its score, and how far ahead it is of any other phrase and of its own other numbers (logarithms)."""

    wording: Wording
    score: float
    margin: float
    number_margin: float
    text: str
    """What the recogniser would have written."""


UNRIVALLED = 99.0
"""The margin of a phrase that has no rival (see `session.heard.Heard`)."""
IN_WORDS = 9
"""Numbers up to this are written in words by the recogniser, larger ones in either way."""


class Scorer:
    """Knows the phrases of a session."""

    def __init__(self, recogniser: Recogniser, wordings: Iterable[Wording]) -> None:
        self._recogniser = recogniser
        self._tokens = {one: [recogniser.tokens.of(text) for text in spellings(one)] for one in wordings}

    def found(self, samples: NDArray[np.float32], allowed: frozenset[str]) -> Found | None:
        """The likeliest of the phrases that are allowed; None where there are none."""
        sound = self._recogniser.encoded(samples)
        written = self._recogniser.text(sound)
        first = [one for name in allowed for one in self._some(name)]
        if not first:
            return None
        scores, best = self._scored(sound, first, written, -np.inf)
        for name in sorted(allowed):
            scores, best = self._widened(sound, name, scores, best)
        found = self._looked_again(samples, scores, best)
        return self._judged(found, self._recogniser.tokens.text(written))

    def _looked_again(self, samples: NDArray[np.float32], scores: dict[Wording, float], best: float) -> dict[Wording, float]:
        """The scores against the best, of the nearest wordings each the mean of two looks."""
        near = sorted(scores, key=lambda one: -scores[one])[:AGAIN]
        sound = self._recogniser.encoded(samples[SHIFT:])
        again, best_again = self._scored(sound, near, self._recogniser.text(sound), -np.inf)
        against = AGAINST if (best + best_again) / 2 >= CERTAIN else 1.0
        first = {one: (score - best) * against for one, score in scores.items()}
        return {**first, **{one: (first[one] + (score - best_again) * against) / 2 for one, score in again.items()}}

    def text(self, samples: NDArray[np.float32]) -> str:
        """What the recogniser would write for a sound."""
        return self._recogniser.tokens.text(self._recogniser.text(self._recogniser.encoded(samples)))

    def _members(self, name: str) -> list[Wording]:
        return [one for one in self._tokens if one.name == name]

    def _some(self, name: str) -> Sequence[Wording]:
        """All wordings of a phrase without numbers; of a family, one from its middle or of every whole number."""
        members = self._members(name)
        if not members or members[0].number is None:
            return members
        if len(members) > MANY:
            return _halves(members)
        return members[2::6] or members[:1]

    def _widened(
        self, sound: Encoded, name: str, scores: dict[Wording, float], best: float
    ) -> tuple[dict[Wording, float], float]:
        members = self._members(name)
        mine = {one: scores[one] for one in members if one in scores}
        if not mine or members[0].number is None:
            return scores, best
        top, over_all = max(mine.values()), max(scores.values())
        if top - best < NEAR or top < over_all - WITHIN:
            return scores, best
        if len(members) > MANY:
            more, best = self._scored(sound, [one for one in _halves(members) if one not in scores], None, best)
            scores = {**scores, **more}
            whole = sorted({int(o.number or 0) for o in members}, key=lambda n: -_of_whole(scores, name, n))[:2]
            near = [one for one in members if int(one.number or 0) in whole]
            more, best = self._scored(sound, [one for one in near if one not in scores], None, best)
            scores = {**scores, **more}
            tenth = _tenth(max(near, key=lambda one: scores[one]))
            members = [one for one in members if _tenth(one) == tenth]
        more, best = self._scored(sound, [one for one in members if one not in scores], None, best)
        return {**scores, **more}, best

    def _scored(
        self, sound: Encoded, wordings: Sequence[Wording], written: list[int] | None, best: float
    ) -> tuple[dict[Wording, float], float]:
        rows = [(one, tokens) for one in wordings for tokens in self._tokens[one]]
        if not rows:
            return {}, best
        told = [tokens for _, tokens in rows]
        likely = self._recogniser.likelihoods(sound, [*told, written] if written is not None else told)
        found: dict[Wording, float] = {}
        for (one, _), score in zip(rows, likely.tolist(), strict=False):
            found[one] = max(score, found.get(one, -np.inf))
        return found, max(best, float(likely.max()))

    def _judged(self, scores: dict[Wording, float], text: str) -> Found:
        top = max(scores, key=lambda one: scores[one])
        others = [score for one, score in scores.items() if one.name != top.name]
        numbers = [score for one, score in scores.items() if one.name == top.name and one.number != top.number]
        margin, number_margin = (scores[top] - max(rest) if rest else UNRIVALLED for rest in (others, numbers))
        return Found(top, scores[top], margin, number_margin, text)


def spellings(wording: Wording) -> tuple[str, ...]:
    """How the recogniser may write a wording: in words; with its number in figures; with a comma before a last "please"."""
    text = wording.text
    if wording.number is not None and wording.said:
        figures = text.replace(wording.said, f"{wording.number:g}")
        return (text, figures) if wording.number > IN_WORDS else (text,)
    return (text, text.replace(" please", ", please")) if text.endswith(" please") else (text,)


def _halves(members: Sequence[Wording]) -> list[Wording]:
    return [one for one in members if one.number is not None and one.number % 1 == 0.5]


def _tenth(one: Wording) -> int:
    return round((one.number or 0.0) * 10) % 10


def _of_whole(scores: dict[Wording, float], name: str, whole: int) -> float:
    return max((s for one, s in scores.items() if one.name == name and int(one.number or 0) == whole), default=-np.inf)
