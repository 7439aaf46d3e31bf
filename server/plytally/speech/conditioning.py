"""Sound made fit for the pocketsphinx front end.

Digital silence (the pauses of a recorder that gates, or of a synthesiser) has no spectrum to take the mean
of, and spoils the cepstral means of the whole note: a little noise mixed in, far below the speech, cures it.
"""

from __future__ import annotations

import numpy as np

from plytally.speech.port import Samples

NOISE_BELOW_SPEECH_DB = 35.0
_FRAME = 320
_SPOKEN_WITHIN_DB = 25.0


def conditioned(samples: Samples) -> Samples:
    """The sound with low noise mixed in; the same input gives the same output."""
    level = speech_level(samples)
    noise = np.random.default_rng(1).standard_normal(len(samples))
    mixed = samples.astype(np.float64) + noise * max(1.0, level * 10 ** (-NOISE_BELOW_SPEECH_DB / 20))
    return mixed.clip(-32768, 32767).astype(np.int16)


def speech_level(samples: Samples) -> float:
    """Root mean square of the loud parts, taken for speech; 0 for silence."""
    frames = samples[: len(samples) // _FRAME * _FRAME].reshape(-1, _FRAME)
    if not len(frames):
        return 0.0
    power = np.mean(frames.astype(np.float64) ** 2, axis=1)
    return float(np.sqrt(np.mean(power[power >= power.max() * 10 ** (-_SPOKEN_WITHIN_DB / 10)])))
