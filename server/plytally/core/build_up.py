"""How far plies raise a surface, and what that does to a thing that is fitted there already.

"10 BID go under the hinge that is mounted: the surface rises 0.096 in (2.438 mm), flush is lost by that much;
lay first, or build up the other side by 10 plies of BID"
"""

from __future__ import annotations

from dataclasses import dataclass

from plytally.core.quantities import Dimension, Quantity
from plytally.core.schedule import Material, Schedule, Step
from plytally.core.shop.amounts import above_zero, quantity
from plytally.core.shop.coupon import plies_for
from plytally.core.shop.laminate import FIBRE_DENSITIES, GLASS, HAND, Cloth, ply_thickness
from plytally.core.shop.sources import OURS
from plytally.core.shop.worked import Formula, Value, Worked, shown

SITS_ON = frozenset({"mount", "fit", "clamp", "bond"})
"""What a step can do that leaves a thing sitting on the surface."""

RISE = Formula(
    "rise of the surface",
    "h = n · thickness per ply",
    OURS,
    "By the print's thickness of a ply, or the cloth's weight: measure the step before you rely on it.",
)
_DONE = {"mount": "is mounted", "fit": "is fitted", "clamp": "is clamped", "bond": "is bonded"}


@dataclass(frozen=True)
class Ply:
    """The thickness of one finished ply of a material, and where the figure is from."""

    thickness: Quantity
    source: str


def ply_of(material: Material | None) -> Ply | None:
    """Give the thickness of a ply: as the print has it, else from the areal weight, hand-laid; else None.

    Fibre that the material's name does not tell is taken as E-glass.
    """
    if material is None:
        return None
    if material.thickness:
        return Ply(material.thickness, "the print")
    if material.areal_weight is None:
        return None
    cloth = Cloth(material.name, material.areal_weight, fibre_of(material.name))
    worked = ply_thickness(cloth, HAND)
    return Ply(worked.value, worked.source)


def fibre_of(material: str) -> Quantity:
    """The density of the fibre that a material's name tells; E-glass where it tells none."""
    named = (density for name, (density, _) in FIBRE_DENSITIES.items() if name in material.casefold())
    return next(named, GLASS)


def rise(plies: int, material: Material | None) -> Worked[Quantity] | None:
    """How far plies raise the surface, in inches; None where the print does not say how thick they are."""
    ply = ply_of(material)
    if ply is None or plies < 1:
        return None
    high = plies * above_zero(ply.thickness, "thickness per ply", Dimension.LENGTH)
    told: dict[str, Value] = {"plies": plies, "thickness per ply": ply.thickness}
    return RISE.gives(quantity(high, "in"), told, source=ply.source)


def raised_told(schedule: Schedule, layup: Step, fitted: Step, plies: int = 0, material: str = "") -> str:
    """Give what a step's plies do to a thing that sits on them already; "" where none does.

    `plies` and `material` are those of the step unless others are given.
    """
    if not goes_under(layup, fitted):
        return ""
    plies, name = plies or layup.plies, material or layup.material
    thing = f"the {fitted.item or fitted.part} that {_DONE[fitted.do]}"
    told = f"{plies} {name} {'goes' if plies == 1 else 'go'} under {thing}"
    cloth = material_named(schedule, name)
    ply, high = ply_of(cloth), rise(plies, cloth)
    if ply is None or high is None:
        return f"{told}: the print does not say how thick a ply of {name} is, so the rise is not known"
    number = plies_for(high.value, ply.thickness).plies.value
    up = f"{number} {'ply' if number == 1 else 'plies'} of {name}"
    lost = f"the surface rises {shown(high.value)}, flush is lost by that much"
    return f"{told}: {lost}; lay first, or build up the other side by {up}"


def goes_under(layup: Step, fitted: Step) -> bool:
    """Whether plies of a step lie where another leaves a thing sitting, by its own word or by its place."""
    same = layup.is_layup and (layup.part, layup.side) == (fitted.part, fitted.side)
    return same and fitted.do in SITS_ON and (fitted.id in layup.disturbs or lies_at(layup, fitted))


def lies_at(layup: Step, other: Step) -> bool:
    """Whether plies lie where another step of the same part is done, as far as the print says where."""
    if any(
        one and two and one != two for one, two in ((layup.face, other.face), (layup.feature, other.feature))
    ):
        return False
    if layup.stations and other.stations:
        return not set(layup.stations).isdisjoint(other.stations)
    return bool(other.face) or not (layup.stations or other.stations or layup.face)


def material_named(schedule: Schedule, name: str) -> Material | None:
    """Give a material of the print by its name, in whatever capitals."""
    return next((each for each in schedule.materials if each.name.casefold() == name.casefold()), None)
