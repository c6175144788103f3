"""Every sentence that the shipped recipes bring forth, and an independent ear that picks one out of them all."""

import re
from functools import cache

import numpy as np

from assistant.conductor.rehearsal import Punctual, rehearse
from assistant.places import shipped
from assistant.printing.recipe_file import open_score
from assistant.score import words
from assistant.sound_helper.tones import RATE

SPELT = {
    "caulkers": "K AO K ER Z", "prints'": "P R IH N T S", "safelight": "S EY F L AY T", "slipway": "S L IH P W EY",
    "untoned": "AH N T OW N D",
}  # fmt: skip
"""Words that the recogniser's dictionary has not, in its phones."""
EAR_RATE = 16_000
SHORT = 0.8
"""What is said in less than this (s) is one word or two: an ear hears that a call is no sentence."""


@cache
def sentences():
    """All that a punctual printer hears of every shipped recipe, and the answers that stand by themselves."""
    heard = {value for name, value in vars(words).items() if name.isupper() and isinstance(value, str)}
    for file in shipped("recipes").glob("*.yaml"):
        heard |= {cue.words for cue in rehearse(open_score(file, None), Punctual(0)).heard if cue.words}
    return tuple(sorted(heard))


def plain(sentence):
    """A sentence as the recogniser writes it."""
    return " ".join(re.findall(r"[a-z']+", sentence.lower()))


class Ear:
    """pocketsphinx, which knows the sentences and nothing of the voice."""

    def __init__(self, known):
        import pocketsphinx

        self._decoder = pocketsphinx.Decoder(lm=None, logfn="/dev/null")
        for word, phones in SPELT.items():
            self._decoder.add_word(word, phones, False)
        choices = sorted({plain(sentence) for sentence in known})
        self._grammar("calls", [words for words in choices if len(words.split()) <= 2])
        self._grammar("sentences", [words for words in choices if len(words.split()) >= 2])

    def _grammar(self, name, choices):
        if choices:
            self._decoder.add_jsgf_string(name, f"#JSGF V1.0; grammar {name}; public <said> = {' | '.join(choices)};")

    def hear(self, samples):
        """What was said, of all that it knows; samples -1 to 1 at the palette's rate."""
        from scipy.signal import resample_poly  # which takes a second or two to be read

        self._decoder.activate_search("calls" if len(samples) < SHORT * RATE else "sentences")
        heard = resample_poly(samples, EAR_RATE // 100, RATE // 100)
        silence = np.zeros(EAR_RATE // 5)
        pcm = np.clip(np.concatenate([silence, heard, silence]) * 32767, -32768, 32767).astype(np.int16)
        self._decoder.start_utt()
        self._decoder.process_raw(pcm.tobytes(), full_utt=True)
        self._decoder.end_utt()
        found = self._decoder.hyp()
        return found.hypstr if found else ""
