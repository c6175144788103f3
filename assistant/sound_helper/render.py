"""A whole session as a sound file, to be played on anything where no screen may be; a cue sheet is written beside it.

Mixed in pieces, so that an hour needs little memory. WAV by the standard library, FLAC, MP3 and OGG where `soundfile`
(the extra `traycall[export]`) can be imported.
"""

import wave
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from assistant.devices.wire import HelperSettings
from assistant.score.arrange import Placed, arrange
from assistant.score.cues import Cue
from assistant.sound_helper.mixing import Mixer, Shot
from assistant.sound_helper.phrase_cache import PhraseCache
from assistant.sound_helper.speech import SpeechFailed, Voice
from assistant.sound_helper.tones import MEANINGS, RATE

PIECE = 10 * RATE
"""So many samples are mixed at once."""
SPEAKING = 80
"""Of a hundred parts of the work, so many are the voice's: four of five seconds were, measured for an hour of WAV."""
LEAD_IN = 1_000
"""Silence before the first sound, ms."""
LEAD_OUT = 1_500
"""Silence after the last sound, ms: a player that ends early cuts nothing off."""
LONG_BEFORE = 60_000
"""Arranged from so long before the first cue (ms): its words may lie before its moment."""
FORMATS = {".wav": "", ".flac": "FLAC", ".ogg": "OGG", ".mp3": "MP3"}
"""Ending of the file's name -> its format as `soundfile` calls it; WAV needs none."""
Samples = NDArray[np.int16]
"""One channel of 16 bit at `RATE`."""


class CantRender(RuntimeError):
    """No sound file could be made; the message says why and what to do."""


@dataclass(frozen=True)
class CuePart:
    """One tone or the words of one cue, and the moment at which it begins, ms."""

    at: int
    cue: Cue
    words: bool
    ducked: bool = False


def render(
    cues: Sequence[Cue], file: Path, settings: HelperSettings, title: str = "", told: Callable[[int], None] = lambda percent: None
) -> Path:
    """Write what is heard as a sound file (.wav, .flac, .ogg or .mp3 by its name); the cue sheet's path.

    `told` is given how far it is, in per cent: the voice takes most of the time, and none where its phrases are kept.

    CantRender says in a sentence what keeps it from being made; nothing is left half written.
    """
    sheet = file.with_suffix(".txt")
    for there in (file, sheet):
        if there.exists():
            raise CantRender(f"{there} is there already and is left as it is: name another file")
    with _writer(file) as write:
        wanted = {cue.words for cue in cues if cue.words}

        def spoken() -> None:
            told(SPEAKING * sum(phrases.length(words) is not None for words in wanted) // len(wanted))

        phrases: PhraseCache = PhraseCache(Path(settings.spoken), Voice(settings.voice, settings.rate, settings.pitch), 2, spoken)
        mixer = Mixer(Path(settings.sounds), Path(settings.own), phrases, settings.volume)
        try:
            phrases.wait(wanted)
        except SpeechFailed as error:
            raise CantRender(f"{file}: {error}: try again") from None
        if phrases.failed:
            raise CantRender(f"{file}: {phrases.failed}")
        parts, shift = _parts(cues, mixer)
        last = parts[-1].at * RATE // 1000 // PIECE + 1 if parts else 1
        for number, piece in enumerate(pieces(parts, mixer)):
            write(piece)
            told(SPEAKING + (100 - SPEAKING) * min(number, last) // last)
    sheet.write_text("\n".join([title or file.stem, "", *_sheet(cues, shift)]) + "\n", encoding="utf-8")
    return sheet


def _parts(cues: Sequence[Cue], mixer: Mixer) -> tuple[list[CuePart], int]:
    """Everything that sounds, in order, from the file's beginning on; and by how much moments were shifted."""
    first = min((cue.at for cue in cues), default=0)
    placed = arrange([(cue, mixer.lengths(cue)) for cue in cues], first - LONG_BEFORE)
    parts = [part for one in placed for part in _of(one)]
    shift = LEAD_IN - min((part.at for part in parts), default=0)
    moved = [CuePart(part.at + shift, part.cue, part.words, part.ducked) for part in parts]
    return sorted(moved, key=lambda part: part.at), shift


def _of(one: Placed) -> Iterator[CuePart]:
    if one.tone is not None and one.cue.sound.tone is not None:
        yield CuePart(one.tone, one.cue, words=False, ducked=one.ducked)
    if one.words is not None and one.cue.words:
        yield CuePart(one.words, one.cue, words=True)


def pieces(parts: Sequence[CuePart], mixer: Mixer) -> Iterator[Samples]:
    """The mix, ten seconds at a time (`PIECE` samples), then the silence; a sound that goes on over the seam is carried over."""
    rest: list[tuple[int, Samples]] = []
    begin, i = 0, 0
    while i < len(parts) or rest:
        whole = np.zeros(PIECE, np.int32)
        while i < len(parts) and (place := parts[i].at * RATE // 1000) < begin + PIECE:
            rest.append((place, _shot(parts[i], mixer).samples))
            i += 1
        over = []
        for place, samples in rest:
            part = samples[max(0, begin - place) : begin + PIECE - place]
            where = max(0, place - begin)
            whole[where : where + len(part)] += part
            if place + len(samples) > begin + PIECE:
                over.append((place, samples))
        rest, begin = over, begin + PIECE
        yield np.clip(whole, -32768, 32767).astype(np.int16)
    yield np.zeros(LEAD_OUT * RATE // 1000, np.int16)


def _shot(part: CuePart, mixer: Mixer) -> Shot:
    spoken = mixer.words(part.cue, part.at) if part.words else mixer.tone(part.cue, part.at, part.ducked)
    return spoken if spoken is not None else Shot(part.at, np.zeros(0, np.int16))


@contextmanager
def _writer(file: Path) -> Iterator[Callable[[Samples], object]]:
    """Takes pieces and keeps them under the file's name once all are there."""
    if file.suffix.lower() not in FORMATS:
        raise CantRender(f"{file}: the name of a sound file ends in {', '.join(FORMATS)}")
    half = file.with_name(f".{file.stem}.half{file.suffix}")
    try:
        if file.suffix.lower() == ".wav":
            with half.open("wb") as opened, wave.open(opened, "wb") as out:
                out.setparams((1, 2, RATE, 0, "NONE", ""))
                yield lambda piece: out.writeframesraw(piece.astype("<i2").tobytes())
        else:
            soundfile = _soundfile(file)
            kind = FORMATS[file.suffix.lower()]
            with soundfile.SoundFile(str(half), "w", RATE, 1, format=kind) as encoded:
                yield encoded.write
        half.replace(file)
    except OSError as error:
        raise CantRender(f"{file}: this file can't be written: {error.strerror or error}") from None
    finally:
        with suppress(OSError):  # where nothing can be written, nothing can be taken away: the file itself was named
            half.unlink()


def _soundfile(file: Path):  # type: ignore[no-untyped-def]  # an optional library without types
    try:
        import soundfile
    except (ImportError, OSError):
        raise CantRender(
            f"{file}: for {file.suffix} files, install the extra: pip install 'traycall[export]'. Or write a .wav"
        ) from None
    return soundfile


def _sheet(cues: Sequence[Cue], shift: int) -> Iterator[str]:
    """One line a cue that is more than a tick: when it comes in the file, whose it is, what is heard."""
    for cue in sorted(cues, key=lambda cue: cue.at):
        if cue.kind in ("tick", "tenth"):
            continue
        minutes, ms = divmod(cue.at + shift, 60_000)
        whose = f"copy {cue.copy}" if cue.copy else ""
        heard = cue.words or MEANINGS.get(cue.sound.tone or "", "")
        yield f"{minutes:4d}:{ms / 1000:04.1f}  {whose:<8} {heard}".rstrip()
