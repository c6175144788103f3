"""How well spoken commands are understood: `python -m tests.bench voice`.

Every voice of the clips in water and fan at three strengths, beside a twin that goes by the recogniser's text and its sounds;
the talkers' sentences; the program's own sentences, not gated.
"""

import time

from assistant.devices.settings import Settings
from assistant.session.heard import Sure
from assistant.sound_helper.speech import Speaker, Voice
from tests.sound_helper.said import sentences
from tests.voice import MISSING
from tests.voice.measure import by_text, heard, judged
from tests.voice.rooms import RATE, clips, in_a_room
from tests.voice.spoken import COMMANDS, KINDS, TALKERS

SEEDS = {20: (None,), 10: (None, 1001), 5: (None, 1001, 1002)}
"""dB over the room -> the rooms, by their seeds: louder ones differ more. None is one for each voice."""
OWN = 90
"""So many of the program's own sentences, every few of the whole list: about four minutes."""


def _own_sentences():
    """Minutes of the program's own voice in a quiet room as if nothing were gated, and what of it was taken for a command."""
    from scipy.signal import resample_poly

    speaker, listed = Speaker(Voice(Settings().voice)), sentences()
    said = [resample_poly(speaker.say(words) / 32768, 160, 441) for words in listed[:: max(1, len(listed) // OWN)]]
    samples, _ = in_a_room(said, 20, 5)
    return len(samples) / RATE / 60, [words.text for words, verdict, _ in heard(samples) if verdict is Sure.YES]


def _by_text(one):
    taken = [found for _, _, text in one.heard if (found := by_text(text)) is not None]
    return taken == [next((name, number) for name, number, text in COMMANDS if text == one.text)]


def run():
    """Print the table and the false accepts."""
    if MISSING:
        print(", ".join(MISSING), "not installed")
        return
    began = time.process_time()
    off = []
    for decibels in (20, 10, 5):
        for kind, voices in KINDS.items():
            tried = [one for voice in voices for seed in SEEDS[decibels] for one in judged(voice, decibels, seed)]
            right, wrong = (sum(getattr(one, what) for one in tried) for what in ("right", "wrong"))
            off += [ms for one in tried if one.right for ms in one.off]
            print(f"{kind} at {decibels} dB: {100 * right / len(tried):.1f} % of {len(tried)}, {wrong} wrong", flush=True)
            print(f"    by text: {100 * sum(_by_text(one) for one in tried) / len(tried):.1f} %")
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
    minutes, own = _own_sentences()
    print(f"the program's own sentences, ungated, {minutes:.1f} minutes: {len(own)} taken for a command {own}")
    print(f"{time.process_time() - began:.0f} CPU-seconds in all")
