"""What an engine on the phone listens by, as plain JSON values: the same as on the shop computer.

The automaton with the cost of each way through it, every word's phones in both accents, and for a sentence
what else it could have said.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Any

from plytally.core.accents import in_british
from plytally.core.automaton import Arc, Automaton, likelihoods
from plytally.core.grammar import words_of
from plytally.core.listening import SAMPLE_SENTENCES, listened, listening, rivals, sample
from plytally.core.pronounce import TRADE, pronunciations
from plytally.core.vocabulary import Vocabulary, own_sounds

Dictionary = Callable[[str], str | None]
_COST_DIGITS = 4  # a thousandth of what an engine's own steps can tell
_VARIANTS = range(2, 9)


def ears(vocabulary: Vocabulary, dictionary: Dictionary) -> dict[str, Any]:
    """States, arcs and ends of the phrasebook's automaton, and the words' phones, by `dictionary`.

    An arc is [from, to, word, cost], an end [state, cost]; a cost is the natural logarithm of how often that
    way is taken. A word has its American ways and its British ones,
    with the builder's own pronunciations in both.
    """
    root, made = listening(vocabulary), listened(vocabulary)
    likely = likelihoods(made, sample(root, SAMPLE_SENTENCES))
    words = words_of(root)
    ways = {word: ways_of(word, dictionary) for word in words}
    taught = own_sounds(vocabulary)
    return {
        "states": made.states,
        "arcs": [
            [arc.start, arc.end, arc.word, _cost(share)]
            for arc, share in zip(made.arcs, likely.arcs, strict=True)
        ],
        "ends": [[state, _cost(share)] for state, share in likely.ends.items()],
        "words": {
            word: [_with(own, word, taught), _with([in_british(word, way) for way in own], word, taught)]
            for word, own in ways.items()
        },
    }


def _with(ways: Sequence[str], word: str, taught: Mapping[str, Sequence[str]]) -> list[str]:
    """The ways and the builder's own, which are said alike in every accent."""
    return list(dict.fromkeys([*ways, *taught.get(word, ())]))


def automaton_of(made: Mapping[str, Any]) -> Automaton:
    """The automaton in what `ears` gave."""
    arcs = tuple(Arc(start, end, word) for start, end, word, _ in made["arcs"])
    return Automaton(made["states"], arcs, tuple(state for state, _ in made["ends"]))


def ways_of(word: str, dictionary: Dictionary) -> list[str]:
    """How the word is said, by the engine's dictionary; the trade's words as the trade says them too."""
    names = (word, *(f"{word}({number})" for number in _VARIANTS))
    known = [phones for phones in map(dictionary, names) if phones]
    if known and word not in TRADE:
        return known
    return list(dict.fromkeys([*known, *pronunciations(word, dictionary)]))


def weighed_against(
    text: str, vocabulary: Vocabulary, listens: Automaton | None = None
) -> list[dict[str, Any]]:
    """What else could have been said in each weighty place of a sentence, for an engine that weighs alone."""
    return [
        {"start": rival.start, "end": rival.end, "others": list(rival.others)}
        for rival in rivals(text, vocabulary, listens)
        if rival.others
    ]


def _cost(share: float) -> float:
    return round(math.log(share), _COST_DIGITS)
