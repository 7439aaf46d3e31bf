"""What can be said, as a tree that both writes a speech grammar and reads a sentence.

One tree serves four uses: it is written out for the recognisers (`jsgf`), it matches words and yields
the fields they mean, it makes example sentences, and it lists what else a field could have been ("two
plies" rather than "ten plies").
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from plytally.core.entry import FieldValue

Words = tuple[str, ...]

MANY = 6
"""Of so many options and more only those are tried that can begin with the word that stands there."""


@dataclass(frozen=True)
class Say:
    """One literal word."""

    word: str


@dataclass(frozen=True)
class Seq:
    """Parts spoken one after the other."""

    parts: tuple[Node, ...]


@dataclass(frozen=True)
class Either:
    """One of several."""

    options: tuple[Node, ...]

    @cached_property
    def begins(self) -> tuple[frozenset[str] | None, ...]:
        """For each option the words that it can begin with, None where that tells nothing."""
        from plytally.core.beginnings import first_words  # that reads trees, and so stands above this

        return tuple(map(first_words, self.options))


@dataclass(frozen=True)
class Maybe:
    """Something that may be left out."""

    part: Node


@dataclass(frozen=True)
class Means:
    """When `part` is said, the field has this value."""

    part: Node
    field: str
    value: FieldValue


@dataclass(frozen=True)
class Reads:
    """An amount: `says` is what a recogniser listens for, `read` turns the words into a value.

    `read(words, at)` gives (value, index after) or None; it must read all that `says` can produce.
    """

    field: str
    says: Node
    read: Callable[[Words, int], tuple[FieldValue, int] | None]


@dataclass(frozen=True)
class Typed:
    """Read where it is typed, never listened for: every further word a recogniser may hear costs others."""

    part: Node


@dataclass(frozen=True)
class Rule:
    """A named part, written once in the JSGF text and referred to by name."""

    name: str
    part: Node


Node = Say | Seq | Either | Maybe | Means | Reads | Typed | Rule


@dataclass(frozen=True)
class Found:
    """A field found in the words `start` to `end` (end not included)."""

    field: str
    value: FieldValue
    start: int
    end: int


Match = tuple[int, tuple[Found, ...]]
Known = dict[tuple[str, int], tuple[Match, ...]]


def match(node: Node, words: Words, at: int, known: Known) -> Iterator[Match]:  # noqa: C901 - a case a node
    """Every way in which `node` can be read from word `at` on: (index after, fields found).

    `known` remembers what rules gave for this sentence; hand in the same dict for all calls on one sentence.
    """
    match node:
        case Say(word):
            if at < len(words) and words[at] == word:
                yield at + 1, ()
        case Seq(parts):
            yield from _match_all(parts, words, at, known)
        case Either(options):
            begins = node.begins if len(options) >= MANY else (None,) * len(options)
            for option, first in zip(options, begins, strict=True):
                if first is None or (at < len(words) and words[at] in first):
                    yield from match(option, words, at, known)
        case Maybe(part):
            yield from match(part, words, at, known)
            yield at, ()
        case Means(part, name, value):
            for end, found in match(part, words, at, known):
                yield end, (*found, Found(name, value, at, end))
        case Reads(name, _, read):
            if (result := read(words, at)) is not None:
                yield result[1], (Found(name, result[0], at, result[1]),)
        case Typed(part):
            yield from match(part, words, at, known)
        case Rule(name, part):
            if (name, at) not in known:
                known[name, at] = tuple(match(part, words, at, known))
            yield from known[name, at]


def _match_all(parts: Sequence[Node], words: Words, at: int, known: Known) -> Iterator[Match]:
    if not parts:
        yield at, ()
        return
    for middle, found in match(parts[0], words, at, known):
        for end, rest in _match_all(parts[1:], words, middle, known):
            yield end, found + rest


def children(node: Node) -> tuple[Node, ...]:
    """The nodes directly below."""
    match node:
        case Say():
            return ()
        case Seq(parts) | Either(parts):
            return parts
        case Maybe(part) | Means(part, _, _) | Reads(_, part, _) | Typed(part) | Rule(_, part):
            return (part,)


def rules(node: Node) -> dict[str, Rule]:
    """Every rule at or below `node`, by name, in the order in which they are met."""
    met: dict[str, Rule] = {}
    waiting = [node]
    while waiting:
        here = waiting.pop()
        if isinstance(here, Rule):
            if here.name in met:
                continue
            met[here.name] = here
        waiting.extend(reversed(children(here)))
    return met


def words_of(node: Node) -> Words:
    """Every word that can be said, sorted."""
    parts: list[Node] = [node, *(rule.part for rule in rules(node).values())]
    found: set[str] = set()
    while parts:
        here = parts.pop()
        if isinstance(here, Say):
            found.add(here.word)
        elif not isinstance(here, Rule):
            parts.extend(children(here))
    return tuple(sorted(found))


def audible(node: Node, known: dict[str, Node | None]) -> Node | None:  # noqa: C901 - a case a node
    """The tree without what is only typed; None where nothing is left to listen for.

    `known` remembers rules; hand in the same dict for all the trees of one grammar.
    """
    match node:
        case Say() | Reads():
            return node
        case Typed():
            return None
        case Seq(parts):
            kept = tuple(left for part in parts if (left := audible(part, known)) is not None)
            return Seq(kept) if len(kept) == len(parts) else None
        case Either(options):
            kept = tuple(left for part in options if (left := audible(part, known)) is not None)
            return Either(kept) if kept else None
        case Maybe(part):
            within = audible(part, known)
            return Seq(()) if within is None else Maybe(within)
        case Means(part, name, value):
            within = audible(part, known)
            return None if within is None else Means(within, name, value)
        case Rule(name, part):
            if name not in known:
                within = audible(part, known)
                known[name] = None if within is None else Rule(name, within)
            return known[name]


def sentence(node: Node, choose: Callable[[int], int]) -> str:
    """One sentence of the grammar; `choose(n)` picks a whole number from 0 to n - 1 at each fork."""
    match node:
        case Say(word):
            return word
        case Seq(parts):
            return " ".join(said for part in parts if (said := sentence(part, choose)))
        case Either(options):
            return sentence(options[choose(len(options))], choose)
        case Maybe(part):
            return sentence(part, choose) if choose(2) else ""
        case Means(part, _, _) | Reads(_, part, _) | Typed(part) | Rule(_, part):
            return sentence(part, choose)


def every_sentence(node: Node) -> Iterator[str]:
    """All sentences of `node`, one by one; meant for small nodes."""
    match node:
        case Say(word):
            yield word
        case Seq(parts):
            yield from _every_sequence(parts)
        case Either(options):
            for option in options:
                yield from every_sentence(option)
        case Maybe(part):
            yield ""
            yield from every_sentence(part)
        case Means(part, _, _) | Reads(_, part, _) | Typed(part) | Rule(_, part):
            yield from every_sentence(part)


def _every_sequence(parts: Sequence[Node]) -> Iterator[str]:
    if not parts:
        yield ""
        return
    for first in every_sentence(parts[0]):
        for rest in _every_sequence(parts[1:]):
            yield f"{first} {rest}".strip()
