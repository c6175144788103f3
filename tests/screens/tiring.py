"""A printer of the boatyard whose baths tire: first tones come later and toning takes longer from copy to copy."""

from assistant.recipe.model import Tone
from assistant.session.bench import Bench
from assistant.session.rehearsal import Hand, Punctual
from assistant.session.taps import place

FIRST_TONE, TONED = 20_000, 58_000
LATER, LONGER = 0.06, 0.08


class Tiring(Punctual):
    """Punctual, but for what only the eye can tell; each sheet differs by a little from the last."""

    def next(self, bench: Bench) -> Hand | None:
        """The next hand, moved to when the eye saw it."""
        hand = super().next(bench)
        for copy in bench.living():
            if hand is None or copy.since is None:
                continue
            if isinstance(bench.step_of(copy), Tone):
                return self._seen(hand, copy.since + round(TONED * (1 + LONGER * copy.number)) + copy.number % 3 * 1_700)
            if place(bench, copy, bench.now) == "unseen":
                return self._seen(hand, copy.since + round(FIRST_TONE * (1 + LATER * (copy.number - 1))))
        return hand

    @staticmethod
    def _seen(hand: Hand, at: int) -> Hand:
        return at, hand[1]
