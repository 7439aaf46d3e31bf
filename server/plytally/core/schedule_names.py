"""The names a print declares, and how they are said: no two in one list may sound alike."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from plytally.core.names import Name, as_spoken
from plytally.core.numberwords import NumberError
from plytally.core.tree import NOTHING, Items, Leaf, Node, Reading, Table

NAMED = ("said as",)
Declared = tuple[Leaf, dict[str, Node]]
"""A name with its line, and the fields written for it."""


def declared(
    reading: Reading, node: Node, what: str, fields: Sequence[str], hints: Mapping[str, str] | None = None
) -> list[Declared]:
    """Give the names of a list, written "a, b", [a, b] or as lines of "name: …"; none twice, no two alike."""
    found: dict[str, Declared] = {}
    for leaf, value in _pairs(reading, node, what):
        name = reading.name(leaf, what)
        if name.casefold() in found:
            reading.complain(leaf, f"'{name}' stands here twice as {what}; keep one")
        elif name:
            table = reading.table(value, f"{what} ('{name}')", fields, hints or {})
            found[name.casefold()] = (Leaf(name, leaf.line), table)
    _no_two_alike(reading, found.values())
    return list(found.values())


def named(reading: Reading, node: Node, what: str, fields: Sequence[str] = NAMED) -> tuple[Name, ...]:
    """Give a list of names of which nothing else matters than how they are said."""
    rows = declared(reading, node, what, fields)
    return tuple(Name(leaf.text, said_as(reading, table, leaf.text)) for leaf, table in rows)


def said_as(reading: Reading, fields: Mapping[str, Node], name: str) -> tuple[str, ...]:
    """Give the ways a name is said, in the words a recogniser listens for: "Hinge 1" is "hinge one"."""
    ways = reading.names(fields.get("said as", NOTHING), f"how '{name}' is said")
    spoken = (_spoken(reading, node, text) for text, node in ways)
    return tuple(dict.fromkeys(way for way in spoken if way))


def _pairs(reading: Reading, node: Node, what: str) -> Iterator[tuple[Leaf, Node]]:
    if isinstance(node, Table):
        yield from node.pairs
        return
    for item in node.items if isinstance(node, Items) else (node,):
        if isinstance(item, Table):
            yield from item.pairs
        else:
            yield from ((Leaf(name, leaf.line), NOTHING) for name, leaf in reading.names(item, what))


def _no_two_alike(reading: Reading, rows: Iterable[Declared]) -> None:
    """Two things that are said alike could not be told apart by ear."""
    owner: dict[str, str] = {}
    for leaf, fields in rows:
        quiet = Reading()
        for said in said_as(quiet, fields, leaf.text) or (_spoken(reading, leaf, leaf.text),):
            other = owner.setdefault(said, leaf.text)
            if said and other != leaf.text:
                reading.complain(leaf, f"'{other}' and '{leaf.text}' are both said as '{said}'; change one")


def _spoken(reading: Reading, node: Node, text: str) -> str:
    try:
        return as_spoken(text)
    except NumberError as problem:
        reading.complain(node, f"'{text}' cannot be said aloud: {problem}")
        return ""
