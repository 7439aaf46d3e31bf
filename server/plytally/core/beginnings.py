"""What a part of the grammar can begin with, so that most rows need not be tried on a word at all."""

from __future__ import annotations

from collections.abc import Sequence

from plytally.core.grammar import Either, Maybe, Means, Node, Reads, Rule, Say, Seq, Typed

First = tuple[set[str] | None, bool]


def first_words(node: Node) -> frozenset[str] | None:
    """The words that it can begin with; None where it can begin with any, or be nothing at all."""
    words, whole = _first(node, {})
    return None if words is None or not whole else frozenset(words)


def _first(node: Node, known: dict[str, First]) -> First:  # noqa: C901 - a case a node
    """The words that it can begin with, None for any; and whether it must have a word at all."""
    match node:
        case Say(word):
            return {word}, True
        case Reads():
            return None, True
        case Maybe(part):
            return _first(part, known)[0], False
        case Either(options):
            each = [_first(option, known) for option in options]
            return _either([words for words, _ in each]), all(whole for _, whole in each)
        case Seq(parts):
            begun: list[set[str] | None] = []
            for part in parts:
                words, whole = _first(part, known)
                begun.append(words)
                if whole:
                    return _either(begun), True
            return _either(begun), False
        case Means(part, _, _) | Typed(part):
            return _first(part, known)
        case Rule(name, part):
            if name not in known:
                known[name] = _first(part, known)
            return known[name]


def _either(sets: Sequence[set[str] | None]) -> set[str] | None:
    return None if any(words is None for words in sets) else set().union(*(words or () for words in sets))
