"""What else could have been done, asked or commanded with the very same fields: "bagged", "bonded the spar".

A phrase of another kind, with the heard words in its slots, is another sentence. Of those, the ones that
differ from the heard one in a single stretch of words that make no field are what the stretch is held to.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from plytally.core.entry import PLACE
from plytally.core.grammar import (
    Either,
    Maybe,
    Means,
    Node,
    Reads,
    Rule,
    Say,
    Seq,
    Typed,
    Words,
    every_sentence,
)
from plytally.core.phrasebook import Reading, phrases
from plytally.core.vocabulary import Vocabulary

HELPING_VERBS = frozenset(("is", "are", "was", "has", "been"))
"""Come and go before what was done: "started on the spar" may have been "bag is on the spar"."""

Said = Mapping[str, Words]
_NOTHING = Seq(())


def other_kinds(
    words: Words, reading: Reading, vocabulary: Vocabulary
) -> Iterator[tuple[int, int, tuple[str, ...]]]:
    """Each stretch of words without a field (start, end not included), and what else it may be."""
    said = _said(words, reading)
    sentences = {
        sentence
        for row in phrases(vocabulary)
        if row.name != reading.phrase.name and "<rest>" not in row.text
        for node in (_filled(row.node, said, HELPING_VERBS.union(words)),)
        if node is not None
        for sentence in every_sentence(node)
    }
    for start, end in _stretches(words, reading):
        before, after = " ".join(words[:start]), " ".join(words[end:])
        others = {_between(sentence, before, after) for sentence in sentences}
        yield start, end, tuple(sorted(other for other in others if other))


def _said(words: Words, reading: Reading) -> Said:
    """The words of each field; the whole place goes by "place"."""
    said = {found.field: words[found.start : found.end] for found in reading.found}
    places = [found for found in reading.found if found.field in (*PLACE, "same")]
    if places:
        start, end = min(f.start for f in places), max(f.end for f in places)
        start -= start > 0 and words[start - 1] == "the"
        end += words[end : end + 1] == ("face",)
        said["place"] = words[start:end]
    return said


def _filled(node: Node, said: Said, heard: frozenset[str]) -> Node | None:  # noqa: C901 - a case a node
    """The phrase with what was said in its slots; None where it needs a slot that was not said."""
    match node:
        case Say():
            return node
        case Seq(parts):
            kept = tuple(_filled(part, said, heard) for part in parts)
            return None if None in kept else Seq(tuple(part for part in kept if part is not None))
        case Either(options):
            some = tuple(f for f in (_filled(option, said, heard) for option in options) if f is not None)
            return Either(some) if some else None
        case Maybe(part):
            within = _filled(part, said, heard)
            ways = () if within is None else tuple(every_sentence(within))
            same = tuple(_literal(tuple(way.split())) for way in ways if heard.issuperset(way.split()))
            return Maybe(Either(same)) if same else _NOTHING
        case Rule("place", _):
            return _literal(said["place"]) if "place" in said else None
        case Means(_, field, _) | Reads(field, _, _):
            return _literal(said[field]) if field in said and field not in PLACE else None
        case Rule(_, part):
            return _filled(part, said, heard)
        case Typed():
            return None


def _literal(words: Words) -> Node:
    return Seq(tuple(Say(word) for word in words))


def _stretches(words: Words, reading: Reading) -> Iterator[tuple[int, int]]:
    covered = {at for found in reading.found for at in range(found.start, found.end)}
    start = 0
    for at in range(len(words) + 1):
        if at == len(words) or at in covered:
            if start < at:
                yield start, at
            start = at + 1


def _between(sentence: str, before: str, after: str) -> str:
    """What the sentence has where it does not begin and end as the heard one; "" where it does otherwise."""
    words, first, last = sentence.split(), before.split(), after.split()
    end = len(words) - len(last)
    if end <= len(first) or words[: len(first)] != first or words[end:] != last:
        return ""
    return " ".join(words[len(first) : end])
