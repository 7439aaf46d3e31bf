"""What an engine is given, what it must do, and how it says that it cannot.

SpeechError
├── AudioError            the sound itself (see audio.py for its four kinds)
├── ModelError            an engine's model cannot be used
│   ├── ModelAbsent       there is none where one was asked for
│   └── ModelIncomplete   files are missing, cut short or unreadable; the message names them
└── GrammarRefused          the grammar could not be loaded; says which words or line
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from plytally.core.hearing import Hearing
from plytally.core.listening import Grammar

RATE = 16_000
Samples = NDArray[np.int16]


class SpeechError(Exception):
    """Something in speech that cannot go on; the message says what was found and what to do."""


class AudioError(SpeechError):
    """The sound cannot be heard. The recording itself is never touched by this."""


class ModelError(SpeechError):
    """A speech model is absent, incomplete or not one that plytally can use."""


class ModelAbsent(ModelError):
    """There is no model where one was asked for."""


class ModelIncomplete(ModelError):
    """A model's files are missing, cut short or unreadable; the message names them."""


class GrammarRefused(SpeechError):
    """The grammar is not one the engine can listen by."""


@dataclass(frozen=True, eq=False)
class Pcm16k:
    """Sound ready to be heard: int16 samples, mono, 16 000 a second.

    `remarks` are sentences about how the sound came to be (a file cut short, parts skipped); engines
    hand them on in Hearing.remarks.
    """

    samples: Samples
    remarks: tuple[str, ...] = ()

    @property
    def seconds(self) -> float:
        """How long the sound lasts."""
        return len(self.samples) / RATE

    @classmethod
    def from_bytes(cls, raw: bytes) -> Pcm16k:
        """Headerless 16-bit little-endian mono 16 kHz PCM; an odd last byte (half a sample) is dropped."""
        return cls(np.frombuffer(raw[: len(raw) // 2 * 2], dtype="<i2").astype(np.int16))


class Recogniser(Protocol):
    """An engine: sound and a grammar in, words out. Safe to call from several threads in turn."""

    @property
    def name(self) -> str:
        """The engine and its model, as it is written on each hearing."""

    def hear(self, sound: Pcm16k, grammar: Grammar) -> Hearing:
        """The words in `sound`.

        Speech that the grammar does not hold comes back with `covered=False` and words that are a guess.
        Raises GrammarRefused or ModelError; never refuses because of what is in the sound.
        """
