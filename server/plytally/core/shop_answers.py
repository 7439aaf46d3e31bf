"""The shop's sums asked in passing: "how thick is ten plies of bid", "what does twenty inches press with".

Short lines, to be heard in gloves. Each says what it was reckoned from, the builder's own figures before the
print's, those before standard ones, and names a standard one as such. The bench cards tell the same with
formula and source; both ask core/shop.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field

from plytally.core.build_up import Ply, fibre_of, material_named
from plytally.core.cards.own import own_ply
from plytally.core.crediting import Dated
from plytally.core.entry import FieldValue
from plytally.core.pot_life import ROOM, USUAL, USUAL_POT, ResinTimes
from plytally.core.printed import printed_in
from plytally.core.quantities import Dimension, Quantity, Ratio, parse_quantity
from plytally.core.schedule import Schedule
from plytally.core.shop.amounts import above_zero, quantity
from plytally.core.shop.atmosphere import standard_pressure
from plytally.core.shop.coupon import plies_for
from plytally.core.shop.cure import time_at
from plytally.core.shop.errors import ShopError
from plytally.core.shop.laminate import GLASS, Cloth, Plies, ply_thickness, wet_out
from plytally.core.shop.resin import batch_with, cup_caution
from plytally.core.shop.sources import MEMORY, TRADE
from plytally.core.shop.vacuum import clamping, most_vacuum, pressing, reachable
from plytally.core.shop.worked import shown
from plytally.core.telling import ago_told

Said = Mapping[str, FieldValue]
Log = Sequence[Dated]


@dataclass(frozen=True)
class Known:
    """What an answer may start from: the print, the log (the first done first), the makers' pot lives.

    `asked_at` is RFC 3339.
    """

    schedule: Schedule
    log: Log
    asked_at: str
    times: ResinTimes = field(default_factory=ResinTimes)


Answered = Callable[[Said, Known], tuple[str, ...]]

STANDARD_CLOTHS: Mapping[str, Quantity] = {
    "bid": parse_quantity("8.8 oz/yd2"),
    "uni": parse_quantity("7 oz/yd2"),
}
"""Dry glass, styles 7725 and 7715, from memory: for a builder whose print does not say."""

SEA = parse_quantity("0 ft")
ONE_FOOT = parse_quantity("1 ft2")
MEASURE = "measure a coupon of your own before you rely on it."
GLOVES = "gloves and fresh air."
DATA_SHEET = "an estimate: the maker's data sheet decides, and a deep cup goes sooner."
DECIDE = "the plans and your inspector decide."


def shop_answer(question: str, said: Said, known: Known) -> tuple[str, ...]:
    """The answer's lines; where the sum is refused, what was wrong and what to do."""
    try:
        return tuple(map(printed_in, SHOP_QUESTIONS[question](said, known)))
    except ShopError as problem:
        return (f"{problem}.",)


def _how_thick(said: Said, known: Known) -> tuple[str, ...]:
    plies, material = _count(said["plies"]), str(said["material"])
    ply = _ply(known, material)
    if ply is None:
        return (_unknown(material),)
    high = quantity(plies * above_zero(ply.thickness, "thickness of a ply", Dimension.LENGTH), "in")
    return (f"{_plies(plies, material)}: {shown(high)}, by {_by(ply)}.", MEASURE)


def _how_many_plies(said: Said, known: Known) -> tuple[str, ...]:
    wanted, (material, why) = _amount(said["measure"]), _material(said, known)
    ply = _ply(known, material)
    if ply is None:
        return (_unknown(material),)
    found = plies_for(wanted, ply.thickness)
    short = found.short_by.value
    over = (
        f"{shown(abs_of(short))} {'short' if short.amount > 0 else 'over'}" if short.amount else "just that"
    )
    return (
        f"for {shown(wanted)}: {_plies(found.plies.value, material)}{why}, {over}, by {_by(ply)}.",
        f"never fewer than the print asks for; {MEASURE}",
    )


def _how_much_resin(said: Said, known: Known) -> tuple[str, ...]:
    plies, material = _count(said["plies"]), str(said["material"])
    area = _amount(said["area"]) if "area" in said else ONE_FOOT
    cloth, source = _cloth(known.schedule, material)
    if cloth is None:
        return (f"I do not know what {material} weighs: give its areal weight on the print.",)
    found = wet_out([Plies(plies, cloth)], area)
    return (
        f"{_plies(plies, material)} on {area}: {shown(found.resin.value)} of resin and hardener to "
        f"wet it out, hand-laid, by {cloth.areal_weight} cloth ({source}).",
        f"nothing is added for cup and brush; {GLOVES}"
        + ("" if "area" in said else " Say the area for more."),
    )


def _most_vacuum(said: Said, known: Known) -> tuple[str, ...]:
    height = _amount(said["elevation"]) if "elevation" in said else SEA
    most = most_vacuum(standard_pressure(height).value)
    where = f"at {height}" if "elevation" in said else "at sea level (say the elevation for yours)"
    return (
        f"{where} a gauge can show {most.shown}, with a perfect pump.",
        "on a standard day; the weather moves it by an inch or so.",
    )


def _vacuum_here(said: Said, known: Known) -> tuple[str, ...]:
    height = _amount(said["elevation"])
    found = reachable(_amount(said["gauge"]), standard_pressure(height).value)
    return (f"at {height} {found.told}.", "on a standard day, with a perfect pump.")


def _presses(said: Said, known: Known) -> tuple[str, ...]:
    gauge, area = _amount(said["gauge"]), _amount(said["area"]) if "area" in said else ONE_FOOT
    pressure, force = pressing(gauge), clamping(gauge, area).force
    return (
        f"{gauge} presses with {pressure.shown}: {force.shown} on {area}.",
        f"a weak core crushes under that; {DECIDE}",
    )


def _pot_life(said: Said, known: Known) -> tuple[str, ...]:
    warm, why = _temperature(said, known)
    resin = _resin_of_the_last_cup(known.log)
    maker, source = known.times.of(resin)
    row, found = maker.rows[0], time_at(maker, warm)
    if maker is USUAL:
        return (
            f"at {warm}{why}: {found.shown}, by a usual {USUAL_POT} at {ROOM} ({TRADE}), for I do not know "
            "your resin's.",
            f"keep your maker's figure from the page Sums; {DATA_SHEET}",
        )
    return (
        f"pot life at {warm}{why}: {found.shown}, by {row.time} at {row.temperature} ({source}).",
        DATA_SHEET,
    )


def _hardener(said: Said, known: Known) -> tuple[str, ...]:
    resin, (ratio, why) = _amount(said["mass"]), _ratio(said, known.log)
    if ratio is None:
        return ("at what ratio? No cup is noted with one; say it: at four to one.",)
    found = batch_with(resin, ratio)
    caution = cup_caution(found.mix.value)
    return (
        f"{resin} of resin at {ratio} by weight{why}: {found.hardener.shown} of hardener, "
        f"{found.mix.shown} in all.",
        *([caution] if caution else []),
        f"the maker's ratio decides; {GLOVES}",
    )


SHOP_QUESTIONS: Mapping[str, Answered] = {
    "how_thick": _how_thick,
    "how_many_plies": _how_many_plies,
    "how_much_resin": _how_much_resin,
    "most_vacuum": _most_vacuum,
    "vacuum_here": _vacuum_here,
    "presses": _presses,
    "pot_life": _pot_life,
    "hardener": _hardener,
}


def abs_of(amount: Quantity) -> Quantity:
    """The amount without its sign."""
    return Quantity(abs(amount.amount), amount.unit)


def _ply(known: Known, material: str) -> Ply | None:
    own = own_ply(known.schedule, known.log, material)
    weight = STANDARD_CLOTHS.get(material.casefold())
    if own or weight is None:
        return own
    worked = ply_thickness(Cloth(material, weight, GLASS))
    return Ply(worked.value, f"a standard cloth of {weight}, {MEMORY}, hand-laid")


def _cloth(schedule: Schedule, material: str) -> tuple[Cloth | None, str]:
    """The dry cloth, and who says what it weighs. Fibre that its name does not tell is glass."""
    known = material_named(schedule, material)
    if known and known.areal_weight:
        return Cloth(material, known.areal_weight, fibre_of(material)), "the print"
    weight = STANDARD_CLOTHS.get(material.casefold())
    return (Cloth(material, weight, GLASS), f"a standard cloth, {MEMORY}") if weight else (None, "")


def _material(said: Said, known: Known) -> tuple[str, str]:
    """The material said, else the one laid last, else the print's first; and why, if it was not said."""
    if "material" in said:
        return str(said["material"]), ""
    last = next(
        (each for each in reversed(known.log) if each.entry.kind == "laid" and not each.withdrawn), None
    )
    if last and "material" in last.entry.fields:
        return str(last.entry.fields["material"]), " (laid last)"
    materials = known.schedule.materials
    return (materials[0].name, " (first on the print)") if materials else ("BID", "")


def _temperature(said: Said, known: Known) -> tuple[Quantity, str]:
    if "temperature" in said:
        return _amount(said["temperature"]), ""
    airs = (each for each in reversed(known.log) if each.entry.kind == "shop_air" and not each.withdrawn)
    last = next((each for each in airs if "temperature" in each.entry.fields), None)
    if last is None:
        return ROOM, " (no shop air is noted)"
    return _amount(
        last.entry.fields["temperature"]
    ), f" (shop air, noted {ago_told(last.when, known.asked_at)} ago)"


def _resin_of_the_last_cup(log: Log) -> str:
    cups = (each for each in reversed(log) if each.entry.kind == "mixed" and not each.withdrawn)
    return next((str(each.entry.fields["resin"]) for each in cups if "resin" in each.entry.fields), "")


def _ratio(said: Said, log: Log) -> tuple[Ratio | None, str]:
    ratio = said.get("ratio")
    if isinstance(ratio, Ratio):
        return ratio, ""
    cups = (each for each in reversed(log) if each.entry.kind == "mixed" and not each.withdrawn)
    last = next((each.entry.fields["ratio"] for each in cups if "ratio" in each.entry.fields), None)
    return (last, " (as last mixed)") if isinstance(last, Ratio) else (None, "")


def _by(ply: Ply) -> str:
    return f"{shown(ply.thickness)} a ply ({ply.source})"


def _plies(count: int, material: str) -> str:
    return f"{count} {'ply' if count == 1 else 'plies'} of {material}"


def _unknown(material: str) -> str:
    return f"I do not know how thick a ply of {material} is: give its thickness or weight on the print."


def _count(value: FieldValue) -> int:
    return value if isinstance(value, int) else 0


def _amount(value: FieldValue) -> Quantity:
    if not isinstance(value, Quantity):
        raise ShopError("what was said", value, "say an amount with its unit")
    return value
