"""The builder's own list of resin and cloth in stock, and the log held against it.

It is a small document of the builder's (see docs/record.md): what was bought, which batch, until when it is
good, and the area of one ply on a face. What it does not say is told as missing, never guessed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from plytally.core.entry import Place
from plytally.core.quantities import Dimension, Quantity, UnitError, parse_quantity
from plytally.core.shop.amounts import quantity

ITEM_PARTS = ("name", "batch", "amount", "expires", "note")
LISTS = ("resin", "cloth", "face areas")


class StockError(ValueError):
    """A stock list that cannot be used; tells every problem found, one a line."""

    def __init__(self, problems: list[str]) -> None:
        super().__init__("\n".join(problems))
        self.problems = tuple(problems)


@dataclass(frozen=True)
class Item:
    """Resin (a mass) or cloth (an area) of one batch; `expires` is the last good day, "" where not given."""

    name: str
    batch: str
    amount: Quantity
    expires: str = ""
    note: str = ""


@dataclass(frozen=True)
class Stock:
    """Everything on the list; `areas` has the area of one ply by part and place on it ("fore, hinge 1")."""

    resin: tuple[Item, ...] = ()
    cloth: tuple[Item, ...] = ()
    areas: Mapping[tuple[str, str], Quantity] | None = None

    def area(self, place: Place) -> Quantity | None:
        """The area of one ply at a place of a part, None where the list does not say."""
        on = ", ".join(filter(None, (place.face, place.feature, place.station)))
        return (self.areas or {}).get((place.part, on))


def stock_from_json(raw: Any) -> Stock:
    """The list as read from YAML or JSON; StockError tells all that is wrong with it."""
    problems = list[str]()
    if not isinstance(raw, Mapping):
        raise StockError([f"a stock list has {', '.join(LISTS)}; found {type(raw).__name__}"])
    strange = [name for name in raw if name not in LISTS]
    problems += (f"'{name}' is not a part of a stock list; its parts: {', '.join(LISTS)}" for name in strange)
    resin = list(_items(raw.get("resin"), "resin", Dimension.MASS, problems))
    cloth = list(_items(raw.get("cloth"), "cloth", Dimension.AREA, problems))
    areas = dict(_areas(raw.get("face areas"), problems))
    if problems:
        raise StockError(problems)
    return Stock(tuple(resin), tuple(cloth), areas)


def _items(raw: Any, kind: str, dimension: Dimension, problems: list[str]) -> Iterator[Item]:
    if raw is None:
        return
    if not isinstance(raw, list):
        problems.append(f"'{kind}' must be a list, found {type(raw).__name__}")
        return
    for number, row in enumerate(raw, 1):
        where = f"{kind} {number}"
        if not isinstance(row, Mapping):
            problems.append(f"{where}: wanted {', '.join(ITEM_PARTS)}, found {type(row).__name__}")
            continue
        strange = [str(name) for name in row if name not in ITEM_PARTS]
        problems += (f"{where}: '{name}' is not known; wanted {', '.join(ITEM_PARTS)}" for name in strange)
        name, amount = str(row.get("name") or ""), _quantity(row.get("amount"), dimension, where, problems)
        expires = _day(row.get("expires"), where, problems)
        if not name:
            problems.append(f"{where}: 'name' is missing")
        if amount is not None:
            yield Item(name, str(row.get("batch") or ""), amount, expires, str(row.get("note") or ""))


def _areas(raw: Any, problems: list[str]) -> Iterator[tuple[tuple[str, str], Quantity]]:
    for part, faces in raw.items() if isinstance(raw, Mapping) else ():
        if not isinstance(faces, Mapping):
            problems.append(f"face areas, {part}: wanted face: area, found {type(faces).__name__}")
            continue
        for face, text in faces.items():
            area = _quantity(text, Dimension.AREA, f"face areas, {part}, {face}", problems)
            if area is not None:
                yield (str(part), str(face)), area
    if raw is not None and not isinstance(raw, Mapping):
        problems.append(f"'face areas' must name parts, found {type(raw).__name__}")


def _quantity(raw: Any, dimension: Dimension, where: str, problems: list[str]) -> Quantity | None:
    try:
        found = parse_quantity(str(raw if raw is not None else ""))
    except UnitError as problem:
        problems.append(f"{where}: {problem}")
        return None
    if found.unit.dimension is not dimension or found.amount <= 0:
        problems.append(f"{where}: wanted a {dimension.value} above zero, found {found}")
        return None
    return found


def _day(raw: Any, where: str, problems: list[str]) -> str:
    if raw in (None, ""):
        return ""
    try:
        return date.fromisoformat(str(raw)).isoformat()
    except ValueError:
        problems.append(f"{where}: 'expires' must be a day such as 2026-09-30, found {str(raw)!r}")
        return ""


def added(quantities: list[Quantity], unit: str) -> Quantity:
    """The sum of some quantities of one dimension, in a unit of it."""
    return quantity(sum((each.si() for each in quantities), Fraction(0)), unit)
