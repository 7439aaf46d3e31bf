"""The phrasebook as a recogniser's grammar: one builder for the server's engines and the phone's.

Also what else a sentence could have said in each field, so that an engine can hold the heard number
against its rivals.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache

from plytally.core.automaton import Automaton, automaton
from plytally.core.entry import FIELDS, PLACE, FieldValue
from plytally.core.grammar import (
    Either,
    Found,
    Known,
    Means,
    Node,
    Reads,
    Rule,
    Words,
    audible,
    children,
    every_sentence,
    rules,
    sentence,
    words_of,
)
from plytally.core.jsgf import write_jsgf
from plytally.core.names import Name
from plytally.core.phrasebook import Reading, phrases, readings
from plytally.core.vocabulary import SIDES, Vocabulary

SAMPLE_SENTENCES = 4000
NOT_SAID = ""
OPTIONAL = frozenset({"side", "face", "feature", "station", "orientation", "batch"})


@dataclass(frozen=True)
class Grammar:
    """What a recogniser listens by.

    `automaton` is the quick form, for engines that take a finite-state grammar; `jsgf` says the same
    for people and other engines; `sentences` are a sample to build a language model from.

    `rivals(text)` gives, for each field of a sentence of this grammar, what else could stand there.
    """

    automaton: Automaton
    jsgf: str
    words: Words
    sentences: tuple[str, ...] = ()
    rivals: Callable[[str], tuple[Rival, ...]] = field(default=lambda _text: (), compare=False)


@dataclass(frozen=True)
class Rival:
    """The other things that could have been said in words `start` to `end` of a sentence."""

    fields: tuple[str, ...]
    start: int
    end: int
    before: str
    after: str
    others: tuple[str, ...]

    @property
    def jsgf(self) -> str:
        """The sentence as a grammar of its own, with every other value in place of the one heard."""
        others = " | ".join(other or "<NULL>" for other in self.others)
        return f"#JSGF V1.0;\ngrammar rival;\npublic <phrase> = {self.before} ({others}) {self.after};\n"


@lru_cache(maxsize=4)
def listening(vocabulary: Vocabulary) -> Node:
    """All phrases that a grammar can listen for, as one tree."""
    known: dict[str, Node | None] = {}
    said = (audible(row.node, known) for row in phrases(vocabulary) if "<rest>" not in row.text)
    return Either(tuple(node for node in said if node is not None))


@lru_cache(maxsize=4)
def grammar(vocabulary: Vocabulary) -> Grammar:
    """What a recogniser needs to hear this builder."""
    root = listening(vocabulary)
    return Grammar(
        automaton=automaton(root),
        jsgf=write_jsgf(root),
        words=words_of(root),
        sentences=tuple(sample(root, SAMPLE_SENTENCES)),
        rivals=lambda text: rivals(text, vocabulary),
    )


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


def rivals(text: str, vocabulary: Vocabulary) -> tuple[Rival, ...]:
    """For each weighty field of a sentence of the grammar, what else could stand in its place.

    An empty other means that nothing was said there. A sentence that is not of the grammar has none.
    """
    words = tuple(text.split())
    reading = whole_reading(words, vocabulary)
    if reading is None:
        return ()
    spans: dict[tuple[int, int], list[Found]] = {}
    for found in reading.found:
        if found.field not in FIELDS or FIELDS[found.field].weighty:
            spans.setdefault((found.start, found.end), []).append(found)
    made = (_rival(words, start, end, found, vocabulary) for (start, end), found in spans.items())
    return tuple(rival for rival in made if rival.others)


def whole_reading(words: Words, vocabulary: Vocabulary) -> Reading | None:
    """The phrase that explains all of the words; the one with most fields where several do."""
    known: Known = {}
    whole = [reading for reading in readings(words, 0, vocabulary, known) if reading.end == len(words)]
    return max(whole, key=lambda reading: len(reading.found), default=None)


def _rival(words: Words, start: int, end: int, found: list[Found], vocabulary: Vocabulary) -> Rival:
    fields = tuple(each.field for each in found)
    heard = words[start:end]
    others = [way for way in _ways(found[0], vocabulary) if tuple(way.split()) != heard]
    if found[0].field in OPTIONAL:
        others.append(NOT_SAID)
    return Rival(fields, start, end, " ".join(words[:start]), " ".join(words[end:]), tuple(others))


def _ways(found: Found, vocabulary: Vocabulary) -> list[str]:
    """Every way to say another value of the found field."""
    if found.field in PLACE:
        named = ((way, name.name) for name in _place_names(found.field, vocabulary) for way in name.spoken)
        return [way for way, value in named if value != found.value]
    return [way for way, value in _sayings(vocabulary).get(found.field, ()) if value != found.value]


@lru_cache(maxsize=4)
def _sayings(vocabulary: Vocabulary) -> Mapping[str, tuple[tuple[str, FieldValue], ...]]:
    """By field, every way to say every value that is listened for."""
    sayings: dict[str, dict[str, FieldValue]] = {}
    for node in _all_nodes(listening(vocabulary)):
        if isinstance(node, Means) and node.field not in PLACE:
            sayings.setdefault(node.field, {}).update((way, node.value) for way in every_sentence(node))
        elif isinstance(node, Reads):
            ways = {way: tuple(way.split()) for way in every_sentence(node.says)}
            heard = {way: node.read(words, 0) for way, words in ways.items()}
            sayings.setdefault(node.field, {}).update(
                (way, v[0]) for way, v in heard.items() if v is not None
            )
    return {field: tuple(ways.items()) for field, ways in sayings.items()}


def _all_nodes(root: Node) -> Iterator[Node]:
    waiting = [root, *(rule.part for rule in rules(root).values())]
    while waiting:
        node = waiting.pop()
        yield node
        if not isinstance(node, Rule):
            waiting.extend(children(node))


def _place_names(field: str, vocabulary: Vocabulary) -> Iterable[Name]:
    match field:
        case "side":
            return map(Name, SIDES)
        case "part":
            return (words.part for words in vocabulary.parts)
        case _:
            lists = {"face": "faces", "feature": "features", "station": "stations"}
            return dict.fromkeys(each for words in vocabulary.parts for each in getattr(words, lists[field]))
