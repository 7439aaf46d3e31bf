"""A located tree to a Schedule, with every problem of the file told at once.

Names are matched without regard to capitals, and the spelling where they are declared is the one kept.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from plytally.core.names import Name
from plytally.core.quantities import Dimension, Quantity
from plytally.core.schedule import Material, Part, Schedule, ScheduleError, Step
from plytally.core.schedule_amounts import amount
from plytally.core.schedule_names import NAMED, declared, named, said_as
from plytally.core.schedule_order import order_problems
from plytally.core.schedule_resins import resins
from plytally.core.schedule_steps import Known, StepReading
from plytally.core.tree import NOTHING, Node, Reading, tree_of

SIDES = ("left", "right")
_TOP = ("aircraft", "print revision", "note", "materials", "resins", "orientations", "items", "parts")
_NEEDED = ("aircraft", "print revision", "materials", "parts")
_MATERIAL = (*NAMED, "thickness", "areal weight", "cure", "note")
_FACE = (*NAMED, "steps")
_PART = (*NAMED, "sides", "drawing", "manual", "note", "faces", "features", "stations", "steps")
_TOP_HINTS = {
    "revision": "print revision",
    "print": "print revision",
    "aeroplane": "aircraft",
    "airplane": "aircraft",
}
_PART_HINTS = {name.removesuffix("s"): name for name in ("sides", "faces", "features", "stations", "steps")}

Fields = Mapping[str, Node]


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
    if not reading.problems or fields:
        for needed in _NEEDED:
            if _is_empty(fields.get(needed, NOTHING)):
                where = "filled in: nothing stands behind it" if needed in fields else "at the left margin"
                reading.complain(fields.get(needed, tree), f"the schedule needs '{needed}:' {where}")
    orientations = named(reading, fields.get("orientations", NOTHING), "an orientation")
    items = named(reading, fields.get("items", NOTHING), "an item")
    materials = tuple(_materials(reading, fields.get("materials", NOTHING)))
    known = Known(_names(materials), _names(orientations), _names(items))
    parts = tuple(_parts(reading, fields.get("parts", NOTHING), known))
    steps = [step for part in parts for step in part.steps]
    return Schedule(
        aircraft=_text(reading, fields, "aircraft"),
        revision=_text(reading, fields, "print revision"),
        materials=materials,
        orientations=_with_used(orientations, [step.orientation for step in steps]),
        items=_with_used(items, [step.item for step in steps]),
        parts=parts,
        note=_text(reading, fields, "note"),
        resins=tuple(resins(reading, fields.get("resins", NOTHING))),
    )


def _materials(reading: Reading, node: Node) -> Iterator[Material]:
    for leaf, fields in declared(reading, node, "a material", _MATERIAL):
        yield _material(reading, leaf.text, fields)


def _material(reading: Reading, name: str, fields: Fields) -> Material:
    def given(which: str, dimension: Dimension) -> Quantity | None:
        return amount(reading, fields.get(which, NOTHING), f"the {which} of {name}", dimension)

    return Material(
        name=name,
        said_as=said_as(reading, fields, name),
        thickness=given("thickness", Dimension.LENGTH),
        areal_weight=given("areal weight", Dimension.AREAL_WEIGHT),
        cure=given("cure", Dimension.TIME),
        note=_text(reading, fields, "note"),
    )


def _parts(reading: Reading, node: Node, known: Known) -> Iterator[Part]:
    for leaf, fields in declared(reading, node, "a part", _PART, _PART_HINTS):
        yield _part(reading, leaf.text, fields, known)


def _part(reading: Reading, name: str, fields: Fields, known: Known) -> Part:
    rows = declared(reading, fields.get("faces", NOTHING), "a face", _FACE, _PART_HINTS)
    faces = tuple(Name(leaf.text, said_as(reading, table, leaf.text)) for leaf, table in rows)
    features = named(reading, fields.get("features", NOTHING), "a feature")
    stations = named(reading, fields.get("stations", NOTHING), "a station")
    here = replace(known, faces=_names(faces), features=_names(features), stations=_names(stations))
    read = StepReading(reading, name, here)
    steps: list[Step] = []
    for face, table in (*((leaf.text, table) for leaf, table in rows), ("", fields)):
        steps += read.steps(table.get("steps", NOTHING), face)
    return Part(
        name=name,
        said_as=said_as(reading, fields, name),
        sides=tuple(_sides(reading, fields.get("sides", NOTHING))),
        faces=faces,
        features=features,
        stations=stations,
        steps=tuple(sorted(steps, key=lambda step: step.line)),
        drawing=_text(reading, fields, "drawing"),
        manual=_text(reading, fields, "manual"),
        note=_text(reading, fields, "note"),
    )


def _sides(reading: Reading, node: Node) -> Iterator[str]:
    for side, leaf in reading.names(node, "the sides", r",|\band\b"):
        if side.casefold() in SIDES:
            yield side.casefold()
        else:
            reading.complain(leaf, f"'{side}' is no side; write 'left and right', or the one there is")


def _text(reading: Reading, fields: Fields, name: str) -> str:
    return reading.text(fields.get(name, NOTHING), f"'{name}'")


def _is_empty(node: Node) -> bool:
    return not (getattr(node, "text", "") or getattr(node, "items", ()) or getattr(node, "pairs", ()))


def _names(declared_: tuple[Name, ...] | tuple[Material, ...]) -> tuple[str, ...]:
    return tuple(each.name for each in declared_)


def _with_used(names: tuple[Name, ...], used: list[str]) -> tuple[Name, ...]:
    have = set(_names(names))
    return names + tuple(Name(name) for name in dict.fromkeys(used) if name and name not in have)
