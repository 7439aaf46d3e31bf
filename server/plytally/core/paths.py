"""What a search through sound finds: words or phones one after the other, each with how well it fits.

Engines on the server and on the phone give their searches in this form; all that is made of them (is it a
phrase, what else could it be, how sure is it) is written once, in sound_fit and judging.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Self

FRAMES_A_SECOND = 100


@dataclass(frozen=True)
class Piece:
    """One word or phone on the best path: first frame, frame after the last, and its acoustic score (ln)."""

    text: str
    start: int
    end: int
    score: float


@dataclass(frozen=True)
class BestPath:
    """The best path through a search. Scores (ln) of different searches over one sound can be compared."""

    pieces: tuple[Piece, ...]
    score: float

    @property
    def words(self) -> tuple[str, ...]:
        """The words, silences and noises left out."""
        return tuple(piece.text for piece in self.spoken)

    @property
    def spoken(self) -> tuple[Piece, ...]:
        """The pieces that are words."""
        return tuple(piece for piece in self.pieces if piece.text[0] not in "<[+(")

    @classmethod
    def of(cls, pieces: Sequence[Mapping[str, Any]], score: float) -> Self:
        """From plain JSON values, as an engine on the phone gives them."""
        return cls(tuple(Piece(p["text"], p["start"], p["end"], p["score"]) for p in pieces), score)


@dataclass(frozen=True)
class Sounded:
    """A note as an engine has it: its best path through the phrasebook, and the best that any phones do.

    `phones` is None where the sound fits none at all. `learnt`: the engine knows the speaker's voice.
    """

    path: BestPath
    phones: BestPath | None
    learnt: bool = False
