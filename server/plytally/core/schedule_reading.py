"""A located tree to a Schedule, with every problem of the file told at once.

Names are matched without regard to capitals, and the spelling where they are declared is the one kept.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from plytally.core.quantities import Dimension, Quantity, UnitError, parse_quantity
from plytally.core.schedule import Material, Named, Part, Schedule, ScheduleError
from plytally.core.schedule_order import order_problems
from plytally.core.schedule_steps import Known, StepReading
from plytally.core.tree import NOTHING, Items, Leaf, Node, Reading, Table, tree_of

SIDES = ("left", "right")
_TOP = ("aircraft", "print revision", "note", "materials", "orientations", "items", "parts")
_MATERIAL = ("said as", "thickness", "areal weight", "note")
_NAMED = ("said as",)
_FACE = ("said as", "steps")
_PART = ("said as", "sides", "drawing", "manual", "note", "faces", "features", "stations", "steps")
_TOP_HINTS = {
    "revision": "print revision",
    "aeroplane": "aircraft",
    "airplane": "aircraft",
    "print": "print revision",
}
_PART_HINTS = {
    "side": "sides",
    "face": "faces",
    "feature": "features",
    "station": "stations",
    "step": "steps",
}
_DIMENSIONS = {"thickness": Dimension.LENGTH, "areal weight": Dimension.AREAL_WEIGHT}


def schedule_from_json(raw: Any) -> Schedule:
    """Give the schedule that `Schedule.as_json` wrote; ScheduleError tells what is wrong with `raw`."""
    return read_schedule(tree_of(raw))


def read_schedule(tree: Node) -> Schedule:
    """Give the schedule a tree holds. ScheduleError tells every problem, each with its line."""
    reading = Reading()
    schedule = _schedule(reading, tree)
    if not reading.problems:
        reading.problems += order_problems(schedule)
    if reading.problems:
        raise ScheduleError(reading.problems)
    return schedule


def _schedule(reading: Reading, tree: Node) -> Schedule:
    fields = reading.table(tree, "the schedule", _TOP, _TOP_HINTS)
    for needed in ("aircraft", "print revision", "materials", "parts"):
        if needed not in fields and isinstance(tree, Table | Leaf):
            reading.complain(tree, f"the schedule needs '{needed}:' at the left margin")
    materials = tuple(
        _material(reading, name, table)
        for name, table in _declared(reading, fields.get("materials", NOTHING), "a material", _MATERIAL)
    )
    orientations = _named(reading, fields.get("orientations", NOTHING), "an orientation")
    items = _named(reading, fields.get("items", NOTHING), "an item")
    known = Known([m.name for m in materials], [o.name for o in orientations], [i.name for i in items])
    parts = tuple(
        _part(reading, name, table, known)
        for name, table in _declared(reading, fields.get("parts", NOTHING), "a part", _PART, _PART_HINTS)
    )
    _no_shared_words(reading, fields.get("materials", NOTHING), materials)
    _no_shared_words(reading, fields.get("parts", NOTHING), parts)
    steps = [step for part in parts for step in part.steps]
    return Schedule(
        aircraft=reading.name(fields["aircraft"], "the aircraft") if "aircraft" in fields else "",
        revision=reading.text(fields.get("print revision", NOTHING), "the print revision"),
        materials=materials,
        orientations=_with_used(orientations, [step.orientation for step in steps]),
        items=_with_used(items, [step.item for step in steps]),
        parts=parts,
        note=reading.text(fields.get("note", NOTHING), "the note"),
    )


def _declared(
    reading: Reading, node: Node, what: str, fields: Sequence[str], hints: Mapping[str, str] | None = None
) -> Iterator[tuple[str, dict[str, Node]]]:
    """Names with what is said of each: from "a, b", [a, b] or lines of "name: …"."""
    pairs = node.pairs if isinstance(node, Table) else tuple(_bare(reading, node, what))
    seen: dict[str, str] = {}
    for leaf, value in pairs:
        name = reading.name(leaf, what)
        if name.casefold() in seen:
            reading.complain(leaf, f"'{name}' stands here twice as {what}; keep one")
        elif name:
            seen[name.casefold()] = name
            yield name, reading.table(value, f"{what} ('{name}')", fields, hints or {})


def _bare(reading: Reading, node: Node, what: str) -> Iterator[tuple[Leaf, Node]]:
    if isinstance(node, Items):
        for item in node.items:
            if isinstance(item, Table):
                yield from item.pairs
            else:
                yield from ((Leaf(name, leaf.line), NOTHING) for name, leaf in reading.names(item, what))
    else:
        yield from ((Leaf(name, leaf.line), NOTHING) for name, leaf in reading.names(node, what))


def _said_as(reading: Reading, fields: Mapping[str, Node], name: str) -> tuple[str, ...]:
    return tuple(text for text, _ in reading.names(fields.get("said as", NOTHING), f"how '{name}' is said"))


def _named(reading: Reading, node: Node, what: str) -> tuple[Named, ...]:
    names = tuple(
        Named(name, _said_as(reading, fields, name))
        for name, fields in _declared(reading, node, what, _NAMED)
    )
    _no_shared_words(reading, node, names)
    return names


def _no_shared_words(reading: Reading, node: Node, names: Sequence[Named | Material | Part]) -> None:
    """Two things that are said alike could not be told apart by ear."""
    owner: dict[str, str] = {}
    for named in names:
        for said in dict.fromkeys(text.casefold() for text in (named.name, *named.said_as)):
            other = owner.setdefault(said, named.name)
            if other != named.name:
                reading.complain(node, f"'{other}' and '{named.name}' are both said as '{said}'; change one")


def _with_used(declared: tuple[Named, ...], used: Sequence[str]) -> tuple[Named, ...]:
    have = {named.name for named in declared}
    return declared + tuple(Named(name) for name in dict.fromkeys(used) if name and name not in have)


def _material(reading: Reading, name: str, fields: Mapping[str, Node]) -> Material:
    amounts = {which: _amount(reading, fields, name, which) for which in _DIMENSIONS}
    note = reading.text(fields.get("note", NOTHING), "the note")
    return Material(
        name, _said_as(reading, fields, name), amounts["thickness"], amounts["areal weight"], note
    )


def _amount(reading: Reading, fields: Mapping[str, Node], name: str, which: str) -> Quantity | None:
    node = fields.get(which, NOTHING)
    text = reading.text(node, f"the {which}")
    if not text:
        return None
    try:
        quantity = parse_quantity(text)
    except UnitError as problem:
        reading.complain(node, f"the {which} of {name}: {problem}")
        return None
    if quantity.unit.dimension is _DIMENSIONS[which] and quantity.amount > 0:
        return quantity
    reading.complain(node, f"the {which} of {name} is a {_DIMENSIONS[which].value} above zero, found {text}")
    return None


def _part(reading: Reading, name: str, fields: Mapping[str, Node], known: Known) -> Part:
    faces, nodes = _faces(reading, fields.get("faces", NOTHING))
    features = _named(reading, fields.get("features", NOTHING), "a feature")
    stations = _named(reading, fields.get("stations", NOTHING), "a station")
    here = replace(
        known,
        faces=[face.name for face in faces],
        features=[feature.name for feature in features],
        stations=[station.name for station in stations],
    )
    nodes.append(("", fields.get("steps", NOTHING)))
    read = StepReading(reading, name, here)
    steps = [step for face, node in nodes for step in read.steps(node, face)]
    return Part(
        name=name,
        said_as=_said_as(reading, fields, name),
        sides=tuple(
            side for side, _ in reading.names(fields.get("sides", NOTHING), "the sides", r",|\band\b")
        ),
        faces=faces,
        features=features,
        stations=stations,
        steps=tuple(sorted(steps, key=lambda step: step.line)),
        drawing=reading.text(fields.get("drawing", NOTHING), "the drawing"),
        manual=reading.text(fields.get("manual", NOTHING), "the manual"),
        note=reading.text(fields.get("note", NOTHING), "the note"),
    )


def _sides(reading: Reading, node: Node) -> Iterator[str]:
    for side, leaf in reading.names(node, "the sides", r",|\band\b"):
        if side.casefold() in SIDES:
            yield side.casefold()
        else:
            reading.complain(
                leaf, f"'{side}' is not a side; write 'sides: left and right', or the one there is"
            )


def _faces(reading: Reading, node: Node) -> tuple[tuple[Named, ...], list[tuple[str, Node]]]:
    rows = list(_declared(reading, node, "a face", _FACE))
    faces = tuple(Named(name, _said_as(reading, fields, name)) for name, fields in rows)
    _no_shared_words(reading, node, faces)
    return faces, [(name, fields.get("steps", NOTHING)) for name, fields in rows]
