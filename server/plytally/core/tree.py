"""A written file as a tree that knows its lines, whatever the format: YAML, CSV or JSON.

A leaf is always text as it was written, so that revision 1.10 stays 1.10 and side "no" stays "no".
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from plytally.core.schedule import Problem

LONGEST_TEXT = 2000
LONGEST_NAME = 80
_NAME = re.compile(r"[^\W_](?:[\w .'/&()+±°-]*[\w.)'°])?")


@dataclass(frozen=True)
class Leaf:
    """A text; "" where nothing was written."""

    text: str
    line: int = 0


@dataclass(frozen=True)
class Items:
    """A list."""

    items: tuple[Node, ...]
    line: int = 0


@dataclass(frozen=True)
class Table:
    """Names with values, in the order written; a name may stand there twice."""

    pairs: tuple[tuple[Leaf, Node], ...]
    line: int = 0


Node = Leaf | Items | Table
NOTHING = Leaf("")


def tree_of(raw: Any) -> Node:
    """Give plain JSON values as a tree without lines. TypeError for what is no JSON."""
    if isinstance(raw, Mapping):
        return Table(tuple((Leaf(str(name)), tree_of(value)) for name, value in raw.items()))
    if isinstance(raw, list | tuple):
        return Items(tuple(tree_of(item) for item in raw))
    if raw is None or isinstance(raw, str | int | float):
        return Leaf("" if raw is None else str(raw))
    raise TypeError(f"{type(raw).__name__} is not a JSON value")


class Reading:
    """Reads values out of a tree and keeps every problem; what cannot be read comes back empty."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def complain(self, node: Node, message: str) -> None:
        """Keep one problem, with the node's line."""
        self.problems.append(Problem(message, node.line))

    def table(
        self, node: Node, what: str, fields: Sequence[str], hints: Mapping[str, str]
    ) -> dict[str, Node]:
        """Give the fields of a table; complain of unknown and doubled ones. `what` reads "a step"."""
        if isinstance(node, Leaf) and not node.text:
            return {}
        if not isinstance(node, Table):
            self.complain(node, f"{what} is written as 'name: value' lines, found {_shape(node)}")
            return {}
        found: dict[str, Node] = {}
        for name, value in node.pairs:
            if name.text not in fields:
                self.complain(
                    name, f"'{name.text}' is not a field of {what}; {_likely(name, value, fields, hints)}"
                )
            elif name.text in found:
                self.complain(name, f"'{name.text}' stands twice in {what}; keep one")
            else:
                found[name.text] = value
        return found

    def text(self, node: Node, what: str) -> str:
        """Give a short text on one line, its spaces tidied."""
        if not isinstance(node, Leaf):
            self.complain(node, f"{what} is one text, found {_shape(node)}")
            return ""
        text = " ".join(node.text.split())
        if len(text) > LONGEST_TEXT:
            self.complain(
                node, f"{what} is longer than {LONGEST_TEXT} characters; keep the rest in the manual"
            )
            return ""
        return text

    def name(self, node: Node, what: str) -> str:
        """Give a name: letters, digits and a few signs, not longer than a builder would say."""
        text = self.text(node, what)
        if not text:
            if isinstance(node, Leaf):
                self.complain(node, f"{what} has no name")
            return ""
        if len(text) > LONGEST_NAME or not _NAME.fullmatch(text):
            wanted = f"letters, digits, spaces and . ' / & ( ) + ± ° -, up to {LONGEST_NAME}"
            self.complain(node, f"{what} cannot be called {_short(text)}; a name has {wanted}")
            return ""
        return text

    def names(self, node: Node, what: str, between: str = ",") -> tuple[tuple[str, Node], ...]:
        """Give several names, written [a, b] or "a, b", each with the node that has its line."""
        if node == Leaf("", node.line):
            return ()
        leaves: list[Node] = []
        for item in node.items if isinstance(node, Items) else (node,):
            if isinstance(item, Leaf):
                leaves += [Leaf(text.strip(), item.line) for text in re.split(between, item.text)]
            else:
                self.complain(item, f"{what} is a name or a list of names, found {_shape(item)}")
        found: dict[str, Node] = {}
        for leaf in leaves:
            name = self.name(leaf, what)
            if name in found:
                self.complain(leaf, f"'{name}' stands twice in {what}; keep one")
            elif name:
                found[name] = leaf
        return tuple(found.items())

    def count(self, node: Node, what: str, most: int) -> int:
        """Give a whole number from 1 to `most`."""
        text = self.text(node, what)
        if text.isascii() and text.isdigit() and len(text) < 10 and 1 <= int(text) <= most:
            return int(text)
        if isinstance(node, Leaf):
            self.complain(node, f"{what} is a whole number from 1 to {most}, found {_short(text)}")
        return 0


def suggest(name: str, known: Sequence[str]) -> str:
    """Say which known name comes near, or else which there are."""
    by_folded = {text.casefold(): text for text in known}
    near = get_close_matches(name.casefold(), by_folded, n=1, cutoff=0.6)
    if near:
        return f"did you mean '{by_folded[near[0]]}'?"
    shown = ", ".join(known[:12]) + (" …" if len(known) > 12 else "")
    return f"there is: {shown}" if known else "there is none"


def _likely(name: Leaf, value: Node, fields: Sequence[str], hints: Mapping[str, str]) -> str:
    hint = hints.get(name.text.casefold())
    if hint:
        return f"did you mean '{hint}'?"
    told = suggest(name.text, fields)
    lone = isinstance(value, Leaf) and not value.text and not told.endswith("?")
    return f"{told}; a list is written in brackets, [{name.text}, …]" if lone else told


def _short(text: str) -> str:
    return f"'{text}'" if len(text) <= LONGEST_NAME else f"'{text[:LONGEST_NAME]}…'"


def _shape(node: Node) -> str:
    if isinstance(node, Leaf):
        return _short(node.text) if node.text else "nothing"
    return "a list" if isinstance(node, Items) else "a table of names and values"
