"""What else a sentence could have said in each of its places: what an engine holds the heard words to.

A rival is another value of one field, or other words for what was done; all the rest of the sentence stays.
Only sentences of the phrasebook count: "the right rudder post" is no rival where the rudder has one post.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from plytally.core.automaton import Automaton, automaton
from plytally.core.doubting import KIND
from plytally.core.entry import FIELDS, PLACE, FieldValue
from plytally.core.grammar import (
    Found,
    Known,
    Means,
    Node,
    Reads,
    Rule,
    Words,
    children,
    every_sentence,
    rules,
)
from plytally.core.names import Name
from plytally.core.numbers import confusable
from plytally.core.numberwords import TEEN_OR_TY
from plytally.core.other_kinds import other_kinds
from plytally.core.phrasebook import Reading, readings
from plytally.core.said_tree import listening
from plytally.core.unusual import cannot_be
from plytally.core.vocabulary import SIDES, Vocabulary

NOT_SAID = ""
OPTIONAL = frozenset({"side", "face", "feature", "station", "orientation", "batch"})


@dataclass(frozen=True)
class Rival:
    """The other things that could have been said in words `start` to `end` of a sentence."""

    fields: tuple[str, ...]
    start: int
    end: int
    before: str
    after: str
    others: tuple[str, ...]
    heard: Words = ()
    alike: tuple[str, ...] = ()
    """Amounts (or numbered names) that the ear takes for the heard one, teen for ty: to be asked about by
    the words alone. Unlike the others they need not be listened for: "eighteen degrees" is not."""

    @property
    def jsgf(self) -> str:
        """The sentence as a grammar of its own, with every other value in place of the one heard."""
        others = " | ".join(other or "<NULL>" for other in self.others)
        return f"#JSGF V1.0;\ngrammar rival;\npublic <phrase> = {self.before} ({others}) {self.after};\n"

    @property
    def is_number(self) -> bool:
        """Whether an amount stands there, or digits."""
        return any(
            name != KIND and (name not in FIELDS or FIELDS[name].holds != "name") for name in self.fields
        )


@lru_cache(maxsize=4)
def listened(vocabulary: Vocabulary) -> Automaton:
    """All phrases that a grammar can listen for, as one automaton."""
    return automaton(listening(vocabulary))


def rivals(text: str, vocabulary: Vocabulary, listens: Automaton | None = None) -> tuple[Rival, ...]:
    """For each weighty field of a sentence of the grammar, and for its kind, what else could stand there.

    An empty other means that nothing was said there. A sentence that is not of the grammar has none.
    `listens` is the grammar's automaton, where it is at hand: making it takes a second or more.
    """
    listens = listens or listened(vocabulary)
    words = tuple(text.split())
    reading = whole_reading(words, vocabulary)
    if reading is None:
        return ()
    spans: dict[tuple[int, int], list[Found]] = {}
    for found in reading.found:
        if found.field not in FIELDS or FIELDS[found.field].weighty:
            spans.setdefault((found.start, found.end), []).append(found)
    made = [_rival(words, start, end, found, vocabulary, listens) for (start, end), found in spans.items()]
    made = [replace(rival, alike=_alike(rival, words, reading, vocabulary)) for rival in made]
    for start, end, others in other_kinds(words, reading, vocabulary):
        made.append(_between((KIND,), words, start, end, others, listens))
    return tuple(rival for rival in made if rival.others or rival.alike)


def whole_reading(words: Words, vocabulary: Vocabulary) -> Reading | None:
    """The phrase that explains all of the words; the one with most fields where several do."""
    known: Known = {}
    whole = [reading for reading in readings(words, 0, vocabulary, known) if reading.end == len(words)]
    return max(whole, key=lambda reading: len(reading.found), default=None)


def _rival(
    words: Words, start: int, end: int, found: list[Found], vocabulary: Vocabulary, listens: Automaton
) -> Rival:
    fields = tuple(each.field for each in found)
    others = _ways(found[0], vocabulary)
    if found[0].field in OPTIONAL:
        others.append(NOT_SAID)
    return _between(fields, words, start, end, others, listens)


def _between(
    fields: tuple[str, ...],
    words: Words,
    start: int,
    end: int,
    others: Iterable[str],
    listens: Automaton,
) -> Rival:
    """The rival with those of the others that make another sentence of the grammar."""
    before, heard, after = words[:start], words[start:end], words[end:]
    said = {other: tuple(other.split()) for other in others}
    kept = tuple(
        other
        for other, there in said.items()
        if there != heard and listens.accepts((*before, *there, *after))
    )
    return Rival(fields, start, end, " ".join(before), " ".join(after), kept, heard)


def _alike(rival: Rival, words: Words, reading: Reading, vocabulary: Vocabulary) -> tuple[str, ...]:
    """The amounts one teen or ty away that could have been meant in the rival's place."""
    return tuple(
        other
        for other in confusable(rival.heard, TEEN_OR_TY)
        if other in rival.others or (rival.is_number and _could_be(rival, other, words, reading, vocabulary))
    )


def _could_be(rival: Rival, other: str, words: Words, reading: Reading, vocabulary: Vocabulary) -> bool:
    """Whether the sentence means the same thing done with the other amount, and a shop could see that."""
    there = (*words[: rival.start], *other.split(), *words[rival.end :])
    meant = whole_reading(there, vocabulary)
    return (
        meant is not None
        and meant.phrase.name == reading.phrase.name
        and not any(cannot_be(found.field, found.value) for found in meant.found)
    )


def _ways(found: Found, vocabulary: Vocabulary) -> list[str]:
    """Every way to say another value of the found field."""
    if found.field in PLACE:
        named = ((way, name.name) for name in _place_names(found.field, vocabulary) for way in name.spoken)
        return [way for way, value in named if value != found.value]
    return [way for way, value in ways_of_fields(vocabulary).get(found.field, ()) if value != found.value]


def ways_to_say(field: str, value: FieldValue, vocabulary: Vocabulary) -> list[str]:
    """Every way to say this value of a field that is listened for."""
    if field in PLACE:
        return [way for name in _place_names(field, vocabulary) if name.name == value for way in name.spoken]
    return [way for way, other in ways_of_fields(vocabulary).get(field, ()) if other == value]


@lru_cache(maxsize=4)
def ways_of_fields(vocabulary: Vocabulary) -> Mapping[str, tuple[tuple[str, FieldValue], ...]]:
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
    """Each once: an amount's node stands in many phrases."""
    waiting = [root, *(rule.part for rule in rules(root).values())]
    met: set[int] = set()
    while waiting:
        node = waiting.pop()
        if id(node) in met:
            continue
        met.add(id(node))
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
