"""Loose reading: a cue anywhere in the sentence, and the fields its kind takes in whatever order they come.

"left elevator spar, fore face, two BID plies down" -> laid: 2 BID, left elevator spar, fore face. What no
cue and no field explains is left over, and asked about as it always is; words that turn a sentence round, or
tell of talk and plans, make no entry.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from plytally.core.beginnings import first_words
from plytally.core.entry import KINDS, PLACE
from plytally.core.grammar import Found, Known, Node, Words, match
from plytally.core.jsgf import phrase
from plytally.core.loose_asked import WAYS
from plytally.core.loose_slots import NAMED_BY, loose_slots
from plytally.core.loose_ways import Way
from plytally.core.numbers import read_number
from plytally.core.small_words import (
    ASKING,
    FILLERS,
    JOINERS,
    PERHAPS_QUESTIONING,
    QUESTIONING,
    SOFTENERS,
    TURNING,
)
from plytally.core.spoken_hours import from_until
from plytally.core.vocabulary import Vocabulary

MOST_LEFT = 0.4
"""No more than this share of the words may be left over, those that only join not counted."""

Span = tuple[int, int, tuple[Found, ...]]
"""Words `start` to `end`, and the fields found there."""


@dataclass(frozen=True)
class Loose:
    """What was found: the fields, by words `used` of the sentence, and the words `left` over."""

    way: Way
    found: tuple[Found, ...]
    used: frozenset[int]
    left: tuple[int, ...]


@dataclass(frozen=True)
class _Cue:
    way: Way
    pieces: tuple[Node, ...]
    first: frozenset[str] | None


def loosely(words: Words, vocabulary: Vocabulary) -> Loose | None:
    """What the words say, taken loosely; None where no cue and its fields explain enough of them."""
    known: Known = {}
    there, asks = frozenset(words), is_question(words)
    best: Loose | None = None
    for cue in _cues(vocabulary):
        if (cue.first is not None and not cue.first & there) or (asks and cue.way.makes == "entry"):
            continue
        for spans in _told(cue.pieces, words, 0, known):
            found = _with_fields(cue.way, spans, words, vocabulary, known)
            if found and (best is None or _rank(found) > _rank(best)):
                best = found
    return best


def is_question(words: Words) -> bool:
    """Whether the words begin as a question does; fillers before it do not count."""
    told = tuple(word for word in words if word not in SOFTENERS)
    first, then = (*told, "", "")[:2]
    if first in PERHAPS_QUESTIONING:
        return then not in ("another", "a", "an", "half", "some") and read_number(told, 1) is None
    return first in QUESTIONING


def _rank(loose: Loose) -> tuple[int, int, int]:
    return -len(loose.left), len(loose.found), len(loose.used)


@lru_cache(maxsize=4)
def _cues(vocabulary: Vocabulary) -> tuple[_Cue, ...]:
    named = loose_slots(vocabulary)
    rows = ((way, text) for way in WAYS for text in way.cues if _can_be_said(text, named))
    cues = ((way, tuple(phrase(piece, named) for piece in text.split(" ... "))) for way, text in rows)
    return tuple(_Cue(way, pieces, _words_of_one(pieces)) for way, pieces in cues)


def _words_of_one(pieces: tuple[Node, ...]) -> frozenset[str] | None:
    """The words of which one must be there; None where none must."""
    each = [words for piece in pieces if (words := first_words(piece)) is not None]
    return min(each, key=len) if each else None


def _can_be_said(text: str, named: Mapping[str, Node]) -> bool:
    return all(f"<{slot}>" not in text or slot in named for slot in ("place", "peel_ply"))


def _told(pieces: Sequence[Node], words: Words, start: int, known: Known) -> Iterator[tuple[Span, ...]]:
    """Where the pieces of a cue stand, in their order, each at its longest."""
    if not pieces:
        yield ()
        return
    for at in range(start, len(words)):
        ends = [(end, found) for end, found in match(pieces[0], words, at, known) if end > at]
        if ends:
            end, found = max(ends, key=lambda each: each[0])
            for rest in _told(pieces[1:], words, end, known):
                yield ((at, end, found), *rest)
    if any(end == start for end, _ in match(pieces[0], words, start, known)):
        yield from _told(pieces[1:], words, start, known)


def _with_fields(
    way: Way, cue: tuple[Span, ...], words: Words, vocabulary: Vocabulary, known: Known
) -> Loose | None:
    used = {at for start, end, _ in cue for at in range(start, end)}
    found = {each.field: each for _, _, several in cue for each in several}
    for start, end, several in _spans(way, words, vocabulary, known):
        fields = {each.field for each in several}
        if used.isdisjoint(range(start, end)) and not fields & set(found):
            used |= set(range(start, end))
            found |= {each.field: each for each in several}
    if "began" in found and "ended" in found and "duration" not in found:
        began, ended = found["began"], found["ended"]
        lasted = from_until(str(began.value), str(ended.value))
        found |= {"duration": Found("duration", lasted, began.start, ended.end)} if lasted else {}
    if not set(way.needs) <= set(found):
        return None
    left = tuple(at for at, word in enumerate(words) if at not in used and not _joins(word, way))
    if TURNING.intersection(words[at] for at in left) or not _enough(way, found, left, words):
        return None
    return Loose(way, tuple(found.values()), frozenset(used), left)


def _enough(way: Way, found: Mapping[str, Found], left: Sequence[int], words: Words) -> bool:
    if way.alone and not found:
        return not left
    telling = sum(not _joins(word, way) for word in words)
    return len(left) <= MOST_LEFT * telling and (way.makes == "entry" or len(left) < 2)


def _joins(word: str, way: Way) -> bool:
    return word in FILLERS or word in JOINERS or (way.makes == "question" and word in ASKING)


def _spans(way: Way, words: Words, vocabulary: Vocabulary, known: Known) -> Iterable[Span]:
    """The stretches of words that make a field of this kind, the place first and then the longest."""
    named, begins = loose_slots(vocabulary), _begins(vocabulary)
    takes = KINDS[way.name].fields if way.makes == "entry" else (*PLACE, *NAMED_BY.get(way.name, ()))
    slots = [slot for field in takes for slot in NAMED_BY.get(field, ()) if slot in named]
    spans = [
        (at, end, found)
        for slot in dict.fromkeys(slots)
        for at in range(len(words))
        if (first := begins[slot]) is None or words[at] in first
        for end, found in match(named[slot], words, at, known)
        if end > at and found
    ]
    spans.sort(key=lambda each: (-_is_place(each[2]), each[0] - each[1], each[0]))
    if spans and _is_place(spans[0][2]):
        spans = [each for each in spans if _is_place(each[2]) or not _is_on_place(each[2])]
    yield from spans
    yield from _of_part(spans, words, vocabulary, known)


@lru_cache(maxsize=4)
def _begins(vocabulary: Vocabulary) -> Mapping[str, frozenset[str] | None]:
    return {slot: first_words(node) for slot, node in loose_slots(vocabulary).items()}


def _is_on_place(found: Sequence[Found]) -> bool:
    return all(each.field in (*PLACE, "same") for each in found)


def _is_place(found: Sequence[Found]) -> bool:
    return any(each.field == "part" for each in found)


def _of_part(spans: Sequence[Span], words: Words, vocabulary: Vocabulary, known: Known) -> Iterable[Span]:
    """The face, feature, station and side of the part that was named, where they stand apart from it."""
    part = next((str(f.value) for _, _, found in spans for f in found if f.field == "part"), "")
    nodes = loose_slots(vocabulary)
    for name in ("face", "feature", "station", "side"):
        node = nodes.get(f"{name} of {part}")
        if node is None:
            continue
        own = [(at, end, f) for at in range(len(words)) for end, f in match(node, words, at, known)]
        yield from sorted(own, key=lambda each: each[0] - each[1])
