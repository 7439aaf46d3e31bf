"""The resin systems of a schedule's file to values, each mistake with its line.

epoxy: {pot life: 25 min at 77 degF, cup: 100 g, cure: 24 h at 77 degF, ratio by weight: 100 to 44}
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from plytally.core.numbers import read_ratio
from plytally.core.quantities import Dimension, Ratio
from plytally.core.resin_systems import Resin
from plytally.core.schedule_amounts import amount, level
from plytally.core.schedule_names import NAMED, declared, said_as
from plytally.core.shop.cure import At, Timed
from plytally.core.shop.errors import ShopError
from plytally.core.tree import NOTHING, Items, Leaf, Node, Reading

RATIOS = ("ratio by weight", "ratio by volume")
RESIN = (*NAMED, "pot life", "cup", "cure", *RATIOS, "note")
_HINTS = {"ratio": "ratio by weight", "mass": "cup", "pot": "pot life", "potlife": "pot life"}
AT = " at "

Fields = Mapping[str, Node]


def resins(reading: Reading, node: Node) -> Iterator[Resin]:
    """Give the resin systems of a list; what is wrong with them stands in `reading`."""
    for leaf, fields in declared(reading, node, "a resin", RESIN, _HINTS):
        name = leaf.text
        cures = fields.get("cure", NOTHING)
        plain = isinstance(cures, Leaf) and bool(cures.text) and AT not in cures.text
        yield Resin(
            name=name,
            said_as=said_as(reading, fields, name),
            pot=_timed(reading, fields.get("pot life", NOTHING), name, "pot life"),
            cup=amount(reading, fields.get("cup", NOTHING), f"the cup of {name}", Dimension.MASS),
            cure=amount(reading, cures, f"the cure of {name}", Dimension.TIME) if plain else None,
            cures=None if plain else _timed(reading, cures, name, "cure"),
            by_weight=_ratio(reading, fields.get(RATIOS[0], NOTHING), name, RATIOS[0]),
            by_volume=_ratio(reading, fields.get(RATIOS[1], NOTHING), name, RATIOS[1]),
            note=reading.text(fields.get("note", NOTHING), "'note'"),
        )


def _timed(reading: Reading, node: Node, name: str, which: str) -> Timed | None:
    """Rows "25 min at 77 degF", as a list or parted by commas, the coldest first."""
    leaves = [Leaf(text.strip(), leaf.line) for leaf in _leaves(node) for text in leaf.text.split(",")]
    found = [_row(reading, leaf, f"the {which} of {name}") for leaf in leaves if leaf.text]
    rows = [row for row in found if row]
    if not rows or len(rows) < len(found):
        if not found and node != NOTHING and not isinstance(node, Leaf):
            reading.complain(node, f"the {which} of {name} is written like '25 min at 77 degF'")
        return None
    try:
        timed = Timed(tuple(rows), what=which)
        _ = timed.knots
    except ShopError as problem:
        reading.complain(node, f"the {which} of {name}: {problem}")
        return None
    return timed


def _leaves(node: Node) -> tuple[Leaf, ...]:
    items = node.items if isinstance(node, Items) else (node,)
    return tuple(item for item in items if isinstance(item, Leaf))


def _row(reading: Reading, leaf: Leaf, what: str) -> At | None:
    time, at, temperature = leaf.text.partition(AT)
    if not at:
        reading.complain(leaf, f"{what} needs its temperature, like '25 min at 77 degF', found '{leaf.text}'")
        return None
    lasts = amount(reading, Leaf(time.strip(), leaf.line), what, Dimension.TIME)
    warm = level(reading, Leaf(temperature.strip(), leaf.line), what, Dimension.TEMPERATURE)
    return At(warm, lasts) if lasts and warm else None


def _ratio(reading: Reading, node: Node, name: str, which: str) -> Ratio | None:
    text = reading.text(node, f"'{which}'")
    if not text:
        return None
    words = tuple(text.lower().replace(":", " to ").split())
    found = read_ratio(words, 0)
    if found is None or found[1] != len(words):
        reading.complain(node, f"the {which} of {name} is written like '100 to 44' or '4:1', found '{text}'")
        return None
    return found[0]
