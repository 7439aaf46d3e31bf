"""How far to trust a path: against any phones at all, and against what else each field could have been.

Both compare scores of searches in which no way of saying costs anything, so they tell what the sound fits
and not what is likely to be said.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from plytally.core.automaton import Automaton, automaton
from plytally.core.grammar import Either, Node, Say, Seq
from plytally.core.hearing import Word
from plytally.core.listening import Rival
from plytally.speech.decoder import FRAMES_A_SECOND, BestPath, Piece

STRANGE = 2.85
"""A path this much worse a frame than free phones is no phrase. Set on the tuning voices of tests/bench: no
phrase that was heard right lay above 2.6, and 19 of 21 talks that fitted a whole phrase lay above 3.1."""

CLOSE = 30.0
"""A rival less than this behind (natural logarithm of the acoustic score) is told as the runner-up."""

_SLOPE = 25.0


@dataclass(frozen=True)
class Judged:
    """One rival of a sentence: where it stands, its words there, and how far behind they came."""

    rival: Rival
    words: tuple[str, ...]
    margin: float


def strangeness(path: BestPath, phones: BestPath | None) -> float:
    """By how much, a frame, free phones fit the spoken part better than the path's words do."""
    spoken = path.spoken
    if phones is None or not spoken:
        return math.inf
    end = max(path.pieces[-1].end, phones.pieces[-1].end)
    free = np.zeros(end + 1)
    for piece in phones.pieces:
        free[piece.start : piece.end] += piece.score / max(1, piece.end - piece.start)
    lost = sum(float(free[piece.start : piece.end].sum()) - piece.score for piece in spoken)
    return lost / max(1, sum(piece.end - piece.start for piece in spoken))


def rival_automaton(rival: Rival) -> Automaton:
    """The sentence with every other value in the rival's place, and nothing else."""
    others = Either(tuple(_sequence(other) for other in rival.others))
    return automaton(Seq((_sequence(rival.before), others, _sequence(rival.after))))


def heard_automaton(words: Sequence[str]) -> Automaton:
    """What was heard, and nothing else: its score is what the rivals are held against."""
    return automaton(Seq(tuple(Say(word) for word in words)))


def judged(rival: Rival, heard: BestPath, other: BestPath | None) -> Judged | None:
    """How the best of the others compares; None where none of them fitted the sound at all."""
    if other is None or len(other.words) < rival.start + len(rival.after.split()):
        return None
    words = other.words[rival.start : len(other.words) - len(rival.after.split())]
    return Judged(rival, words, heard.score - other.score)


def words_of(path: BestPath, found: Sequence[Judged]) -> tuple[Word, ...]:
    """The path's words; those with a rival have their confidence and runner-up from it."""
    closest: dict[int, Judged] = {}
    for each in found:
        for at in range(each.rival.start, each.rival.end):
            if at not in closest or each.margin < closest[at].margin:
                closest[at] = each
    return tuple(_word(piece, at, closest) for at, piece in enumerate(path.spoken))


def _word(piece: Piece, at: int, closest: Mapping[int, Judged]) -> Word:
    start, end = piece.start / FRAMES_A_SECOND, piece.end / FRAMES_A_SECOND
    rival = closest.get(at)
    if rival is None:
        return Word(piece.text, start, end)
    return Word(piece.text, start, end, _confidence(rival.margin), _runner_up(rival, at))


def _confidence(margin: float) -> float:
    """From 0 to 1: a half for a tie."""
    return 1 / (1 + math.exp(-max(-500.0, min(500.0, margin)) / _SLOPE))


def _runner_up(rival: Judged, at: int) -> str:
    """What stood there otherwise: the whole of it at the first word of the span."""
    if rival.margin >= CLOSE:
        return ""
    here, there = rival.rival.end - rival.rival.start, len(rival.words)
    if here == there:
        return rival.words[at - rival.rival.start]
    return (" ".join(rival.words) or "nothing") if at == rival.rival.start else ""


def _sequence(text: str) -> Node:
    return Seq(tuple(Say(word) for word in text.split()))
