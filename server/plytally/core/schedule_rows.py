"""A layup schedule as the rows of a table: for those who keep theirs in a spreadsheet.

Each row says in its first column what it is: the print, a material, a part, a face of a part, a step …
A table holds all that a schedule does; problems are told with the row's number, the heading being row 1.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from plytally.core.names import Name
from plytally.core.resin_systems import written
from plytally.core.schedule import Schedule, ScheduleError
from plytally.core.schedule_reading import read_schedule
from plytally.core.tree import Items, Leaf, Node, Reading, Table, suggest

_STEP = (
    *("face", "feature", "at", "plies", "material", "orientation", "do", "item", "after", "disturbs"),
    *("drawing", "manual", "revision", "note"),
)
RESIN_COLUMNS = ("pot life", "cup", "cure", "ratio by weight", "ratio by volume", "note")
ROWS: Mapping[str, tuple[str, ...]] = {
    "print": ("revision", "note"),
    "material": ("said as", "thickness", "areal weight", "cure", "note"),
    "resin": ("said as", *RESIN_COLUMNS),
    "orientation": ("said as",),
    "item": ("said as",),
    "part": ("said as", "sides", "drawing", "manual", "note"),
    "face": ("of", "said as"),
    "feature": ("of", "said as"),
    "station": ("of", "said as"),
    "step": ("of", *_STEP),
    "instead": ("of", "because"),
}
"""What a row can be, and the columns it may fill besides `row` and `name`."""

COLUMNS = (
    *("row", "name", "of", "sides", "face", "feature", "at", "plies", "material", "orientation"),
    *("do", "item", "after", "disturbs", "because", "said as", "thickness", "areal weight", "cure"),
    *("pot life", "cup", "ratio by weight", "ratio by volume"),
    *("drawing", "manual", "revision", "note"),
)
_LISTS = {"material": "materials", "resin": "resins", "orientation": "orientations", "item": "items"}
_OF_A_PART = {"face": "faces", "feature": "features", "station": "stations"}
_OWNER = {"face": "part", "feature": "part", "station": "part", "step": "part", "instead": "step"}
_HINTS = {"steps": "step", "thing": "row", "id": "name", "where": "at", "part": "of", "reason": "because"}

Pairs = list[tuple[Leaf, Node]]


def schedule_from_rows(rows: Sequence[Sequence[str]]) -> Schedule:
    """Give the schedule in the rows of a table, its heading first; ScheduleError tells every problem."""
    building = _Building()
    tree = building.tree(rows)
    problems = building.reading.problems
    if not problems:
        try:
            return read_schedule(tree)
        except ScheduleError as error:
            problems = list(error.problems)
    raise ScheduleError([replace(problem, counted="row") for problem in problems])


def rows_of(schedule: Schedule) -> Iterator[tuple[str, ...]]:
    """Give a schedule as rows, the heading first; `schedule_from_rows` reads them back."""
    yield COLUMNS
    yield _row("print", schedule.aircraft, revision=schedule.revision, note=schedule.note)
    for material in schedule.materials:
        yield _row(
            "material",
            material.name,
            said_as=_listed(material.said_as),
            thickness=str(material.thickness or ""),
            areal_weight=str(material.areal_weight or ""),
            cure=str(material.cure or ""),
            note=material.note,
        )
    for resin in schedule.resins:
        cells = {name: _listed(text) if isinstance(text, tuple) else text for name, text in written(resin)}
        yield _row("resin", resin.name, **cells)
    yield from _named("orientation", schedule.orientations)
    yield from _named("item", schedule.items)
    for part in schedule.parts:
        yield _row(
            "part",
            part.name,
            said_as=_listed(part.said_as),
            sides=_listed(part.sides),
            **{name: getattr(part, name) for name in ("drawing", "manual", "note")},
        )
        yield from _named("face", part.faces, part.name)
        yield from _named("feature", part.features, part.name)
        yield from _named("station", part.stations, part.name)
        for step in part.steps:
            texts = {name: getattr(step, name) for name in _STEP if isinstance(getattr(step, name, 0), str)}
            lists = {"at": step.stations, "after": step.after, "disturbs": step.disturbs}
            yield _row(
                "step",
                step.id,
                of=part.name,
                plies=str(step.plies or ""),
                **texts,
                **{name: _listed(names) for name, names in lists.items()},
            )
            for other in step.instead:
                yield _row("instead", other.material, of=step.id, because=other.because)


@dataclass
class _Step:
    """A step's row, and the rows of what may be laid instead."""

    line: int
    pairs: Pairs
    instead: list[Node] = field(default_factory=list)

    def node(self) -> Node:
        return Table(
            (*self.pairs, (Leaf("instead", self.line), Items(tuple(self.instead), self.line))), self.line
        )


@dataclass
class _Part:
    """A part's row, and the rows of its faces, features, stations and steps."""

    leaf: Leaf
    pairs: Pairs
    names: dict[str, Pairs] = field(default_factory=lambda: {name: [] for name in _OF_A_PART.values()})
    steps: list[_Step] = field(default_factory=list)

    def pair(self) -> tuple[Leaf, Node]:
        steps = (Leaf("steps", self.leaf.line), Items(tuple(step.node() for step in self.steps)))
        return self.leaf, Table((*self.pairs, *_tables(self.names, self.leaf.line), steps), self.leaf.line)


class _Building:
    """Gathers rows into the tree that the schedule's reader takes."""

    def __init__(self) -> None:
        self.reading = Reading()
        self._print: Pairs = []
        self._lists: dict[str, Pairs] = {name: [] for name in _LISTS.values()}
        self._parts: dict[str, _Part] = {}
        self._steps: dict[str, _Step] = {}

    def tree(self, rows: Sequence[Sequence[str]]) -> Node:
        """Give the tree; what is wrong with the rows themselves stands in `reading` afterwards."""
        heading = [" ".join(cell.split()).lower() for cell in rows[0]] if rows else []
        if self._is_heading(heading):
            for number, row in enumerate(rows[1:], 2):
                if any(cell.strip() for cell in row):
                    self._take(number, heading, row)
            self._complain_of_what_lacks()
        parts = Table(tuple(part.pair() for part in self._parts.values()), 1)
        return Table((*self._print, *_tables(self._lists, 1), (Leaf("parts", 1), parts)), 1)

    def _is_heading(self, heading: Sequence[str]) -> bool:
        if len(heading) == 1 and any(mark in heading[0] for mark in ";\t"):
            return self._complain(
                1, "the columns are parted by another sign; save the table parted by commas"
            )
        for column in dict.fromkeys(filter(None, heading)):
            if column not in COLUMNS:
                near = _HINTS.get(column)
                told = f"did you mean '{near}'?" if near else suggest(column, COLUMNS)
                self._complain(1, f"'{column}' is not a column of a schedule; {told}")
            elif heading.count(column) > 1:
                self._complain(1, f"the column '{column}' stands twice; keep one")
        for needed in ("row", "name"):
            if needed not in heading:
                self._complain(
                    1, f"the heading needs a column '{needed}'; the columns are {_listed(COLUMNS)}"
                )
        return not self.reading.problems

    def _take(self, number: int, heading: Sequence[str], row: Sequence[str]) -> None:
        if any(cell.strip() for cell in row[len(heading) :]):
            self._complain(
                number, "more cells than the heading has columns; put a text with commas in quotes"
            )
            return
        cells = {column: cell.strip() for column, cell in zip(heading, row, strict=False) if cell.strip()}
        kind, name = cells.pop("row", "").lower(), cells.pop("name", "")
        if kind not in ROWS:
            self._complain(number, f"'{kind}' is not what a row can be; {suggest(kind, tuple(ROWS))}")
            return
        for column in cells:
            if column not in ROWS[kind]:
                self._complain(
                    number,
                    f"'{column or 'a column without heading'}' is not for a row of kind '{kind}'; "
                    f"such a row has {_listed(ROWS[kind])}",
                )
        if not name:
            self._complain(number, f"a row of kind '{kind}' needs its 'name'")
        elif self._has_owner(number, kind, cells.get("of", "")):
            self._put(number, kind, name, cells)

    def _has_owner(self, number: int, kind: str, owner: str) -> bool:
        if kind not in _OWNER:
            return True
        known: Mapping[str, object] = self._steps if kind == "instead" else self._parts
        if not owner:
            return self._complain(
                number, f"a row of kind '{kind}' says under 'of' which {_OWNER[kind]} it is of"
            )
        if owner.casefold() not in known:
            above = f"'{owner}' is no {_OWNER[kind]} of a row above"
            return self._complain(number, f"{above}; {suggest(owner, tuple(known))}")
        return True

    def _put(self, number: int, kind: str, name: str, cells: dict[str, str]) -> None:
        owner = cells.pop("of", "").casefold()
        leaf = Leaf(name, number)
        pairs: Pairs = [(Leaf(column, number), Leaf(text, number)) for column, text in cells.items()]
        if kind == "print":
            self._put_print(leaf, pairs)
        elif kind in _LISTS:
            self._lists[_LISTS[kind]] += _each(leaf, pairs)
        elif kind in _OF_A_PART:
            self._parts[owner].names[_OF_A_PART[kind]] += _each(leaf, pairs)
        elif kind == "part":
            self._put_part(leaf, pairs)
        elif kind == "step":
            step = _Step(number, [(Leaf("step", number), leaf), *pairs])
            self._steps.setdefault(name.casefold(), step)
            self._parts[owner].steps.append(step)
        else:
            self._steps[owner].instead.append(Table(((Leaf("material", number), leaf), *pairs), number))

    def _put_print(self, leaf: Leaf, pairs: Pairs) -> None:
        if self._print:
            self._complain(leaf.line, "the print stands already in a row above; keep one")
        self._print = [(Leaf("aircraft", leaf.line), leaf)]
        for label, value in pairs:
            name = "print revision" if label.text == "revision" else label.text
            self._print.append((Leaf(name, leaf.line), value))

    def _put_part(self, leaf: Leaf, pairs: Pairs) -> None:
        if leaf.text.casefold() in self._parts:
            self._complain(leaf.line, f"the part '{leaf.text}' stands already in a row above; keep one")
        self._parts[leaf.text.casefold()] = _Part(leaf, pairs)

    def _complain_of_what_lacks(self) -> None:
        said = [label.text for label, _ in self._print]
        for lacking, told in (
            (not said, "a row of kind 'print' with the aircraft's name, and the print's revision"),
            (said and "print revision" not in said, "the print's revision, in its row of kind 'print'"),
            (not self._lists["materials"], "a row of kind 'material' for each cloth that it calls for"),
            (not self._parts, "a row of kind 'part' for each part, and of kind 'step' for each of its steps"),
        ):
            if lacking:
                self._complain(1, f"the schedule needs {told}")

    def _complain(self, number: int, message: str) -> bool:
        self.reading.complain(Leaf("", number), message)
        return False


def _tables(lists: Mapping[str, Pairs], line: int) -> Iterator[tuple[Leaf, Node]]:
    return ((Leaf(name, line), Table(tuple(pairs), line)) for name, pairs in lists.items())


def _each(leaf: Leaf, pairs: Pairs) -> Pairs:
    """A row may name several at once, "fore, aft", where nothing else is said of them."""
    names = (text.strip() for text in leaf.text.split(","))
    return [(Leaf(name, leaf.line), Table(tuple(pairs), leaf.line)) for name in names]


def _named(kind: str, names: Iterable[Name], of: str = "") -> Iterator[tuple[str, ...]]:
    return (_row(kind, each.name, of=of, said_as=_listed(each.said_as)) for each in names)


def _listed(names: Iterable[str]) -> str:
    return ", ".join(names)


def _row(kind: str, name: str, **cells: str) -> tuple[str, ...]:
    filled = {"row": kind, "name": name} | {column.replace("_", " "): text for column, text in cells.items()}
    return tuple(filled.get(column, "") for column in COLUMNS)
