"""Noises of a darkroom for tests: pink, running water; and how loud a sound is to an ear."""

import numpy as np

from assistant.sound_helper.tones import RATE


def _shaped(count, rng, strength):
    spectrum = np.fft.rfft(rng.standard_normal(count))
    pitch = np.fft.rfftfreq(count, 1 / RATE)
    return np.fft.irfft(spectrum * strength(np.maximum(pitch, 20)), count)


def pink(count, rng):
    """Equal power in every octave."""
    return _shaped(count, rng, lambda pitch: pitch**-0.5)


def water(count, rng):
    """A tap running into a tray: broad, most of it between 400 and 4000 Hz, swelling a little."""
    noise = _shaped(count, rng, lambda pitch: 1 / (1 + (400 / pitch) ** 2) / (1 + (pitch / 4000) ** 2))
    swell = 1 + 0.3 * np.sin(2 * np.pi * 3.1 * np.arange(count) / RATE)
    return noise * swell


def level_a(samples, span=0.125):
    """Greatest A-weighted level over 125 ms, as a part of full scale. Weighting: IEC 61672-1."""
    count = max(len(samples), RATE // 2)
    pitch = np.maximum(np.fft.rfftfreq(count, 1 / RATE), 1) ** 2
    weight = 12194**2 * pitch**2 / ((pitch + 20.6**2) * np.sqrt((pitch + 107.7**2) * (pitch + 737.9**2)) * (pitch + 12194**2))
    heard = np.fft.irfft(np.fft.rfft(samples, count) * weight * 10**0.1, count)
    width = int(span * RATE)
    return float(np.sqrt(np.convolve(heard**2, np.ones(width) / width).max()))
