"""A small recogniser that is asked how likely a phrase is for a sound, and what it would write by itself.

Only the three model files of the package are used: they are found without importing it, so that none of its network code is
in the process. One thread: the sound helper comes first.
"""

import importlib.util
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assistant.listener.tokens import BEGIN, END, Tokens

RATE = 16_000
"""Samples a second that the model was made for."""
HEADS, WIDTH, LAYERS = 8, 36, 6
"""The decoder's own sizes, as its model file has them."""
MOST_TOKENS = 24
"""A text of more pieces than this is no command: the longest wording is of seven words."""
TOGETHER = 8
"""So many texts are asked at once: more cost memory, and time to fetch it, for nothing."""
SHORTEST = 2_048
"""Samples that the encoder needs at least."""


class NoModel(RuntimeError):
    """The recogniser can't be had; the message says what to do."""


@dataclass(frozen=True)
class Encoded:
    """A sound as the decoder takes it: what every text that is asked for has in common is worked out once.

    `frames` is (1, frames, 288), some forty a second; `first` how likely each piece is to begin the text, (pieces,);
    `past` what the decoder keeps of the sound and of that beginning.
    """

    frames: NDArray[np.float32]
    first: NDArray[np.float32]
    past: dict[str, NDArray[np.float32]]


class Recogniser:
    """The two halves of the model, loaded; NoModel, or ImportError, where they can't be had."""

    def __init__(self) -> None:
        import onnxruntime

        folder = model_folder()
        options = onnxruntime.SessionOptions()
        options.intra_op_num_threads = options.inter_op_num_threads = 1
        options.log_severity_level = 4
        self._encoder, self._decoder = (
            onnxruntime.InferenceSession(str(folder / f"{half}.ort"), options, providers=["CPUExecutionProvider"])
            for half in ("encoder_model", "decoder_model_merged")
        )
        self.tokens = Tokens(folder / "tokenizer.bin")
        self._ends = [END, *self.tokens.signs(".?!,")]

    def encoded(self, samples: NDArray[np.float32]) -> Encoded:
        """A sound (n samples, 16 kHz, -1 to 1) as the decoder takes it."""
        padded = np.pad(samples, (0, max(0, SHORTEST - len(samples))))[None]
        told = {"input_values": padded, "attention_mask": np.ones(padded.shape, np.int64)}
        frames = np.asarray(self._encoder.run(None, told)[0])
        logits, past = self._step(frames, BEGIN, None)
        return Encoded(frames, logits, past)

    def likelihoods(self, sound: Encoded, phrases: Sequence[Sequence[int]]) -> NDArray[np.float64]:
        """The natural log likelihood of each text, however it ends: with a full stop, a question mark or nothing."""
        found = np.zeros(len(phrases))
        order = sorted(range(len(phrases)), key=lambda row: len(phrases[row]))  # alike in length: nothing is scored in vain
        for first in range(0, len(order), TOGETHER):
            rows = order[first : first + TOGETHER]
            found[rows] = self._likelihoods(sound, [phrases[row] for row in rows])
        return found

    def _likelihoods(self, sound: Encoded, phrases: Sequence[Sequence[int]]) -> list[float]:
        longest = max(len(phrase) for phrase in phrases)
        told = np.full((len(phrases), longest + 1), END, np.int64)
        told[:, 0] = BEGIN
        for row, phrase in enumerate(phrases):
            told[row, 1 : len(phrase) + 1] = phrase
        logits = self._logits(sound, told)
        found = []
        for row, phrase in enumerate(phrases):
            mine = logits[row, : len(phrase) + 1]
            mine -= mine.max(axis=-1, keepdims=True)
            whole = np.log(np.exp(mine).sum(axis=-1, dtype=np.float64))
            words = mine[np.arange(len(phrase)), list(phrase)] - whole[:-1]
            end = mine[-1, self._ends] - whole[-1]
            found.append(float(words.sum() + np.log(np.exp(end).sum())))
        return found

    def text(self, sound: Encoded, most: int = MOST_TOKENS) -> list[int]:
        """What it would write, in so many pieces at most: the likeliest each time, without the sign at its end."""
        logits, past = sound.first, sound.past
        written: list[int] = []
        while len(written) < most:
            last = int(logits.argmax())
            if last == END or (most == MOST_TOKENS and last in self._ends):
                break
            written.append(last)
            logits, past = self._step(sound.frames, last, past)
        return written

    def _logits(self, sound: Encoded, told: NDArray[np.int64]) -> NDArray[np.float32]:
        of_sound = {name: value if "encoder" in name else value[:, :, :0] for name, value in sound.past.items()}
        past = {name: np.repeat(value, len(told), axis=0) for name, value in of_sound.items()}
        feed = self._feed(np.repeat(sound.frames, len(told), axis=0), told, past, cached=True)
        return np.asarray(self._decoder.run(["logits"], feed)[0])

    def _step(
        self, frames: NDArray[np.float32], last: int, past: dict[str, NDArray[np.float32]] | None
    ) -> tuple[NDArray[np.float32], dict[str, NDArray[np.float32]]]:
        feed = self._feed(frames, np.array([[last]]), past or _nothing(), cached=past is not None)
        names = [out.name for out in self._decoder.get_outputs()]
        out = dict(zip(names, self._decoder.run(names, feed), strict=True))
        kept = {name.replace("present", "past_key_values"): value for name, value in out.items() if name != "logits"}
        if past is not None:  # the cached half gives nothing for the sound: that part stays
            kept = {name: past[name] if "encoder" in name else value for name, value in kept.items()}
        return out["logits"][0, -1], kept

    def _feed(
        self, frames: NDArray[np.float32], told: NDArray[np.int64], past: dict[str, NDArray[np.float32]], cached: bool
    ) -> dict[str, Any]:
        mask = np.ones(frames.shape[:2], np.int64)
        fixed = {"input_ids": told, "encoder_hidden_states": frames, "encoder_attention_mask": mask}
        return {**fixed, **past, "use_cache_branch": np.array([cached])}


def _nothing() -> dict[str, NDArray[np.float32]]:
    empty = np.zeros((1, HEADS, 0, WIDTH), np.float32)
    return {
        f"past_key_values.{layer}.{half}.{what}": empty
        for layer in range(LAYERS) for half in ("decoder", "encoder") for what in ("key", "value")
    }  # fmt: skip


def model_folder() -> Path:
    """Where the model's files are; NoModel where they are not."""
    found = importlib.util.find_spec("moonshine_voice")
    folder = Path(found.origin or "").parent / "assets" / "tiny-en" if found is not None else Path("/nowhere")
    if not (folder / "encoder_model.ort").is_file():
        raise NoModel("Listening wants the extra: pip install 'traycall[voice]'. It can't be had on every computer.")
    return folder
