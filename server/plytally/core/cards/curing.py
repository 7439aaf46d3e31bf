"""Cards about time: pot life and cure by temperature, and the clock of a pot or a cure."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from plytally.core.cards.card import Ask, Asks, Card, Holds, Told
from plytally.core.quantities import Dimension, Quantity
from plytally.core.shop.cure import PER, At, RateLaw, Timed
from plytally.core.shop.cure import time_at as at_temperature
from plytally.core.shop.cure_clock import Reading, run_clock

POT_LIFE = "pot life"
"""What a kept card calls the maker's time of a resin, so that later questions find it."""

MakerRows = tuple[tuple[Quantity, Quantity], ...]


def _timed(rows: MakerRows, what: str, factor: Decimal, per: Quantity) -> Timed:
    return Timed(tuple(At(*row) for row in rows), RateLaw(factor, per), what)


def time_at(temperature: Quantity, maker: MakerRows, what: str, factor: Decimal, per: Quantity) -> Told:
    """Pot life, gel or cure at a temperature."""
    return [at_temperature(_timed(maker, what, factor, per), temperature)]


def keeps_time_at(maker: MakerRows, what: str, **_rest: Any) -> Mapping[str, Any]:
    """The maker's pot life, for later questions to start from."""
    (temperature, time), *_ = maker
    return {"quality": what, "temperature": temperature, "duration": time} if what == POT_LIFE else {}


def clock(
    now: Quantity,
    reading: tuple[tuple[Quantity, Quantity], ...],
    stops_below: Quantity | None,
    maker: MakerRows,
    what: str,
    factor: Decimal,
    per: Quantity,
) -> Told:
    """How far a pot or a cure has come, by the temperatures logged on the way."""
    track = [Reading(*each) for each in reading]
    return [run_clock(_timed(maker, what, factor, per), track, now, stops_below)]


_MAKER = (
    Asks(
        "maker",
        "By the maker",
        (
            Ask("temperature", "At", Dimension.TEMPERATURE, needed=True),
            Ask("time", "It takes", Dimension.TIME, needed=True),
        ),
        "The maker's time at a temperature; again for each row, coldest first.",
        most=8,
        needed=True,
    ),
    Ask("what", "What it is (pot life, cure, gel …)", Holds.NAME, "", usual=POT_LIFE),
    Ask(
        "factor", "Rate factor", Holds.NUMBER, "So many times faster for each warming.", usual="2", rare=True
    ),
    Ask("per", "For each warming of", Dimension.TEMPERATURE, "As a difference.", usual=str(PER), rare=True),
)

CURING = (
    Card(
        "time-at",
        "Pot life or cure when it is warm",
        "Resin",
        "Pot life, gel or cure at a temperature.",
        'time-at "90 degF" --maker "72 degF" "30 min"',
        (
            Ask("temperature", "Temperature now", Dimension.TEMPERATURE, needed=True, first=True),
            *_MAKER,
        ),
        time_at,
        keeps_time_at,
    ),
    Card(
        "clock",
        "How far a cure has come",
        "Resin",
        "How far a pot or a cure has come some time after mixing, by the temperatures logged on the way.",
        'clock "6 h" --what cure --maker "77 degF" "24 h" --reading "0 h" "70 degF"',
        (
            Ask(
                "now",
                "Time since mixing",
                Dimension.TIME,
                units=("h", "min", "day"),
                needed=True,
                first=True,
            ),
            Asks(
                "reading",
                "Temperatures on the way",
                (
                    Ask("after", "After", Dimension.TIME, units=("h", "min", "day"), needed=True),
                    Ask("temperature", "It was", Dimension.TEMPERATURE, needed=True),
                ),
                most=24,
                shown=2,
                needed=True,
            ),
            Ask(
                "stops_below",
                "Stands still below",
                Dimension.TEMPERATURE,
                "The maker's lowest temperature of cure.",
                rare=True,
            ),
            *_MAKER,
        ),
        clock,
    ),
)
