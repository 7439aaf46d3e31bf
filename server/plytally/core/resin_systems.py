"""The resin systems that a print names: pot life, cure and ratio as the makers' sheets give them.

Resin("epoxy", pot=Timed(25 min at 77 degF), cup=100 g, by_weight=100:44, by_volume=2:1)
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plytally.core.entry import Doubt, Entry
from plytally.core.quantities import Quantity, Ratio
from plytally.core.shop.cure import Timed

BY_WEIGHT, BY_VOLUME = "by weight", "by volume"


@dataclass(frozen=True)
class Resin:
    """A resin system. `pot` is for a cup of the mass `cup`, None where the sheet names none.

    `cure` holds at any temperature; `cures` are times at temperatures. Ratios are of resin to hardener.
    """

    name: str
    said_as: tuple[str, ...] = ()
    pot: Timed | None = None
    cup: Quantity | None = None
    cure: Quantity | None = None
    cures: Timed | None = None
    by_weight: Ratio | None = None
    by_volume: Ratio | None = None
    note: str = ""

    @property
    def cure_time(self) -> Quantity | None:
        """How long it cures by its sheet, at the first temperature that this names."""
        return self.cures.rows[0].time if self.cures else self.cure

    @property
    def ratios(self) -> tuple[tuple[Ratio, str], ...]:
        """The ratios that its sheet gives, each with what it is by; that by weight first."""
        both = ((self.by_weight, BY_WEIGHT), (self.by_volume, BY_VOLUME))
        return tuple((ratio, by) for ratio, by in both if ratio is not None)


def written(resin: Resin) -> tuple[tuple[str, str | tuple[str, ...]], ...]:
    """A resin's fields as a schedule's file has them, "" or () for what is not given."""
    return (
        ("said as", resin.said_as),
        ("pot life", _rows(resin.pot)),
        ("cup", str(resin.cup or "")),
        ("cure", _rows(resin.cures) or str(resin.cure or "")),
        ("ratio by weight", str(resin.by_weight or "")),
        ("ratio by volume", str(resin.by_volume or "")),
        ("note", resin.note),
    )


def _rows(timed: Timed | None) -> tuple[str, ...]:
    return tuple(f"{row.time} at {row.temperature}" for row in (timed.rows if timed else ()))


def resin_of(systems: Sequence[Resin], name: str) -> Resin | None:
    """The system of this name; a lone one counts for a cup of which none was named."""
    known = next((each for each in systems if each.name == name), None)
    return known or (systems[0] if len(systems) == 1 and not name else None)


def ratio_doubt(systems: Sequence[Resin], entry: Entry) -> Doubt | None:
    """What to ask about the ratio of a cup: where it is none that the print gives, or the one by volume.

    A cup that is noted by its mass was weighed; a ratio by volume never holds for weights where both are
    given. None where nothing is to be asked.
    """
    ratio = entry.fields.get("ratio")
    system = resin_of(systems, str(entry.fields.get("resin", "")))
    if system is None or not isinstance(ratio, Ratio) or not system.ratios:
        return None
    (first, first_by), *_ = system.ratios
    found = next((by for known, by in system.ratios if alike(known, ratio)), "")
    if found == first_by:
        return None
    for_it = f"the print gives {first} {first_by} for {system.name}"
    why = f"{for_it}; {ratio} is {found}" if found else for_it
    return Doubt("ratio", str(ratio), str(first), why)


def alike(one: Ratio, other: Ratio) -> bool:
    """Whether two ratios come to the same: 4:1 and 100:25."""
    return one.parts[0] * other.parts[1] == other.parts[0] * one.parts[1]
