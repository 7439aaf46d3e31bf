"""The phrasebook as a recogniser's grammar: one builder for the server's engines and the phone's."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

from plytally.core.automaton import Automaton
from plytally.core.grammar import Words, words_of
from plytally.core.jsgf import write_jsgf
from plytally.core.rivals import Rival, listened, rivals, whole_reading
from plytally.core.said_tree import listening, sample
from plytally.core.vocabulary import Vocabulary, own_sounds

__all__ = [
    "Grammar",
    "Rival",
    "grammar",
    "listened",
    "listening",
    "rivals",
    "sample",
    "whole_reading",
]

SAMPLE_SENTENCES = 4000


@dataclass(frozen=True)
class Grammar:
    """What a recogniser listens by.

    `automaton` is the quick form, for engines that take a finite-state grammar; `jsgf` says the same
    for people and other engines; `sentences` are a sample to build a language model from. `sounds` are the
    builder's own pronunciations of words, in phones.

    `rivals(text)` gives, for each field of a sentence of this grammar, what else could stand there.

    `lean(heard, other)` says how much likelier the other sentence is by what goes on in the shop, as a
    difference of log odds; `likely(heard, rivals)` which of the rivals to look for on their own because of
    it. Both say nothing unless `leaning.by_context` has set them; `leans` says whether it has.
    """

    automaton: Automaton
    jsgf: str
    words: Words
    sentences: tuple[str, ...] = ()
    sounds: Mapping[str, tuple[str, ...]] = field(default_factory=dict, compare=False)
    rivals: Callable[[str], tuple[Rival, ...]] = field(default=lambda _text: (), compare=False)
    lean: Callable[[str, str], float] = field(default=lambda _heard, _other: 0.0, compare=False)
    leans: bool = field(default=False, compare=False)
    likely: Callable[[str, Sequence[Rival]], tuple[Rival, ...]] = field(
        default=lambda _heard, _rivals: (), compare=False
    )


@lru_cache(maxsize=4)
def grammar(vocabulary: Vocabulary) -> Grammar:
    """What a recogniser needs to hear this builder."""
    root = listening(vocabulary)
    return Grammar(
        automaton=listened(vocabulary),
        jsgf=write_jsgf(root),
        words=words_of(root),
        sentences=tuple(sample(root, SAMPLE_SENTENCES)),
        sounds=own_sounds(vocabulary),
        rivals=lru_cache(maxsize=8)(lambda text: rivals(text, vocabulary)),
    )
