"""A printer of the boatyard whose baths tire: first tones come later and toning takes longer from copy to copy."""

from assistant.conductor.rehearsal import Punctual
from assistant.session.bench import Bench
from assistant.session.hands import Hand

FIRST_TONE, TONED = 20_000, 58_000
LATER, LONGER = 0.06, 0.08


class Tiring(Punctual):
    """Punctual, but for what only the eye can tell; each sheet differs by a little from the last."""

    def _comes(self, bench: Bench, hand: Hand) -> int | None:
        copy = hand.copies[0]
        if hand.what == "pull":
            return hand.due + round(TONED * (1 + LONGER * copy)) + copy % 3 * 1_700 - self.late
        if hand.what == "first tone":
            return hand.due + round(FIRST_TONE * (1 + LATER * (copy - 1))) - self.late
        return super()._comes(bench, hand)
