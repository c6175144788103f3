"""Sound for the listener: clips of commands and of talk, and rooms to put them in, water and a fan by a seed."""

import json
from functools import cache
from pathlib import Path

import numpy as np
import soundfile

CLIPS = Path(__file__).parent / "clips"
RATE = 16_000
PAUSE = 0.9
"""Seconds of room before and after every phrase."""


@cache
def clips(name):
    """The samples of every phrase of a clip, in their order."""
    samples, rate = soundfile.read(CLIPS / f"{name}.flac", dtype="float64")
    assert rate == RATE
    return [samples[begin:end] for begin, end in json.loads((CLIPS / "index.json").read_text())[name]]


def room(seconds, seed):
    """Running water (noise falling by 3 dB an octave, its strength wandering) and a fan (hum and rumble), strength 1."""
    rng = np.random.default_rng(seed)
    count = round(seconds * RATE)
    pitch = np.fft.rfftfreq(count, 1 / RATE)
    shaped = np.fft.rfft(rng.standard_normal(count))
    water = np.fft.irfft(shaped / np.sqrt(np.maximum(pitch, 200)), count)
    knots = np.arange(0, count + RATE, RATE // 4)
    wander = np.interp(np.arange(count), knots, rng.uniform(0.7, 1.3, len(knots)))
    rumble = np.fft.irfft(np.fft.rfft(rng.standard_normal(count)) / np.maximum(pitch, 40), count)
    at = np.arange(count) / RATE
    hum = sum(np.sin(2 * np.pi * 50 * k * at + k) / k for k in range(1, 7))
    return _one(water * wander) + 0.7 * _one(rumble) + 0.3 * _one(hum)


def _one(samples):
    return samples / np.sqrt((samples**2).mean())


def strength(samples):
    """How strong speech is, over a trimmed phrase."""
    return float(np.sqrt((samples**2).mean()))


def in_a_room(phrases, decibels, seed, pause=PAUSE):
    """Phrases one after the other, each so many dB stronger than the room: 16 bit samples, and when each begins and ends (s)."""
    quiet = np.zeros(round(pause * RATE))
    parts, spans, at = [quiet], [], len(quiet)
    for phrase in phrases:
        level = phrase / strength(phrase) * 0.05
        spans.append((at / RATE, (at + len(phrase)) / RATE))
        parts += [level, quiet]
        at += len(level) + len(quiet)
    whole = np.concatenate(parts)
    noise = room(len(whole) / RATE, seed)
    noise *= 0.05 * 10 ** (-decibels / 20) / np.sqrt((noise**2).mean())
    return np.round(np.clip(whole + noise, -1, 1) * 32767).astype(np.int16), spans
