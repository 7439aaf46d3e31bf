"""The phrasebook as one tree of what a recogniser listens for, and sentences of it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import lru_cache

from plytally.core.grammar import Either, Node, audible, sentence
from plytally.core.phrasebook import phrases
from plytally.core.vocabulary import Vocabulary


@lru_cache(maxsize=4)
def listening(vocabulary: Vocabulary) -> Node:
    """All phrases that a grammar can listen for, as one tree."""
    known: dict[str, Node | None] = {}
    said = (audible(row.node, known) for row in phrases(vocabulary) if "<rest>" not in row.text)
    return Either(tuple(node for node in said if node is not None))


def sample(root: Node, how_many: int) -> Iterator[str]:
    """Sentences spread over the grammar, the same at every call."""
    for number in range(how_many):
        yield sentence(root, _chooser(number))


def _chooser(seed: int) -> Callable[[int], int]:
    """Choices that look random and are not: a linear congruential step, constants of Numerical Recipes."""
    state = (seed * 2654435761 + 12345) & 0xFFFFFFFF

    def choose(options: int) -> int:
        nonlocal state
        state = (state * 1664525 + 1013904223) & 0xFFFFFFFF
        return (state >> 8) % options

    return choose
