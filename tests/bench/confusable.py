"""Numbers that are taken for one another (thirteen and thirty, five and nine), each in three phrases."""

from __future__ import annotations

from typing import Any

from plytally.core.numbers import say_cardinal
from plytally.core.numberwords import SOUND_ALIKE

ALIKE = sorted({word for pair in SOUND_ALIKE for word in pair})
VALUES = {say_cardinal(number): number for number in range(100)}


def confusable() -> list[dict[str, Any]]:
    """The phrases in the shape of tests/vectors/phrases.json."""
    return [
        {"say": f"{before} {word} {after}", "makes": "entry", "name": name, "fields": _fields(name, word)}
        for word in ALIKE
        for name, before, after in (
            ("mixed", "mixed", "grams of epoxy"),
            ("drilled", "drilled", "holes in the rudder post"),
            ("measured", "the gap is", "thousandths on the rudder spar"),
        )
    ]


def _fields(name: str, word: str) -> dict[str, Any]:
    amount = str(VALUES[word])
    return {
        "mixed": {"mass": {"amount": amount, "unit": "g"}, "resin": "epoxy"},
        "drilled": {"holes": VALUES[word], "part": "rudder post"},
        "measured": {"quality": "gap", "measure": {"amount": amount, "unit": "mil"}, "part": "rudder spar"},
    }[name]
