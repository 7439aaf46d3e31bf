"""Sound made fit for the pocketsphinx front end: steady noise turned down, then an even, low noise mixed in.

Digital silence (the pauses of a recorder that gates, or of a synthesiser) has no spectrum to take the mean
of, and spoils the cepstral means of the whole note; noise that was turned down leaves holes of the same
kind. A little white noise, well below the speech, fills both.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from plytally.speech.noise import less_noise
from plytally.speech.port import Samples

NOISE_BELOW_SPEECH_DB = 25.0
# The floor of the noise reduction by how noisy the note is: little is done to a quiet one.
_SNR_DB, _FLOOR_DB = (12.0, 25.0), (-16.0, -6.0)
_FRAME = 320
_SPOKEN_WITHIN_DB = 25.0
_QUIET_SHARE = 0.15


def conditioned(samples: Samples) -> Samples:
    """The sound as the decoder wants it; the same input gives the same output."""
    cleaned = less_noise(samples, float(np.interp(loud_over_quiet_db(samples), _SNR_DB, _FLOOR_DB)))
    wanted = speech_level(cleaned) * 10 ** (-NOISE_BELOW_SPEECH_DB / 20)
    added = max(1.0, np.sqrt(max(0.0, wanted**2 - quiet_level(cleaned) ** 2)))
    noise = np.random.default_rng(1).standard_normal(len(samples))
    return (cleaned.astype(np.float64) + noise * added).clip(-32768, 32767).astype(np.int16)


def loud_over_quiet_db(samples: Samples) -> float:
    """How far the loud parts stand out of the quiet ones: 3 dB at the most for a steady noise."""
    return float(20 * np.log10(max(1.0, speech_level(samples)) / max(1e-3, quiet_level(samples))))


def speech_level(samples: Samples) -> float:
    """Root mean square of the loud parts, taken for speech; 0 for silence."""
    power = _powers(samples)
    if not len(power):
        return 0.0
    return float(np.sqrt(np.mean(power[power >= power.max() * 10 ** (-_SPOKEN_WITHIN_DB / 10)])))


def quiet_level(samples: Samples) -> float:
    """Root mean square that the quiet parts, taken for pauses, stay under; 0 for less than a frame."""
    power = _powers(samples)
    return float(np.sqrt(np.quantile(power, _QUIET_SHARE))) if len(power) else 0.0


def _powers(samples: Samples) -> NDArray[np.float64]:
    frames = samples[: len(samples) // _FRAME * _FRAME].reshape(-1, _FRAME)
    return np.asarray(np.mean(frames.astype(np.float64) ** 2, axis=1)) if len(frames) else np.zeros(0)
