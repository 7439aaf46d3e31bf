"""Corrections in mid-sentence: "two, no, three plies" says three, and that two was said first.

Only what is of one kind is taken for a correction: a number for a number, a side for a side, a cloth for a
cloth. The doubt that stays asks about both.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from plytally.core.grammar import Words
from plytally.core.numbers import read_number

MARKS: tuple[Words, ...] = tuple(
    tuple(mark.split())
    for mark in (
        "no i mean",
        "no make that",
        "no sorry",
        "sorry no",
        "no wait",
        "wait no",
        "i mean",
        "make that",
        "or rather",
        "correction",
        "sorry",
        "rather",
        "wait",
        "no",
    )
)
"""What stands between the wrong word and the right one, the longest first."""

MOST_WORDS = 6
"""A number before a mark has no more words than this."""

MOST_UNIT = 2


@dataclass(frozen=True)
class Repair:
    """Words `start` to `end` are to be read as those at the places `kept`; `first` is what was said first."""

    start: int
    end: int
    kept: tuple[int, ...]
    first: str


def repair(words: Words, classes: Sequence[Collection[str]]) -> Repair | None:
    """Give the first correction in mid-sentence; None where there is none.

    `classes` are words that can stand for each other: sides, cloths, faces.
    """
    for at in range(1, len(words) - 1):
        mark = next((mark for mark in MARKS if words[at : at + len(mark)] == mark), None)
        if mark is None:
            continue
        found = _of_numbers(words, at, at + len(mark)) or _of_words(words, at, at + len(mark), classes)
        if found:
            return found
    return None


def _of_numbers(words: Words, mark: int, after: int) -> Repair | None:
    right = read_number(words, after)
    if right is None:
        return None
    for start in range(max(0, mark - MOST_WORDS), mark):
        wrong = read_number(words, start)
        if wrong is None or not wrong[1] <= mark <= wrong[1] + MOST_UNIT:
            continue
        unit = words[wrong[1] : mark]
        again = words[right[1] : right[1] + len(unit)] == unit
        numbers = tuple(range(after, right[1]))
        kept = numbers if again else (*numbers, *range(wrong[1], mark))
        return Repair(start, right[1], kept, " ".join(words[start : wrong[1]]))
    return None


def _of_words(words: Words, mark: int, after: int, classes: Sequence[Collection[str]]) -> Repair | None:
    after += words[after : after + 1] == ("the",)
    if after >= len(words):
        return None
    wrong, right = words[mark - 1], words[after]
    if wrong != right and any(wrong in names and right in names for names in classes):
        return Repair(mark - 1, after + 1, (after,), wrong)
    return None
