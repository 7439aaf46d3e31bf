"""What stands between a builder's mouth and the recording: a shop's noises, its echo, a mask, a loud gain.

Everything is made by formula from a seed; none of it is a recording.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np

RATE = 16_000
Wave = np.ndarray


def made(noise: str, length: int, rng: np.random.Generator) -> Wave:
    """`length` samples of the named noise, at no particular level."""
    return NOISES[noise](length, rng)


def _white(length: int, rng: np.random.Generator) -> Wave:
    return rng.standard_normal(length)


def _pink(length: int, rng: np.random.Generator) -> Wave:
    spectrum = np.fft.rfft(_white(length, rng))
    spectrum /= np.sqrt(np.maximum(1, np.arange(len(spectrum))))
    pink = np.fft.irfft(spectrum, length)
    return pink / pink.std()


def _hum(length: int, rng: np.random.Generator) -> Wave:
    """A vacuum pump: 50 Hz and its multiples."""
    time = np.arange(length) / RATE
    tones = [np.sin(2 * np.pi * 50 * k * time + rng.uniform(0, 6.28)) / k for k in (1, 2, 3, 4, 6, 8, 12, 24)]
    return np.sum(tones, axis=0) / np.std(np.sum(tones, axis=0))


def _shop(length: int, rng: np.random.Generator) -> Wave:
    return _white(length, rng) + _pink(length, rng) + _hum(length, rng)


def _sander(length: int, rng: np.random.Generator) -> Wave:
    """A random-orbit sander: a whine near 180 Hz with its multiples, and hiss that swells with the stroke."""
    time = np.arange(length) / RATE
    turns = np.cumsum(180 + 12 * np.sin(2 * np.pi * 0.7 * time + rng.uniform(0, 6.28))) / RATE
    whine = np.sum([np.sin(2 * np.pi * k * turns) / k**0.7 for k in range(1, 12)], axis=0)
    stroke = 1 + 0.6 * np.sin(2 * np.pi * 1.6 * time + rng.uniform(0, 6.28))
    return whine / whine.std() + 1.5 * stroke * _band(_white(length, rng), 600, 7500)


def _compressor(length: int, rng: np.random.Generator) -> Wave:
    """A piston compressor: 15 beats a second of low rumble, and its motor."""
    time = np.arange(length) / RATE
    beat = np.maximum(0, np.sin(2 * np.pi * 15 * time)) ** 4
    return 3 * beat * _band(_white(length, rng), 40, 1500) + 0.4 * _hum(length, rng)


def _fan(length: int, rng: np.random.Generator) -> Wave:
    return _band(_white(length, rng), 30, 900) + 0.15 * _white(length, rng)


def _knocks(length: int, rng: np.random.Generator) -> Wave:
    """Something hit about once a second: each knock rings down in 40 ms; a low hiss in between."""
    sound = 0.03 * _white(length, rng)
    ring = np.exp(-np.arange(RATE // 5) / (0.04 * RATE))
    for at in rng.integers(0, max(1, length - len(ring)), max(1, length // RATE)):
        tone = np.sin(2 * np.pi * rng.uniform(400, 2500) * np.arange(len(ring)) / RATE)
        sound[at : at + len(ring)] += (ring * (tone + 0.5 * _white(len(ring), rng)))[: length - at]
    return sound


NOISES: Mapping[str, Callable[[int, np.random.Generator], Wave]] = {
    "white": _white,
    "pink": _pink,
    "hum": _hum,
    "shop": _shop,
    "sander": _sander,
    "compressor": _compressor,
    "fan": _fan,
    "knocks": _knocks,
}


def echo(speech: Wave, rng: np.random.Generator, seconds: float = 0.5) -> Wave:
    """A bare room: the direct sound and a tail that falls by 60 dB in `seconds`, 6 dB under it."""
    length = int(seconds * RATE)
    tail = rng.standard_normal(length) * 10 ** (-3 * np.arange(length) / length)
    tail *= 0.5 / np.sqrt(np.sum(tail**2))
    return speech + np.convolve(speech, tail)[: len(speech)]


def respirator(speech: Wave, _rng: np.random.Generator) -> Wave:
    """A half mask: little is left above 2 kHz, and its hollow lifts what lies around 600 Hz."""
    spectrum = np.fft.rfft(speech)
    hertz = np.fft.rfftfreq(len(speech), 1 / RATE)
    gain = 1 / np.sqrt(1 + (hertz / 2000) ** 4) * (1 + 0.8 * np.exp(-(((hertz - 600) / 250) ** 2)))
    return np.fft.irfft(spectrum * gain, len(speech)) * 0.5


def clipped(speech: Wave, _rng: np.random.Generator) -> Wave:
    """A microphone turned up too far: a quarter of the peak is all that is kept."""
    most = np.abs(speech).max() / 4
    return speech.clip(-most, most)


def far(speech: Wave, rng: np.random.Generator) -> Wave:
    """Two metres away: more echo than speech, and quiet."""
    return echo(echo(speech, rng, 0.4), rng, 0.6) * 0.15


EFFECTS: Mapping[str, Callable[[Wave, np.random.Generator], Wave]] = {
    "echo": echo,
    "mask": respirator,
    "clipped": clipped,
    "far": far,
}


def _band(noise: Wave, low: float, high: float) -> Wave:
    spectrum = np.fft.rfft(noise)
    hertz = np.fft.rfftfreq(len(noise), 1 / RATE)
    spectrum[(hertz < low) | (hertz > high)] = 0
    within = np.fft.irfft(spectrum, len(noise))
    return within / within.std()
