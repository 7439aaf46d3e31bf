"""How often what was heard is right, from two witnesses: its closest rival, and free phones.

The one tells how far behind anything else came, the other how well the words themselves fit the sound.

A wrong word seldom has both against it at once: it beats the right one by little, or it fits much worse than
free phones do, and mostly both. So the odds are a logistic model of the two (D. R. Cox, "The regression
analysis of binary sequences", 1958), fitted on the tuning voices of tests/bench, never on those reported.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

SORTS = ("number", "alike", "name", "kind", "left out")
"""What a rival is about: an amount or digits, an amount that sounds like the heard one, a name from the
builder's lists, what was done, and nothing in the place at all."""


@dataclass(frozen=True)
class Weights:
    """Log odds of being right: at a tie between words that fit perfectly, and what changes them.

    A margin of 20 (natural logarithm of the acoustic score) adds `margin`; each unit a frame by which free
    phones fit better takes `misfit` away.
    """

    tie: float
    margin: float
    misfit: float


UNIT, FURTHEST_FROM_TIE = 20.0, 200.0


@dataclass(frozen=True)
class Rule:
    """What the witnesses are worth, and from where on nothing is asked; each by sort.

    Below `ask` the rival is told as the runner-up, and the builder asked; below `ask_anyway` also where all
    in the shop speaks for what was heard (by the sound alone, see leaning.py).
    """

    weights: Mapping[str, Weights]
    ask: Mapping[str, float]
    ask_anyway: Mapping[str, float]


ANYBODY = Rule(
    weights={
        "number": Weights(1.45, 1.08, 0.67),
        "alike": Weights(0.15, 1.08, 0.67),
        "name": Weights(1.5, 1.0, 0.6),
        "kind": Weights(1.8, 1.0, 0.6),
        "left out": Weights(1.5, 1.0, 0.6),
    },
    ask={"number": 0.97, "alike": 0.97, "name": 0.85, "kind": 0.92, "left out": 0.85},
    ask_anyway={"number": 0.92, "alike": 0.92, "name": 0.82, "kind": 0.87, "left out": 0.82},
)
"""While the engine does not know the voice."""

LEARNT = Rule(
    weights={
        **ANYBODY.weights,
        "number": Weights(1.45, 1.2, 0.7),
        "alike": Weights(0.6, 1.2, 0.7),
    },
    ask={**ANYBODY.ask, "number": 0.95},
    ask_anyway={**ANYBODY.ask_anyway, "number": 0.9, "alike": 0.9},
)
"""With the voice learnt. Of 88 amounts of the tuning voices two were wrong, 7 and 22 ahead; where the closest
rival was one that sounds alike 48 of 49 were right, from 2 ahead on. The weights are the most probable ones
after these, with anybody's as the middle of what is likely beforehand, and one slope for both; the other
sorts had too few errors to move anything. Made voices flatter it, so numbers that sound alike are trusted
less than that, and asked about as often as in a voice that is not known: a person's "forty"
(tests/bench/recorded_voice.py) came as "fourteen", 40 ahead."""


def rule_for(*, learnt: bool) -> Rule:
    """The rule for a voice that the engine has learnt, or for anybody's."""
    return LEARNT if learnt else ANYBODY


def trust(sort: str, margin: float, misfit: float = 0.0, rule: Rule = ANYBODY) -> float:
    """How often what was heard is right whose closest rival is that far behind, 0 to 1.

    `misfit` is by how much, a frame, free phones fit the heard words better; below 0 it counts as 0.
    """
    by = rule.weights[sort]
    far = max(-FURTHEST_FROM_TIE, min(FURTHEST_FROM_TIE, margin)) / UNIT
    return 1 / (1 + math.exp(-(by.tie + by.margin * far - by.misfit * max(0.0, misfit))))


def margin_of(sort: str, trusted: float, misfit: float = 0.0, rule: Rule = ANYBODY) -> float:
    """The margin at which a word is trusted so far: the other way round, for what `trust` can tell apart."""
    by = rule.weights[sort]
    odds = math.log(trusted / (1 - trusted))
    return min(FURTHEST_FROM_TIE, UNIT * (odds - by.tie + by.misfit * max(0.0, misfit)) / by.margin)
