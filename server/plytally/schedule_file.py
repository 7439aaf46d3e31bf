"""A layup schedule's file to a Schedule, or to errors that name the line: YAML here, CSV in schedule_table.

Only plain YAML is taken: names, texts, lists and tables. Anchors, aliases, tags, tabs and a second
document are refused, so no file can grow in memory beyond what is written in it.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

from plytally.core.schedule import Problem, Schedule, ScheduleError
from plytally.core.schedule_reading import read_schedule
from plytally.core.tree import Items, Leaf, Node, Table
from plytally.schedule_table import schedule_from_csv

LARGEST_FILE = 4_000_000
DEEPEST = 12
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_SCALAR_TAGS = (None, "!")


def read_schedule_file(path: Path) -> Schedule:
    """Give the schedule in a YAML or .csv file. ScheduleError tells what is wrong, where, and what to do."""
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise _refused(f"{path} is larger than {LARGEST_FILE // 1_000_000} MB; is it a schedule?")
        raw = path.read_bytes()
    except OSError as problem:
        raise _refused(f"{path} cannot be read: {problem.strerror or problem}") from problem
    read = schedule_from_csv if is_table(path) else schedule_from_yaml
    return read(_decoded(raw))


def is_table(path: Path) -> bool:
    """Whether a file's name says that it holds a table of rows."""
    return path.suffix.lower() == ".csv"


def schedule_from_yaml(text: str) -> Schedule:
    """Give the schedule that YAML text holds; ScheduleError tells every problem with its line."""
    return read_schedule(tree_from_yaml(text))


def tree_from_yaml(text: str) -> Node:
    """Give YAML text as a located tree. ScheduleError for what is not plain YAML."""
    tabs = [_tab(line) for line, content in enumerate(text.splitlines(), 1) if _indent(content).count("\t")]
    if tabs:
        raise ScheduleError(tabs)
    building = _Building()
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            building.take(event)
    except yaml.MarkedYAMLError as problem:
        raise _refused(_explained(problem), _line(problem)) from problem
    except yaml.reader.ReaderError as problem:
        line = text.count("\n", 0, problem.position) + 1
        raise _refused("a character that no text file should hold; delete it", line) from problem
    if building.tree is None:
        raise _refused("the file is empty; a schedule begins with 'aircraft:'", 1)
    return building.tree


class _Building:
    """Builds the tree from YAML's events, one level of nesting at a time."""

    def __init__(self) -> None:
        self.tree: Node | None = None
        self._open: list[tuple[int, bool, list[Node]]] = []

    def take(self, event: Any) -> None:
        line = event.start_mark.line + 1
        _refuse_fancy(event, line)
        if isinstance(event, yaml.ScalarEvent):
            self._put(Leaf(_scalar(event), line), line)
        elif isinstance(event, yaml.CollectionStartEvent):
            if len(self._open) == DEEPEST:
                raise _refused(f"more than {DEEPEST} levels inside each other; a schedule needs fewer", line)
            self._open.append((line, isinstance(event, yaml.MappingStartEvent), []))
        elif isinstance(event, yaml.CollectionEndEvent):
            start, is_table, nodes = self._open.pop()
            self._put(Table(tuple(_pairs(nodes)), start) if is_table else Items(tuple(nodes), start), start)

    def _put(self, node: Node, line: int) -> None:
        if self._open:
            self._open[-1][2].append(node)
        elif self.tree is not None:
            raise _refused("a second document begins here ('---'); keep one schedule in a file", line)
        else:
            self.tree = node


def _pairs(nodes: list[Node]) -> Iterator[tuple[Leaf, Node]]:
    for name, value in zip(nodes[::2], nodes[1::2], strict=True):
        if not isinstance(name, Leaf):
            raise _refused("a list or table stands where a name should be, before ':'", name.line)
        yield name, value


def _refuse_fancy(event: Any, line: int) -> None:
    if isinstance(event, yaml.AliasEvent):
        raise _refused(f"'*{event.anchor}' refers to another place; write it out here", line)
    if getattr(event, "anchor", None):
        raise _refused(f"'&{event.anchor}' marks a place to refer to; take it out", line)
    if getattr(event, "tag", None) not in _SCALAR_TAGS:
        raise _refused(f"'{event.tag}' is a tag; a schedule has none, take it out", line)


def _scalar(event: yaml.ScalarEvent) -> str:
    plain = event.style is None or event.style == ""
    return "" if plain and event.value in ("~", "null") else str(event.value)


def _decoded(raw: bytes) -> str:
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = raw.count(b"\n", 0, problem.start) + 1
        raise _refused("not UTF-8 text; save the file again as UTF-8", line) from problem


def _indent(line: str) -> str:
    return line[: len(line) - len(line.lstrip(" \t"))]


def _tab(line: int) -> Problem:
    return Problem("a tab in the indent; use spaces, two for each level", line)


def _line(problem: yaml.MarkedYAMLError) -> int:
    """Where the mistake is: for a quote or bracket left open where it opens, not where the file ends."""
    left_open = any(word in str(problem.context) for word in ("scalar", "flow"))
    marks = (problem.problem_mark, problem.context_mark)
    mark = next(filter(None, reversed(marks) if left_open else marks), None)
    return mark.line + 1 if mark else 0


def _explained(problem: yaml.MarkedYAMLError) -> str:
    """YAML's own complaint, with the mistake that mostly stands behind it."""
    said = " ".join(str(part) for part in (problem.context, problem.problem) if part)
    likely = "check the indent, the ':' with a space after it, and that quotes and brackets are closed"
    return f"this is not readable as YAML ({said}); {likely}"


def _refused(message: str, line: int = 0) -> ScheduleError:
    return ScheduleError([Problem(message, line)])
