"""Loudness by ITU-R BS.1770 (K-weighting, gated blocks), and speech brought to one level. NumPy alone."""

import numpy as np
from numpy.typing import NDArray

from assistant.sound_helper.tones import RATE

TARGET = -18.0
"""Speech is brought to this loudness, LUFS: every phrase alike, with room for its peaks. Common practice, no
source."""
CEILING = 10 ** (-1 / 20)
"""No peak is above -1 dB of full scale, as in EBU R 128 (from memory)."""
KNEE = 0.8 * CEILING
"""From here on peaks are rounded off, more the higher they are, so that none is cut flat."""
BLOCK, GATE, GATE_BELOW, OFFSET = 0.4, -70.0, 10.0, -0.691
"""BS.1770-4: blocks of so many seconds, each a quarter on from the last; those under so many LUFS do not count, nor those so
many LU under the mean of the rest; and what the K-weighting adds at 997 Hz is taken off (dB)."""


def loudness(samples: NDArray[np.float64], rate: int = RATE) -> float:
    """Loudness in LUFS of one channel (n samples, -1 to 1); a sound under 400 ms is followed by silence. ITU-R BS.1770-4."""
    power = k_weighted(samples, rate) ** 2
    block = int(BLOCK * rate)
    if len(power) < block:
        power = np.concatenate([power, np.zeros(block - len(power))])
    means = np.array([power[i : i + block].mean() for i in range(0, len(power) - block + 1, block // 4)])
    levels = OFFSET + 10 * np.log10(means + 1e-12)
    kept = means[levels > GATE]
    if not len(kept):
        return GATE
    gate = OFFSET + 10 * np.log10(kept.mean()) - GATE_BELOW
    return float(OFFSET + 10 * np.log10(kept[OFFSET + 10 * np.log10(kept) > gate].mean()))


def k_weighted(samples: NDArray[np.float64], rate: int) -> NDArray[np.float64]:
    """The K-weighting of BS.1770 as a response over the spectrum: a shelf of 4 dB above 1.5 kHz and a high-pass."""
    count = 1 << int(np.ceil(np.log2(len(samples) + rate // 2)))
    z = np.exp(-2j * np.pi * np.fft.rfftfreq(count, 1 / rate) / rate)
    response = _shelf(z, rate) * _high_pass(z, rate)
    return np.asarray(np.fft.irfft(np.fft.rfft(samples, count) * response, count)[: len(samples)])


def _shelf(z: NDArray[np.complex128], rate: int) -> NDArray[np.complex128]:
    # Both filters of BS.1770 as analogue prototypes, so that any rate will do: the standard has coefficients for 48 kHz alone.
    # The prototypes are from memory; the tests hold them against an independent implementation.
    f0, gain, q = 1681.974450955533, 3.999843853973347, 0.7071752369554196
    k = np.tan(np.pi * f0 / rate)
    vh = 10 ** (gain / 20)
    vb = vh**0.4996667741545416
    a0 = 1 + k / q + k * k
    b = ((vh + vb * k / q + k * k) / a0, 2 * (k * k - vh) / a0, (vh - vb * k / q + k * k) / a0)
    a = (1.0, 2 * (k * k - 1) / a0, (1 - k / q + k * k) / a0)
    return _biquad(z, b, a)


def _high_pass(z: NDArray[np.complex128], rate: int) -> NDArray[np.complex128]:
    f0, q = 38.13547087602444, 0.5003270373238773
    k = np.tan(np.pi * f0 / rate)
    a0 = 1 + k / q + k * k
    return _biquad(z, (1.0, -2.0, 1.0), (1.0, 2 * (k * k - 1) / a0, (1 - k / q + k * k) / a0))


def _biquad(z: NDArray[np.complex128], b: tuple[float, float, float], a: tuple[float, float, float]) -> NDArray[np.complex128]:
    return (b[0] + b[1] * z + b[2] * z * z) / (a[0] + a[1] * z + a[2] * z * z)


def level(samples: NDArray[np.float64], volume: float = 1.0) -> NDArray[np.int16]:
    """Speech (n samples, -1 to 1) at the common loudness, peaks rounded off below the ceiling, as 16-bit samples."""
    for _ in range(3):  # rounding peaks off makes it less loud again
        samples = samples * 10 ** ((TARGET - loudness(samples)) / 20)
        over = np.abs(samples) > KNEE
        if not over.any():
            break
        samples = np.where(over, np.sign(samples) * _rounded(np.abs(samples)), samples)
    whole: NDArray[np.int16] = np.round(np.clip(samples, -CEILING, CEILING) * volume * 32767).astype(np.int16)
    return whole


def _rounded(size: NDArray[np.float64]) -> NDArray[np.float64]:
    room = CEILING - KNEE
    return np.asarray(KNEE + room * np.tanh((size - KNEE) / room))
