"""The builder's own figures, from which sums and questions start: cloths, and thickness of a ply.

A thickness that was measured and kept counts before the one on the print, that before one worked out from the
cloth's weight. Each comes with where it is from, so that nobody takes a guess for a measurement.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from plytally.core.build_up import Ply, material_named, ply_of
from plytally.core.cards.laying import PLY_THICKNESS
from plytally.core.crediting import Dated
from plytally.core.quantities import Quantity
from plytally.core.schedule import Schedule
from plytally.core.telling import day_told


def own_ply(schedule: Schedule, log: Sequence[Dated], material: str) -> Ply | None:
    """How thick a ply of a material is here, and by what; None where nothing says so."""
    for dated in _kept(log, PLY_THICKNESS):
        thick, of = dated.entry.fields.get("measure"), str(dated.entry.fields.get("material", ""))
        if of.casefold() == material.casefold() and isinstance(thick, Quantity):
            return Ply(thick, f"your own, measured and kept on {day_told(dated.when)}")
    return ply_of(material_named(schedule, material))


def cloths(schedule: Schedule, log: Sequence[Dated]) -> list[dict[str, Any]]:
    """The print's cloths with what is known of each, for a page to fill in by one touch."""
    found = []
    for material in schedule.materials:
        ply = own_ply(schedule, log, material.name)
        if ply or material.areal_weight:
            found.append(
                {
                    "name": material.name,
                    "weight": str(material.areal_weight) if material.areal_weight else "",
                    "ply": str(ply.thickness) if ply else "",
                    "source": ply.source if ply else "",
                }
            )
    return found


def places(schedule: Schedule) -> list[dict[str, str]]:
    """Every part of the print on each of its sides."""
    return [
        {"part": part.name, "side": side} if side else {"part": part.name}
        for part in schedule.parts
        for side in part.sides or ("",)
    ]


def _kept(log: Sequence[Dated], quality: str) -> Iterator[Dated]:
    """Sums of one kind that were kept and stand, the newest first."""
    for dated in reversed(log):
        entry, stands = dated.entry, not (dated.withdrawn or dated.in_doubt)
        if stands and entry.kind == "worked" and entry.fields.get("quality") == quality:
            yield dated
