"""How the shop's order shifts what the sound decides: by a bounded amount, and never in silence.

A rival comes so much closer, or stays so much farther behind, as it is likelier than what was heard. Sound
and likelihood are added as a recogniser adds them, a language model's logarithm being worth several of the
acoustic score's.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from plytally.core.expecting import Expected, odds
from plytally.core.listening import Grammar, Rival
from plytally.core.numbers import say_cardinal
from plytally.core.quantities import Ratio
from plytally.core.rivals import whole_reading
from plytally.core.vocabulary import Vocabulary

WORTH = 6.5
"""Acoustic score (natural logarithm) that a unit of log odds is worth: the search's language weight."""

MOST = 25.0
"""The shop's order moves no rival further than this, whatever speaks for it."""

LIKELY = 0.9
"""By so much a rival must be likelier than what was heard to be looked for on its own."""

MOST_OTHERS = 120
"""Where more could be said than this (grams, digits), only what is in use is looked for."""


def by_context(grammar: Grammar, vocabulary: Vocabulary, by: Expected) -> Grammar:
    """The grammar, leaning towards what is expected."""
    lean, said = _leaning(vocabulary, by), frozenset(_said(by))

    def likely(heard: str, rivals: Sequence[Rival]) -> tuple[Rival, ...]:
        return tuple(_likely(heard, rivals, lean, said))

    def leans(heard: str, other: str) -> float:
        return lean(other) - lean(heard)

    return replace(grammar, leans=True, lean=leans, likely=likely)


def shifted(log_odds: float) -> float:
    """What a difference in log odds is worth in acoustic score, within bounds."""
    return max(-MOST, min(MOST, WORTH * log_odds))


def most_shifted(heard: str, rival: Rival, grammar: Grammar) -> float:
    """By how much the shop's order brings the rival nearer at the most, 0 or more."""
    if not grammar.leans:
        return 0.0
    if len(rival.others) > MOST_OTHERS:
        return MOST
    leans = (grammar.lean(heard, instead(rival, other)) for other in rival.others)
    return max(0.0, *map(shifted, leans))


def _leaning(vocabulary: Vocabulary, by: Expected) -> Callable[[str], float]:
    @lru_cache(maxsize=4096)
    def lean(text: str) -> float:
        reading = whole_reading(tuple(text.split()), vocabulary)
        if reading is None or reading.phrase.makes != "entry":
            return 0.0
        return odds(reading.phrase.name, {found.field: found.value for found in reading.found}, by)

    return lean


def _said(by: Expected) -> Iterator[str]:
    """How the amounts that are in use are said."""
    if by.batch.isdecimal():
        yield " ".join(say_cardinal(int(digit)) for digit in by.batch)
    if isinstance(by.ratio, Ratio):
        first, second = by.ratio.parts
        if first == int(first) and second == 1:
            yield f"{say_cardinal(int(first))} to one"


def _likely(
    heard: str, rivals: Sequence[Rival], lean: Callable[[str], float], said: frozenset[str]
) -> Iterator[Rival]:
    """The rivals with only those others that are clearly likelier than what was heard."""
    least = lean(heard) + LIKELY
    for rival in rivals:
        few = rival.others if len(rival.others) <= MOST_OTHERS else said.intersection(rival.others)
        others = tuple(other for other in few if other and lean(instead(rival, other)) >= least)
        if others:
            yield replace(rival, others=others)


def instead(rival: Rival, other: str) -> str:
    """The whole sentence with the other words in the rival's place."""
    return " ".join(f"{rival.before} {other} {rival.after}".split())
