"""The layup schedule: what the print asks for, per part, face, station and step.

A part is defined once; if it has sides, each of its steps exists once for every side. A step lays plies
or does something else (mount, bond, drill, check). A step without stations covers the whole face; one
with stations is a local reinforcement there, on top of what covers the whole face.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Any

from plytally.core.assemblies import assemblies
from plytally.core.names import Name
from plytally.core.quantities import Quantity
from plytally.core.resin_systems import Resin, written

DO: Mapping[str, str] = {
    "mount": "mounted",
    "fit": "mounted",
    "bond": "bonded",
    "clamp": "clamped",
    "bag": "bagged",
    "cure": "cured",
    "peel": "peeled",
    "trim": "trimmed",
    "sand": "sanded",
    "drill": "drilled",
    "measure": "measured",
    "weigh": "weighed",
    "check": "checked",
}
"""What a step that lays nothing asks for, and the kind of entry that says it was done."""


@dataclass(frozen=True)
class Problem:
    """One thing wrong with a schedule. `line` counts from 1; 0 where there is no file behind it.

    `counted` says what is counted: a "line" of text, or a "row" of a table.
    """

    message: str
    line: int = 0
    counted: str = "line"

    def __str__(self) -> str:
        return f"{self.counted} {self.line}: {self.message}" if self.line else self.message


class ScheduleError(ValueError):
    """A schedule that cannot be used; tells every problem found, in the order of the file."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(sorted(problems, key=lambda problem: problem.line))
        super().__init__("\n".join(map(str, self.problems)))

    @property
    def line(self) -> int:
        """The line of the first problem."""
        return self.problems[0].line if self.problems else 0


@dataclass(frozen=True)
class Material:
    """A cloth the print calls for.

    Thickness is of one finished ply, areal weight of the dry cloth; `cure` is how long what is laid of it
    cures in the resin it is laid with, before it may be worked on.
    """

    name: str
    said_as: tuple[str, ...] = ()
    thickness: Quantity | None = None
    areal_weight: Quantity | None = None
    cure: Quantity | None = None
    note: str = ""


@dataclass(frozen=True)
class Alternate:
    """A material that may be laid in place of the one asked for, and the builder's reason."""

    material: str
    because: str


@dataclass(frozen=True)
class Step:
    """One step of the print for one side: plies to lay, or something else to do.

    `stations` is empty for a layer over the whole face; otherwise the step asks for its plies at each
    of them. `after` are the steps it needs done first; `disturbs` are steps that it would spoil if they
    were done before it. `line` is where the print's file says so, and does not count in comparing.
    """

    id: str
    part: str
    side: str = ""
    face: str = ""
    feature: str = ""
    stations: tuple[str, ...] = ()
    plies: int = 0
    material: str = ""
    orientation: str = ""
    do: str = ""
    item: str = ""
    after: tuple[str, ...] = ()
    disturbs: tuple[str, ...] = ()
    instead: tuple[Alternate, ...] = ()
    drawing: str = ""
    manual: str = ""
    revision: str = ""
    note: str = ""
    line: int = field(default=0, compare=False)

    @property
    def is_layup(self) -> bool:
        """Whether the step lays plies."""
        return self.plies > 0

    def allows(self, material: str) -> bool:
        """Whether the print accepts this material here: the one it asks for or an alternate."""
        return material == self.material or any(material == other.material for other in self.instead)

    def __str__(self) -> str:
        return f"{self.side} {self.id}".strip()


@dataclass(frozen=True)
class Part:
    """One part, defined once for all its sides, with the builder's own names for where on it.

    `steps` are as written, with no side; `Schedule.steps` has them for each side.
    """

    name: str
    said_as: tuple[str, ...] = ()
    sides: tuple[str, ...] = ()
    faces: tuple[Name, ...] = ()
    features: tuple[Name, ...] = ()
    stations: tuple[Name, ...] = ()
    steps: tuple[Step, ...] = ()
    drawing: str = ""
    manual: str = ""
    note: str = ""


@dataclass(frozen=True)
class Schedule:
    """The whole print. `orientations` and `items` hold every one that a step names."""

    aircraft: str
    revision: str
    materials: tuple[Material, ...] = ()
    orientations: tuple[Name, ...] = ()
    items: tuple[Name, ...] = ()
    parts: tuple[Part, ...] = ()
    note: str = ""
    resins: tuple[Resin, ...] = ()

    @cached_property
    def steps(self) -> tuple[Step, ...]:
        """Every step, once for each side of its part, in the order of the print."""
        return tuple(
            replace(step, side=side)
            for part in self.parts
            for side in part.sides or ("",)
            for step in part.steps
        )

    @cached_property
    def _by_name(self) -> Mapping[str, Part]:
        return {part.name: part for part in self.parts}

    @cached_property
    def _by_id(self) -> Mapping[str, Mapping[str, Step]]:
        by_id: dict[str, dict[str, Step]] = {}
        for step in self.steps:
            by_id.setdefault(step.id, {})[step.side] = step
        return by_id

    def part(self, name: str) -> Part | None:
        """Give the part with exactly this name, None if the print has none."""
        return self._by_name.get(name)

    @cached_property
    def assemblies(self) -> Mapping[str, tuple[str, ...]]:
        """What several parts make together, by the name that they share: "elevator" for all its parts."""
        return assemblies(tuple(self._by_name))

    def takes_in(self, asked: str, part: str) -> bool:
        """Whether a part or assembly is what was asked about, or a part of it; "" asks about everything."""
        return asked in ("", part) or part in self.assemblies.get(asked, ())

    def with_id(self, step_id: str, side: str = "") -> tuple[Step, ...]:
        """Give the step with this id on this side; on every side it has, where it has not this one."""
        sides = self._by_id.get(step_id, {})
        return (sides[side],) if side in sides else tuple(sides.values())

    def needed_by(self, step: Step) -> tuple[Step, ...]:
        """The steps that must be done before this one: same side where they have it, else all sides."""
        return tuple(before for step_id in step.after for before in self.with_id(step_id, step.side))

    def disturbed_by(self, step: Step) -> tuple[Step, ...]:
        """The steps which this one would spoil if they were done already."""
        return tuple(spoilt for step_id in step.disturbs for spoilt in self.with_id(step_id, step.side))

    def as_json(self) -> dict[str, Any]:
        """The print as plain JSON values in the shape of its file; `schedule_from_json` reads it back."""
        return _lean(
            {
                "aircraft": self.aircraft,
                "print revision": self.revision,
                "note": self.note,
                "materials": {material.name: _material_json(material) for material in self.materials},
                "resins": {resin.name: _resin_json(resin) for resin in self.resins},
                "orientations": _named_json(self.orientations),
                "items": _named_json(self.items),
                "parts": {part.name: _part_json(part) for part in self.parts},
            }
        )


def _lean(full: dict[str, Any]) -> dict[str, Any]:
    return {name: value for name, value in full.items() if value or value == 0}


def _named_json(names: tuple[Name, ...]) -> dict[str, Any]:
    return {named.name: _lean({"said as": list(named.said_as)}) for named in names}


def _material_json(material: Material) -> dict[str, Any]:
    return _lean(
        {
            "said as": list(material.said_as),
            "thickness": str(material.thickness or ""),
            "areal weight": str(material.areal_weight or ""),
            "cure": str(material.cure or ""),
            "note": material.note,
        }
    )


def _resin_json(resin: Resin) -> dict[str, Any]:
    return _lean({name: list(text) if isinstance(text, tuple) else text for name, text in written(resin)})


def _part_json(part: Part) -> dict[str, Any]:
    return _lean(
        {
            "said as": list(part.said_as),
            "sides": list(part.sides),
            "drawing": part.drawing,
            "manual": part.manual,
            "note": part.note,
            "faces": _named_json(part.faces),
            "features": _named_json(part.features),
            "stations": _named_json(part.stations),
            "steps": [_step_json(step) for step in part.steps],
        }
    )


def _step_json(step: Step) -> dict[str, Any]:
    return _lean(
        {
            "step": step.id,
            "plies": str(step.plies or ""),
            "at": list(step.stations),
            "after": list(step.after),
            "disturbs": list(step.disturbs),
            "instead": [{"material": other.material, "because": other.because} for other in step.instead],
        }
        | {name: getattr(step, name) for name in _AS_WRITTEN}
    )


_AS_WRITTEN = (
    "face",
    "feature",
    "material",
    "orientation",
    "do",
    "item",
    "drawing",
    "manual",
    "revision",
    "note",
)
