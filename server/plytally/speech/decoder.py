"""A thin skin over pocketsphinx: words get sounds, a grammar becomes a search, samples become scored words.

Everything pocketsphinx does not say (a missing word, an unfinished sentence) is said here.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import pocketsphinx

from plytally.core.automaton import Automaton
from plytally.core.pronounce import TRADE, pronunciations
from plytally.speech.port import GrammarRefused, Samples

FRAMES_A_SECOND = 100
_LOG_BASE = math.log(1.0001)
_VARIANT = re.compile(r"\(\d+\)$")
_LEAST_SAMPLES = 1600  # a tenth of a second: less has no frames to work on


@dataclass(frozen=True)
class Piece:
    """One word on the best path: its time in seconds and its acoustic score as a natural logarithm."""

    text: str
    start: float
    end: float
    score: float
    posterior: float


@dataclass(frozen=True)
class Path:
    """The best path through a search. `score` is a natural logarithm, comparable within one sound only."""

    pieces: tuple[Piece, ...]
    score: float

    @property
    def text(self) -> str:
        """The words as one line."""
        return " ".join(piece.text for piece in self.pieces)


class Decoder:
    """One pocketsphinx decoder with any number of named searches. Not for two threads at once."""

    def __init__(self, **settings: Any) -> None:
        self._sphinx = pocketsphinx.Decoder(lm=None, loglevel="FATAL", **settings)

    def learn(self, words: Iterable[str]) -> tuple[str, ...]:
        """Give every word a sound; returns those that the dictionary lacked and the trade's table too."""
        guessed = []
        for word in words:
            known = self._sphinx.lookup_word(word)
            if known is None and word not in TRADE:
                guessed.append(word)
            if known is None or word in TRADE:
                self._add(word, pronunciations(word, self._sphinx.lookup_word))
        return tuple(guessed)

    def _add(self, word: str, ways: tuple[str, ...]) -> None:
        """Add the ways that are not there yet; further ways are named word(2), word(3) and so on."""
        names = (word, *(f"{word}({number})" for number in range(2, 9)))
        have = [self._sphinx.lookup_word(name) for name in names]
        free = iter([name for name, known in zip(names, have, strict=True) if known is None])
        for way in ways:
            if way not in have:
                self._sphinx.add_word(next(free), way, False)

    def listen_by(self, name: str, automaton: Automaton) -> None:
        """Make the automaton the search `name`, in place of one of that name. Its words must be learnt."""
        if not automaton.arcs:
            raise GrammarRefused("the grammar is empty: there is no sentence to listen for")
        end = automaton.states
        arcs: list[tuple[Any, ...]] = [(arc.start, arc.end, 1.0, arc.word) for arc in automaton.arcs]
        arcs += [(final, end, 1.0) for final in automaton.finals]
        try:
            self._sphinx.add_fsg(name, self._sphinx.create_fsg(name, 0, end, arcs))
        except (RuntimeError, ValueError) as problem:
            unknown = sorted({a.word for a in automaton.arcs if self._sphinx.lookup_word(a.word) is None})
            raise GrammarRefused(
                f"pocketsphinx refuses the grammar; words without a sound: {', '.join(unknown) or 'none'}"
            ) from problem

    def path(self, name: str, samples: Samples) -> Path | None:
        """The best whole sentence of search `name`; None where the sound fits none, or holds too little."""
        if len(samples) < _LEAST_SAMPLES:
            return None
        self._sphinx.activate_search(name)
        self._sphinx.start_utt()
        self._sphinx.process_raw(samples.tobytes(), full_utt=True)
        self._sphinx.end_utt()
        best = self._sphinx.hyp()
        if best is None or not best.hypstr:
            return None
        pieces = tuple(_piece(segment) for segment in self._sphinx.seg() if segment.word[0] not in "<[+")
        return Path(pieces, _ln(best.score))


def _piece(segment: Any) -> Piece:
    return Piece(
        text=_VARIANT.sub("", segment.word),
        start=segment.start_frame / FRAMES_A_SECOND,
        end=(segment.end_frame + 1) / FRAMES_A_SECOND,
        score=_ln(segment.ascore),
        posterior=min(1.0, segment.prob),
    )


def _ln(score: float) -> float:
    return math.log(score) if score > 0 else -math.inf
