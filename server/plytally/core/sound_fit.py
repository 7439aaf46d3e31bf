"""How well a path's words fit the sound, held against any phones in any order: the second witness.

Free phones are the best that a sound can score. Where they fit much better than the words do, something else
was said there. Scores are of searches in which no way of saying costs anything.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from itertools import accumulate, groupby

from plytally.core.numberwords import is_number_word
from plytally.core.paths import FRAMES_A_SECOND, Piece, Sounded
from plytally.core.runner_up import beside
from plytally.core.small_words import FILLERS

STRANGE = 2.85
"""A path this much worse a frame than free phones is no phrase. Set on the tuning voices of tests/bench: no
phrase that was heard right lay above 2.6, and 19 of 21 talks that fitted a whole phrase lay above 3.1."""

UNSURE = 2.1
"""From here on a phrase is asked about as a whole: on the tuning voices 14 of 36 such phrases were wrong, and
23 of the 224 others."""

UNSURE_LEARNT = 1.6
"""The same with the voice learnt, whose words fit better: of 154 notes of the tuning voices three lay above;
one was wrong, and nothing else told it."""

STRETCH, STRANGE_STRETCH = 30, 4.8
"""Frames, and how much worse than free phones they may fit on average. On the tuning voices 1 of 73 phrases
that were heard right had a worse stretch, and 39 of 70 that were heard wrongly or are no phrase."""

STRANGE_NUMBER = 2.6
"""How much worse than free phones the words of one number may fit on average: a second witness that costs no
time. Of 168 numbers at 20 and 10 dB it doubts 14 of the 36 wrong ones, and 6 of the 132 right ones."""

LONGEST_WORD = 1.2
"""Seconds. A steady noise is heard as words of two seconds and more; no word of the phrasebook takes one."""


def strangeness(heard: Sounded) -> float:
    """By how much, a frame, free phones fit the spoken part better than the path's words do.

    Infinite where there are no words, or one that is longer than anyone speaks.
    """
    spoken = heard.path.spoken
    longest = LONGEST_WORD * FRAMES_A_SECOND
    if heard.phones is None or not spoken or any(p.end - p.start > longest for p in spoken):
        return math.inf
    return mean_of(spoken, lost(heard))


def strange_words(heard: Sounded) -> frozenset[int]:
    """The words of a stretch or number that sounds like something else, as places among the path's words.

    A note that is a phrase but for one word fits well on the whole; only there it does not. Sound between
    the words that free phones take for speech counts to the nearest word.
    """
    spoken = heard.path.spoken
    if heard.phones is None or not spoken:
        return frozenset()
    each = lost(heard)
    sums = list(accumulate(each, initial=0.0))
    width = min(STRETCH, len(each))
    found = {
        _nearest(spoken, at + width // 2)
        for at in range(len(each) - width + 1)
        if (sums[at + width] - sums[at]) / width > STRANGE_STRETCH
    }
    found.update(_strange_numbers(spoken, each))
    if strangeness(heard) >= (UNSURE_LEARNT if heard.learnt else UNSURE):
        found.add(_telling(heard.path.words))
    return frozenset(found)


def misfit(heard: Sounded, start: int, there: Sequence[str], instead: Sequence[str]) -> float:
    """By how much, a frame, free phones fit better than the words that others would replace; 0 for none.

    `there` are the path's words from place `start` on, `instead` what would stand for them.
    """
    changed = [at for at, other in enumerate(beside(there, instead), start) if other]
    if not changed or heard.phones is None:
        return 0.0
    return mean_of([heard.path.spoken[at] for at in changed], lost(heard))


def lost(heard: Sounded) -> list[float]:
    """For each frame, by how much free phones fit better than the path."""
    phones = heard.phones.pieces if heard.phones else ()
    each = [0.0] * max((piece.end for piece in (*heard.path.pieces[-1:], *phones[-1:])), default=0)
    for pieces, sign in ((phones, 1), (heard.path.pieces, -1)):
        for piece in pieces:
            share = sign * piece.score / max(1, piece.end - piece.start)
            for at in range(piece.start, piece.end):
                each[at] += share
    return each


def _telling(words: Sequence[str]) -> int:
    """The first word that says something: what is asked about where the whole is unsure."""
    return next((at for at, word in enumerate(words) if word not in FILLERS), 0)


def _strange_numbers(spoken: Sequence[Piece], each: Sequence[float]) -> Iterator[int]:
    """The words of each number that as a whole sounds like something else."""
    for is_number, run in groupby(enumerate(spoken), key=lambda numbered: is_number_word(numbered[1].text)):
        words = tuple(run)
        if is_number and mean_of([piece for _, piece in words], each) > STRANGE_NUMBER:
            yield from (at for at, _ in words)


def _nearest(spoken: Sequence[Piece], frame: int) -> int:
    away = [max(piece.start - frame, frame - piece.end + 1, 0) for piece in spoken]
    return away.index(min(away))


def mean_of(pieces: Sequence[Piece], each: Sequence[float]) -> float:
    """The mean over the pieces' frames."""
    frames = sum(piece.end - piece.start for piece in pieces)
    return sum(sum(each[piece.start : piece.end]) for piece in pieces) / max(1, frames)
