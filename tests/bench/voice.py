"""How well spoken commands are understood: `python -m tests.bench voice`.

Every voice of the clips in water and fan at three strengths; the talkers' sentences; the program's own sentences, not gated.
"""

import time

from assistant.session.heard import Sure
from tests.voice.measure import heard, judged
from tests.voice.rooms import RATE, clips, in_a_room
from tests.voice.spoken import KINDS, TALKERS


def run():
    """Print the table and the false accepts."""
    began = time.process_time()
    off = []
    for decibels in (20, 10, 5):
        for kind, voices in KINDS.items():
            tried = [one for voice in voices for one in judged(voice, decibels)]
            right, wrong = (sum(getattr(one, what) for one in tried) for what in ("right", "wrong"))
            off += [ms for one in tried if one.right for ms in one.off]
            print(f"{kind} at {decibels} dB: {100 * right / len(tried):.1f} % of {len(tried)}, {wrong} wrong", flush=True)
            missed = ", ".join(f"{one.voice}: {one.text}" for one in tried if not one.right)
            print(f"    not understood: {missed}", flush=True)
    off.sort()
    middle = off[len(off) // 2]
    print(f"stamped {middle:.0f} ms after the words began, 5 to 95 %: {off[len(off) // 20]:.0f} to {off[-len(off) // 20]:.0f}")
    seconds, false = 0.0, []
    for voice in TALKERS:
        samples, _ = in_a_room(clips(f"{voice}-talk"), 20, 1)
        seconds += len(samples) / RATE
        false += [words.text for words, verdict, _ in heard(samples) if verdict is Sure.YES]
    print(f"talk, {seconds / 60:.1f} minutes: {len(false)} taken for a command {false}")
    print(f"{time.process_time() - began:.0f} CPU-seconds in all")


