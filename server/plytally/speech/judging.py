"""How far to trust a path: against any phones at all, and against what else each field could have been.

Both compare scores of searches in which no way of saying costs anything, so they tell what the sound fits
and not what is likely to be said.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from plytally.core.automaton import Automaton, automaton
from plytally.core.doubting import KIND
from plytally.core.grammar import Either, Maybe, Node, Say, Seq
from plytally.core.hearing import Word
from plytally.core.listening import Rival
from plytally.core.numbers import confusable
from plytally.core.numberwords import is_number_word
from plytally.core.runner_up import beside
from plytally.speech.decoder import FRAMES_A_SECOND, BestPath, Piece

STRANGE = 2.85
"""A path this much worse a frame than free phones is no phrase. Set on the tuning voices of tests/bench: no
phrase that was heard right lay above 2.6, and 19 of 21 talks that fitted a whole phrase lay above 3.1."""

STRETCH, STRANGE_STRETCH = 30, 4.8
"""Frames, and how much worse than free phones they may fit on average. On the tuning voices 1 of 73 phrases
that were heard right had a worse stretch, and 39 of 70 that were heard wrongly or are no phrase."""

STRANGE_NUMBER = 2.6
"""How much worse than free phones the words of one number may fit on average: a second witness that costs no
time. Of 168 numbers at 20 and 10 dB it doubts 14 of the 36 wrong ones, and 6 of the 132 right ones."""

LONGEST_WORD = 1.2
"""Seconds. A steady noise is heard as words of two seconds and more; no word of the phrasebook takes one."""

CLOSE = {"number": 50.0, "name": 26.0, "kind": 60.0, "left out": 12.0, "alike": 60.0}
"""A rival less than this behind (natural logarithm of the acoustic score) is told as the runner-up.

On the tuning voices wrong numbers lay up to 30 behind at 20 dB, wrong names up to 24; on other voices the
truth came 43 behind a wrong number and 57 behind wrong work. A wrong number that nobody asks about is worse
than a question too many. "alike" are thirteen and thirty, "left out" is a rival with nothing in the place."""

SMALL = ("the", "of")
"""May come and go before a rival."""

_TIE, _SLOPE = (
    0.65,
    15.0,
)  # how often what was heard is right at a tie, and how fast that rises with the margin


@dataclass(frozen=True)
class Judged:
    """One rival of a sentence: where it stands, its words there, and how far behind they came."""

    rival: Rival
    words: tuple[str, ...]
    margin: float

    @property
    def is_close(self) -> bool:
        """Whether it could be what was said."""
        return self.margin < CLOSE[self._sort(self.rival.heard)]

    def _sort(self, heard: Sequence[str]) -> str:
        if not self.words:
            return "left out"
        if self.rival.is_number:
            return "alike" if " ".join(self.words) in confusable(tuple(heard)) else "number"
        return "kind" if self.rival.fields == (KIND,) else "name"


def strangeness(path: BestPath, phones: BestPath | None) -> float:
    """By how much, a frame, free phones fit the spoken part better than the path's words do.

    Infinite where there are no words, or one that is longer than anyone speaks.
    """
    spoken = path.spoken
    if phones is None or not spoken or max(piece.seconds for piece in spoken) > LONGEST_WORD:
        return math.inf
    lost = _lost(path, phones)
    frames = [at for piece in spoken for at in range(piece.start, piece.end)]
    return float(lost[frames].mean())


def strange_words(path: BestPath, phones: BestPath | None) -> frozenset[int]:
    """The words of a stretch or number that sounds like something else, as places among the path's words.

    A note that is a phrase but for one word fits well on the whole; only there it does not. Sound between
    the words that free phones take for speech counts to the nearest word.
    """
    spoken = path.spoken
    if phones is None or not spoken:
        return frozenset()
    lost = _lost(path, phones)
    sums = np.cumsum(np.concatenate([[0.0], lost]))
    width = min(STRETCH, len(lost))
    means = (sums[width:] - sums[:-width]) / width
    strange = (int(at) for at in np.flatnonzero(means > STRANGE_STRETCH))
    return frozenset(_nearest(spoken, at + width // 2) for at in strange) | _strange_numbers(spoken, lost)


def _strange_numbers(spoken: Sequence[Piece], lost: NDArray[np.float64]) -> frozenset[int]:
    """The words of each number that as a whole sounds like something else."""
    found: set[int] = set()
    for is_number, run in groupby(enumerate(spoken), key=lambda each: is_number_word(each[1].text)):
        words = tuple(run)
        frames = [at for _, piece in words for at in range(piece.start, piece.end)]
        if is_number and lost[frames].mean() > STRANGE_NUMBER:
            found |= {at for at, _ in words}
    return frozenset(found)


def _nearest(spoken: Sequence[Piece], frame: int) -> int:
    away = [max(piece.start - frame, frame - piece.end + 1, 0) for piece in spoken]
    return away.index(min(away))


def _lost(path: BestPath, phones: BestPath) -> NDArray[np.float64]:
    """For each frame, by how much free phones fit better than the path."""
    length = max(path.pieces[-1].end, phones.pieces[-1].end)
    lost = np.zeros(length)
    for pieces, sign in ((phones.pieces, 1), (path.pieces, -1)):
        for piece in pieces:
            lost[piece.start : piece.end] += sign * piece.score / max(1, piece.end - piece.start)
    return lost


def rivals_automaton(rivals: Sequence[Rival]) -> Automaton:
    """The sentence with another value in the place of one of the rivals, and nothing else."""
    return automaton(Either(tuple(_changed(rival) for rival in rivals)))


def _changed(rival: Rival) -> Node:
    """Whether a small word stands before the others must not decide: "installed fittings", "… the hinge"."""
    before = rival.before.split()
    if before and before[-1] in SMALL:
        before.pop()
    others = Either(tuple(_sequence(other) for other in rival.others))
    small = Maybe(Either(tuple(Say(word) for word in SMALL)))
    return Seq((_sequence(" ".join(before)), small, others, _sequence(rival.after)))


def heard_automaton(words: Sequence[str]) -> Automaton:
    """What was heard, and nothing else: its score is what the rivals are held against."""
    return automaton(Seq(tuple(Say(word) for word in words)))


def judged(rivals: Sequence[Rival], heard: BestPath, other: BestPath | None) -> Judged | None:
    """Which rival the other path is of, and how far behind it came; None where nothing else fitted at all."""
    if other is None:
        return None
    for rival in rivals:
        words = _instead(rival, other.words)
        if words is not None:
            return Judged(rival, words, heard.score - other.score)
    return None


def _instead(rival: Rival, words: Sequence[str]) -> tuple[str, ...] | None:
    """What the words have in the rival's place; None where they are none of its sentences."""
    before, after = tuple(rival.before.split()), tuple(rival.after.split())
    end = len(words) - len(after)
    bare = before[:-1] if before and before[-1] in SMALL else before
    starts = (len(before), len(bare), len(bare) + 1)
    for start in (each for each in starts if each <= end):
        leads = words[len(bare) : start]
        whole = words[: len(bare)] == bare and words[end:] == after and all(w in SMALL for w in leads)
        if whole and " ".join(words[start:end]) in rival.others:
            return tuple(words[start:end])
    return None


def words_of(
    path: BestPath, found: Sequence[Judged], strange: frozenset[int] = frozenset()
) -> tuple[Word, ...]:
    """The path's words; those with a rival have their confidence and runner-up from it.

    Those that sound `strange` are as unsure as a tie.
    """
    closest: dict[int, tuple[float, str]] = {}
    for each in sorted(found, key=lambda each: each.margin):
        heard = path.words[each.rival.start : each.rival.end]
        for at, other in enumerate(beside(heard, each.words), each.rival.start):
            closest.setdefault(at, (each.margin, other if each.is_close else ""))
    for at in strange:
        margin, other = closest.get(at, (0.0, ""))
        closest[at] = min(margin, 0.0), other
    return tuple(_word(piece, *closest.get(at, (math.inf, ""))) for at, piece in enumerate(path.spoken))


def _word(piece: Piece, margin: float, runner_up: str) -> Word:
    start, end = piece.start / FRAMES_A_SECOND, piece.end / FRAMES_A_SECOND
    return Word(piece.text, start, end, _confidence(margin), runner_up)


def _confidence(margin: float) -> float:
    """How often a word is right whose closest rival is that far behind, 0 to 1."""
    tie = math.log(_TIE / (1 - _TIE))
    return 1 / (1 + math.exp(-(tie + max(-5e3, min(5e3, margin)) / _SLOPE)))


def _sequence(text: str) -> Node:
    return Seq(tuple(Say(word) for word in text.split()))
