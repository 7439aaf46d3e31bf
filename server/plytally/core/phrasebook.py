"""What can be said: `sayings.py` and `sayings_asked.py`, filled from the builder's vocabulary."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from plytally.core.beginnings import first_words
from plytally.core.grammar import Found, Known, Node, Words, match, words_of
from plytally.core.jsgf import phrase
from plytally.core.sayings import ENTRIES
from plytally.core.sayings_asked import COMMANDS
from plytally.core.sayings_asked import QUESTIONS as ASKED
from plytally.core.shop_phrases import SHOP_PHRASES
from plytally.core.slots import slots
from plytally.core.vocabulary import Vocabulary

__all__ = ["COMMANDS", "ENTRIES", "QUESTIONS", "Phrase", "Reading", "phrase_words", "phrases", "readings"]

ANY_WORD = ""
"""Stands for the words that no row begins with."""

QUESTIONS: dict[str, tuple[str, ...]] = {**ASKED, **SHOP_PHRASES}


_PLACE_TOO = re.compile(r" ?\[(<on>|on|at) <place>\]")


@dataclass(frozen=True)
class Phrase:
    """One row of the table: `makes` is "entry", "command" or "question", `name` which one."""

    makes: str
    name: str
    text: str
    node: Node


@dataclass(frozen=True)
class Reading:
    """A phrase found in words `start` to `end`, with its fields."""

    phrase: Phrase
    start: int
    end: int
    found: tuple[Found, ...]


@lru_cache(maxsize=4)
def phrases(vocabulary: Vocabulary) -> tuple[Phrase, ...]:
    """The whole table for one builder."""
    named = slots(vocabulary)
    tables = (("entry", ENTRIES), ("command", COMMANDS), ("question", QUESTIONS))
    rows = (
        (makes, name, _as_it_can_be_said(text, named))
        for makes, table in tables
        for name, texts in table.items()
        for text in texts
    )
    return tuple(Phrase(makes, name, text, phrase(text, named)) for makes, name, text in rows if text)


def _as_it_can_be_said(text: str, named: dict[str, Node]) -> str:
    """Without any parts there are no places: one that may be left out is; "" for a phrase that needs it."""
    if "place" in named:
        return text
    bare = _PLACE_TOO.sub("", text)
    return "" if "<place>" in bare else bare


def readings(words: Words, at: int, vocabulary: Vocabulary, known: Known) -> list[Reading]:
    """Every phrase that can be read from word `at` on, each as far as it goes."""
    rows = _by_beginning(vocabulary)
    here = words[at] if at < len(words) else ANY_WORD
    return [
        Reading(row, at, end, found)
        for row in rows.get(here, rows[ANY_WORD])
        for end, found in match(row.node, words, at, known)
    ]


@lru_cache(maxsize=4)
def _by_beginning(vocabulary: Vocabulary) -> dict[str, tuple[Phrase, ...]]:
    """For each word the rows that may begin with it, in the table's order: most of the rows may not."""
    begins = [(row, first_words(row.node)) for row in phrases(vocabulary)]
    known = {ANY_WORD, *(word for _, words in begins for word in words or ())}
    return {word: tuple(row for row, words in begins if words is None or word in words) for word in known}


@lru_cache(maxsize=4)
def phrase_words(vocabulary: Vocabulary) -> frozenset[str]:
    """Every word that a phrase can hold."""
    return frozenset(word for row in phrases(vocabulary) for word in words_of(row.node))
