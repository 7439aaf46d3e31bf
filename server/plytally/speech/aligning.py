"""Which sound belongs to which state of the words that were said: the stuff that a voice is fitted from.

The engine itself aligns, and writes the cepstra that it heard by; what follows (mean taken off, differences
in time) is done here as it does it: CMU Sphinx's features "1s_c_d_dd", with the mean of the whole note.
"""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plytally.core.judging import heard_automaton
from plytally.core.paths import BestPath
from plytally.speech.decoder import Decoder
from plytally.speech.port import Samples
from plytally.speech.sphinx_model import SILENCE, WIDTH, Array, SphinxModel

_EDGE = 3  # frames on either side that the second differences reach


@dataclass(frozen=True, eq=False)
class Aligned:
    """Frames of speech: `features` frames × 3 × 13, and each frame's senone and codebook. No silence."""

    features: Array
    senones: NDArray[np.intp]
    codebooks: NDArray[np.intp]

    @property
    def frames(self) -> int:
        """How many hundredths of a second of speech."""
        return len(self.senones)


class Aligner:
    """Aligns sounds with the words said in them. Not for two threads at once."""

    def __init__(self, model: SphinxModel, words: Sequence[str], **settings: Any) -> None:
        self._folder = tempfile.TemporaryDirectory()
        self._decoder = Decoder(mfclogdir=self._folder.name, **settings)
        self._decoder.learn(words)
        self._numbers = {phone: at for at, phone in enumerate(model.phones)}

    def path(self, text: str, samples: Samples) -> BestPath | None:
        """The best path through exactly these words, in either accent; None where they do not fit."""
        self._decoder.listen_by("text", heard_automaton(text.split()))
        path = self._decoder.best_path("text", samples)
        return path if path is not None and path.words == tuple(text.split()) else None

    def align(self, text: str, samples: Samples) -> Aligned | None:
        """The sound state by state; None where the words do not fit. Samples as `conditioned` gives them."""
        if self.path(text, samples) is None:
            return None
        for file in Path(self._folder.name).iterdir():
            file.unlink()
        try:
            spans = self._decoder.states(samples)
        except RuntimeError:  # the engine's own: the words do not reach the end of the sound
            return None
        cepstra = _read_cepstra(max(Path(self._folder.name).iterdir()))
        senones = np.repeat([span.senone for span in spans], [span.frames for span in spans])
        codebooks = np.repeat([self._numbers[s.phone] for s in spans], [s.frames for s in spans])
        count = min(len(cepstra), len(senones))
        spoken = np.flatnonzero(codebooks[:count] != self._numbers[SILENCE])
        return Aligned(features(cepstra)[spoken], senones[spoken], codebooks[spoken])

    def close(self) -> None:
        """Give the folder of cepstra back."""
        self._folder.cleanup()


def features(cepstra: Array) -> Array:
    """Frames × 13 cepstra to frames × 3 × 13: less their mean, first and second differences in time."""
    loud = cepstra[cepstra[:, 0] >= 0]
    centred = cepstra - (loud if len(loud) else cepstra).mean(axis=0)
    padded = np.pad(centred, ((_EDGE, _EDGE), (0, 0)), mode="edge")
    count = len(centred)

    def ahead(by: int) -> Array:
        return padded[_EDGE + by : _EDGE + by + count]

    first = ahead(2) - ahead(-2)
    second = (ahead(3) - ahead(-1)) - (ahead(1) - ahead(-3))
    return np.stack([centred, first, second], axis=1)


def _read_cepstra(file: Path) -> Array:
    """A file of the engine's: a count, then big-endian numbers."""
    return np.frombuffer(file.read_bytes(), ">f4", offset=4).reshape(-1, WIDTH).astype(np.float64)
