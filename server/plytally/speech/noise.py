"""A steady noise (pump, fan, compressor) taken out of a recording.

The short-time spectral amplitude that is best in the mean of its logarithm: Y. Ephraim and D. Malah, "Speech
enhancement using a minimum mean-square error log-spectral amplitude estimator", IEEE Trans. ASSP 33 (1985).
The noise is taken to be what each frequency falls back to in the quieter moments of the note.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plytally.speech.port import Samples

Spectrum = NDArray[np.float64]

_FRAME, _HOP = 512, 128  # 32 ms and 8 ms
_SMOOTHED_FRAMES = 7
_QUIET_SHARE = 0.2  # the share of the note that is taken for pauses
_BIAS = 1.3  # the mean of the noise over that quantile of it
_DECISION_DIRECTED = 0.96  # how much of the last frame's estimate is kept; the paper has 0.98
_LEAST_PRIOR = 10 ** (-25 / 10)
_WINDOW = np.hanning(_FRAME + 1)[:-1]


def less_noise(samples: Samples, floor_db: float = -16.0) -> Samples:
    """The sound with its steady noise turned down, at the most by `floor_db`.

    A sound without pauses, or shorter than a frame, comes back little changed.
    """
    if len(samples) < _FRAME:
        return samples
    spectrum = _analysed(samples)
    power = np.abs(spectrum) ** 2
    noise = np.maximum(_noise_power(power) * _BIAS, 1e-3)
    cleaned = _synthesised(spectrum * _gains(power, noise, 10 ** (floor_db / 20)), len(samples))
    return cleaned.clip(-32768, 32767).astype(np.int16)


def exponential_integral(x: NDArray[np.float64]) -> NDArray[np.float64]:
    """E1(x) for x > 0, to about 2e-7 below 1 and 5e-5 of the value above it.

    Abramowitz and Stegun, "Handbook of Mathematical Functions", 5.1.53 and 5.1.56.
    """
    small = np.minimum(x, 1.0)
    low = np.polyval([0.00107857, -0.00976004, 0.05519968, -0.24991055, 0.99999193, -0.57721566], small)
    large = np.maximum(x, 1.0)
    over = np.polyval([1, 8.5733287401, 18.0590169730, 8.6347608925, 0.2677737343], large)
    under = np.polyval([1, 9.5733223454, 25.6329561486, 21.0996530827, 3.9584969228], large)
    return np.where(x < 1.0, low - np.log(small), over / under * np.exp(-large) / large)


def _noise_power(power: Spectrum) -> Spectrum:
    """By frequency, the power that a fifth of the note stays under."""
    running = np.cumsum(np.vstack([np.zeros(power.shape[1]), power]), axis=0)
    width = min(_SMOOTHED_FRAMES, len(power))
    smoothed = (running[width:] - running[:-width]) / width
    return np.asarray(np.quantile(smoothed, _QUIET_SHARE, axis=0))


def _gains(power: Spectrum, noise: Spectrum, floor: float) -> Spectrum:
    """What each frequency of each frame is multiplied by."""
    gains = np.empty_like(power)
    kept = np.zeros_like(noise)
    for at, frame in enumerate(power):
        posterior = np.minimum(frame / noise, 1e4)
        prior = _DECISION_DIRECTED * kept / noise + (1 - _DECISION_DIRECTED) * np.maximum(posterior - 1, 0)
        prior = np.maximum(prior, _LEAST_PRIOR)
        wiener = prior / (1 + prior)
        gain = wiener * np.exp(0.5 * exponential_integral(np.maximum(wiener * posterior, 1e-3)))
        gains[at] = gain.clip(floor, 1.0)
        kept = gains[at] ** 2 * frame
    return gains


def _analysed(samples: Samples) -> NDArray[np.complex128]:
    padded = np.pad(samples.astype(np.float64), _FRAME)
    frames = np.lib.stride_tricks.sliding_window_view(padded, _FRAME)[::_HOP]
    return np.asarray(np.fft.rfft(frames * _WINDOW, axis=1))


def _synthesised(spectrum: NDArray[np.complex128], length: int) -> NDArray[np.float64]:
    """Overlap and add, weighted by the window a second time."""
    frames = np.fft.irfft(spectrum, _FRAME, axis=1) * _WINDOW
    total = np.zeros(_HOP * (len(frames) - 1) + _FRAME)
    weight = np.zeros_like(total)
    for at, frame in enumerate(frames):
        span = slice(at * _HOP, at * _HOP + _FRAME)
        total[span] += frame
        weight[span] += _WINDOW**2
    return (total / np.maximum(weight, 1e-8))[_FRAME : _FRAME + length]
