"""A voice learnt: where its speech lies beside the model's, as means of its own for the model's densities.

First the whole model is moved, then each density that was heard often enough by itself.

Maximum likelihood linear regression: C. J. Leggetter and P. C. Woodland, "Maximum likelihood linear
regression for speaker adaptation of continuous density hidden Markov models", Computer Speech and
Language 9 (1995), pp. 171-185. Two minutes of speech are enough for 13 × 14 numbers in each stream.

Maximum a posteriori: J.-L. Gauvain and C.-H. Lee, "Maximum a posteriori estimation for multivariate Gaussian
mixture observations of Markov chains", IEEE Trans. Speech and Audio Processing 2 (1994), pp. 291-298.

Every fourth note is held back: a voice is only worth keeping if it makes those likelier. They also say how
far the map may bend: little speech of a person bears less than much of it, or than a program's.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import reduce
from operator import add

import numpy as np

from plytally.speech.aligning import Aligned
from plytally.speech.sphinx_model import STREAMS, WIDTH, Array, SphinxModel

ROUNDS = 4
HELD_BACK = 4  # every so many notes, one
FEWEST_NOTES = 8
FEWEST_SECONDS = 20.0
LEAST_GAIN = 0.5
"""Natural logarithm of the likelihood a frame. Maps from another voice's speech lose more than this."""

_TRUST = 10.0
"""Frames: a density heard so long lies half way between the moved model and what was heard."""

LOOSE, STIFF = 10.0, 1000.0
"""As if so many densities' worth of frames had asked for no change: what little speech does not say stays."""


class TooLittleSpeech(ValueError):
    """There is not enough speech to learn a voice from; the message says how much there is."""


@dataclass(frozen=True, eq=False)
class VoiceMap:
    """Each mean m of stream s becomes matrices[s] @ m + offsets[s]; they are 3 × 13 × 13 and 3 × 13."""

    matrices: Array
    offsets: Array

    @classmethod
    def none(cls) -> VoiceMap:
        """The map that changes nothing."""
        return cls(np.tile(np.eye(WIDTH), (STREAMS, 1, 1)), np.zeros((STREAMS, WIDTH)))

    def of(self, means: Array) -> Array:
        """The model's means (phones × 3 × densities × 13) for this voice."""
        return np.asarray(np.einsum("sij,psdj->psdi", self.matrices, means) + self.offsets[:, None, :])


@dataclass(frozen=True, eq=False)
class Fitted:
    """A voice's means (as the model's), from how many notes and seconds of speech, and what such means gain.

    `trial` was fitted without the notes held back; `gain` is, on those alone, the mean of the logarithm of
    the likelihood a frame with `trial` less without it.
    """

    means: Array
    notes: int
    seconds: float
    gain: float
    trial: Array

    @property
    def helps(self) -> bool:
        """Whether hearing by it is better than without."""
        return self.gain >= LEAST_GAIN


@dataclass(frozen=True, eq=False)
class _Counts:
    """How often each density spoke (phones × 3 × densities), the sum of what it said, and ln likelihood."""

    often: Array
    sums: Array
    log_likelihood: float
    frames: int

    def __add__(self, other: _Counts) -> _Counts:
        return _Counts(
            self.often + other.often,
            self.sums + other.sums,
            self.log_likelihood + other.log_likelihood,
            self.frames + other.frames,
        )


def fit(notes: Sequence[Aligned], model: SphinxModel) -> Fitted:
    """The voice of these notes. TooLittleSpeech below 8 notes or 20 seconds of speech."""
    seconds = sum(note.frames for note in notes) / 100
    if len(notes) < FEWEST_NOTES or seconds < FEWEST_SECONDS:
        raise TooLittleSpeech(
            f"there are {len(notes)} notes with {seconds:.0f} seconds of speech; a voice is learnt from "
            f"{FEWEST_NOTES} notes and {FEWEST_SECONDS:.0f} seconds on"
        )
    held = [note for at, note in enumerate(notes) if is_held_back(at)]
    shown = [note for at, note in enumerate(notes) if not is_held_back(at)]
    trials = {stiffness: fitted_means(shown, model, stiffness) for stiffness in (LOOSE, STIFF)}
    likely = {stiffness: likelihood(held, model, trial) for stiffness, trial in trials.items()}
    best = max(likely, key=likely.__getitem__)
    gain = likely[best] - likelihood(held, model, model.means)
    return Fitted(fitted_means(notes, model, best), len(notes), seconds, gain, trials[best])


def is_held_back(at: int) -> bool:
    """Whether the note at this place, from 0, is one to judge by and not one to learn from."""
    return at % HELD_BACK == HELD_BACK - 1


def fitted_means(notes: Iterable[Aligned], model: SphinxModel, stiffness: float = LOOSE) -> Array:
    """The means of the model's densities in this voice."""
    notes = tuple(notes)
    means = fitted_map(notes, model, stiffness).of(model.means)
    counts = _counted(notes, model, means)
    return np.asarray((_TRUST * means + counts.sums) / (_TRUST + counts.often[..., None]))


def fitted_map(notes: Iterable[Aligned], model: SphinxModel, stiffness: float = LOOSE) -> VoiceMap:
    """The map that makes the notes likeliest, by expectation and maximisation from no map at all."""
    notes, voice = tuple(notes), VoiceMap.none()
    for _ in range(ROUNDS):
        voice = _maximised(_counted(notes, model, voice.of(model.means)), model, stiffness)
    return voice


def likelihood(notes: Iterable[Aligned], model: SphinxModel, means: Array) -> float:
    """The mean over all frames of the logarithm of the likelihood of what was said, by these means."""
    counts = _counted(notes, model, means)
    return counts.log_likelihood / max(1, counts.frames)


def _counted(notes: Iterable[Aligned], model: SphinxModel, means: Array) -> _Counts:
    norms = np.log(2 * np.pi * model.variances).sum(axis=-1)
    none = _Counts(np.zeros(means.shape[:3]), np.zeros(means.shape), 0.0, 0)
    return reduce(add, (_counted_note(note, model, means, norms) for note in notes), none)


def _counted_note(note: Aligned, model: SphinxModel, means: Array, norms: Array) -> _Counts:
    often, sums, total = np.zeros(means.shape[:3]), np.zeros(means.shape), 0.0
    for phone in np.unique(note.codebooks):
        here = np.flatnonzero(note.codebooks == phone)
        seen = note.features[here]
        away = seen[:, :, None, :] - means[phone]
        scores = -0.5 * ((away**2 / model.variances[phone]).sum(axis=-1) + norms[phone])
        scores += model.log_weights[:, :, note.senones[here]].transpose(2, 0, 1)
        best = scores.max(axis=-1, keepdims=True)
        shares = np.exp(scores - best)
        whole = shares.sum(axis=-1, keepdims=True)
        shares /= whole
        total += float((best + np.log(whole)).sum())
        often[phone] = shares.sum(axis=0)
        sums[phone] = np.einsum("tsd,tsi->sdi", shares, seen)
    return _Counts(often, sums, total, note.frames)


def _maximised(counts: _Counts, model: SphinxModel, stiffness: float) -> VoiceMap:
    """Row by row: each number of a mean has its own variance, so each row is a system of 14 equations."""
    none = VoiceMap.none()
    matrices, offsets = none.matrices.copy(), none.offsets.copy()
    for stream in range(STREAMS):
        means = model.means[:, stream].reshape(-1, WIDTH)
        often = counts.often[:, stream].reshape(-1)
        sums = counts.sums[:, stream].reshape(-1, WIDTH)
        precisions = 1 / model.variances[:, stream].reshape(-1, WIDTH)
        extended = np.concatenate([means, np.ones((len(means), 1))], axis=1)
        for row in range(WIDTH):
            unchanged = np.eye(WIDTH + 1)[row]
            left = (extended * (often * precisions[:, row])[:, None]).T @ extended
            right = (sums[:, row] * precisions[:, row]) @ extended
            stiff = stiffness * np.eye(WIDTH + 1)
            solved = np.linalg.solve(left + stiff, right + stiff @ unchanged)
            matrices[stream, row], offsets[stream, row] = solved[:-1], solved[-1]
    return VoiceMap(matrices, offsets)
