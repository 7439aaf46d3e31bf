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
from plytally.core.small_words import FILLERS
from plytally.speech.decoder import FRAMES_A_SECOND, BestPath, Piece
from plytally.speech.trust import ASK_ANYWAY_BELOW, ASK_BELOW, trust

STRANGE = 2.85
"""A path this much worse a frame than free phones is no phrase. Set on the tuning voices of tests/bench: no
phrase that was heard right lay above 2.6, and 19 of 21 talks that fitted a whole phrase lay above 3.1."""

UNSURE = 2.3
"""From here on a phrase is asked about as a whole: on the tuning voices 9 of 19 such phrases were wrong, and
39 of the 354 others."""

STRETCH, STRANGE_STRETCH = 30, 4.8
"""Frames, and how much worse than free phones they may fit on average. On the tuning voices 1 of 73 phrases
that were heard right had a worse stretch, and 39 of 70 that were heard wrongly or are no phrase."""

STRANGE_NUMBER = 2.6
"""How much worse than free phones the words of one number may fit on average: a second witness that costs no
time. Of 168 numbers at 20 and 10 dB it doubts 14 of the 36 wrong ones, and 6 of the 132 right ones."""

STRANGE_TRUST = 0.65
"""How far words are trusted that sound like something else."""

LONGEST_WORD = 1.2
"""Seconds. A steady noise is heard as words of two seconds and more; no word of the phrasebook takes one."""

FURTHEST = 80.0
"""Behind the first rival that lies this far back (natural logarithm) none is looked for."""

SMALL = ("the", "of")
"""May come and go before a rival."""


@dataclass(frozen=True)
class Judged:
    """One rival of a sentence: where it stands, its words there, and how far behind they came."""

    rival: Rival
    words: tuple[str, ...]
    margin: float
    misfit: float = 0.0
    """By how much, a frame, free phones fit better than the heard words that it would replace."""
    shift: float = 0.0
    """By how much what goes on in the shop speaks for it (below 0: against), in the unit of the margin."""

    @property
    def trust(self) -> float:
        """How often what was heard is right, 0 to 1, by sound and shop."""
        return trust(self.sort, self.margin - self.shift, self.misfit)

    @property
    def is_close(self) -> bool:
        """Whether it could be what was said. What the sound has near, nothing in the shop makes far."""
        by_sound = trust(self.sort, self.margin, self.misfit)
        return self.trust < ASK_BELOW[self.sort] or by_sound < ASK_ANYWAY_BELOW[self.sort]

    @property
    def is_likelier(self) -> bool:
        """Whether it is likelier than what was heard, by sound and shop together, and only by both."""
        return bool(self.words) and self.shift > 0 and self.margin < self.shift

    @property
    def sort(self) -> str:
        """Which of `trust.SORTS` it is held to."""
        if not self.words:
            return "left out"
        if self.rival.is_number:
            return "alike" if " ".join(self.words) in confusable(self.rival.heard) else "number"
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
    found = frozenset(_nearest(spoken, at + width // 2) for at in strange) | _strange_numbers(spoken, lost)
    return found | ({_telling(path.words)} if strangeness(path, phones) >= UNSURE else frozenset())


def _telling(words: Sequence[str]) -> int:
    """The first word that says something: what is asked about where the whole is unsure."""
    return next((at for at, word in enumerate(words) if word not in FILLERS), 0)


def misfit(path: BestPath, phones: BestPath | None, rival: Rival, words: Sequence[str]) -> float:
    """By how much, a frame, free phones fit better than the words that these would replace; 0 for none."""
    changed = [at for at, other in enumerate(beside(rival.heard, words), rival.start) if other]
    spoken = path.spoken
    frames = [frame for at in changed for frame in range(spoken[at].start, spoken[at].end)]
    return float(_lost(path, phones)[frames].mean()) if frames and phones is not None else 0.0


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


def put_right(words: Sequence[Word], found: Sequence[Judged]) -> tuple[Word, ...]:
    """The words, with the likeliest rival in its place where it is likelier than what was heard.

    What was heard stays beside it as the runner-up, so that it is asked about.
    """
    better = [each for each in found if each.is_likelier]
    if not better:
        return tuple(words)
    best = max(better, key=lambda each: each.shift - each.margin)
    start, end = best.rival.start, best.rival.end
    others = beside(best.words, best.rival.heard)
    place = words[start:end]
    unsure = 1 - best.trust
    put = (
        Word(word, place[0].start, place[-1].end, unsure, other)
        for word, other in zip(best.words, others, strict=True)
    )
    return (*words[:start], *put, *words[end:])


def words_of(
    path: BestPath, found: Sequence[Judged], strange: frozenset[int] = frozenset()
) -> tuple[Word, ...]:
    """The path's words; those with a rival have their confidence and runner-up from it.

    Those that sound `strange` are as unsure as a tie.
    """
    closest: dict[int, tuple[float, str]] = {}
    for each in sorted(found, key=lambda each: each.trust):
        heard = path.words[each.rival.start : each.rival.end]
        for at, other in enumerate(beside(heard, each.words), each.rival.start):
            closest.setdefault(at, (each.trust, other if each.is_close else ""))
    for at in strange:
        sure, other = closest.get(at, (1.0, ""))
        closest[at] = min(sure, STRANGE_TRUST), other
    return tuple(_word(piece, *closest.get(at, (1.0, ""))) for at, piece in enumerate(path.spoken))


def _word(piece: Piece, confidence: float, runner_up: str) -> Word:
    start, end = piece.start / FRAMES_A_SECOND, piece.end / FRAMES_A_SECOND
    return Word(piece.text, start, end, confidence, runner_up)


def _sequence(text: str) -> Node:
    return Seq(tuple(Say(word) for word in text.split()))
