"""Cards about a vacuum bag: the drop test, and the curves of pumping down and holding."""

from __future__ import annotations

from fractions import Fraction

from plytally.core.cards.air import AIR_ASKS, PUMP_LEAVES, here
from plytally.core.cards.card import Ask, Asks, Card, CardError, Curve, Holds, Line, Told
from plytally.core.quantities import Dimension, Quantity
from plytally.core.shop.amounts import quantity
from plytally.core.shop.bag_curve import CurvePoint, Pump
from plytally.core.shop.bag_curve import hold as held
from plytally.core.shop.bag_curve import pump_down as pumped
from plytally.core.shop.leak import LEAK_LIMITS, DropTest, GaugeReading, LeakLimit
from plytally.core.shop.leak import drop_test as tested
from plytally.core.shop.vacuum import PERFECT

Readings = tuple[tuple[Quantity, Quantity], ...]

_POINTS = 40
_CURVE_POINTS = Ask("points", "Points of the curve", Holds.COUNT, usual="10", unasked=str(_POINTS))


def drop_test(reading: Readings, limit: str | None, own: tuple[Quantity, Quantity] | None) -> Told:
    """A bag's drop test held against a limit that the builder chooses.

    CardError unless just one limit is given, a published one or `own` (so much pressure, in so long).
    """
    if bool(limit) is bool(own):
        offered = "; ".join(f"{name}: {published}" for name, published in LEAK_LIMITS.items())
        raise CardError("", f"choose one limit, a published one or your own. Published: {offered}")
    chosen = LeakLimit("own", *own, "the builder's own limit") if own else LEAK_LIMITS[str(limit)]
    found = tested([GaugeReading(*each) for each in reading], chosen)
    return [f"the bag {'PASSES' if found.passes else 'FAILS'}: {chosen}", found, _drawn(reading, found)]


def pump_down(
    wanted: Quantity,
    bag: Quantity,
    pump: Quantity,
    pump_leaves: Quantity,
    loss: Quantity,
    elevation: Quantity,
    altimeter: Quantity | None,
    points: int,
) -> Told:
    """How a bag pumps down, and when it reaches a vacuum."""
    around = here(elevation, altimeter)
    found = pumped(bag, Pump(pump, pump_leaves), around.value, wanted, loss, points)
    return [_curve(found.points, wanted), found]


def hold(start: Quantity, loss: Quantity, wanted: Quantity, points: int) -> Told:
    """How a bag holds once the pump is off."""
    found = held(start, loss, wanted, points)
    return [_curve(found.points, wanted), found]


def _drawn(reading: Readings, found: DropTest) -> Curve:
    """The readings, the limit from the first of them, and how a leak like this one goes on."""
    (begun, first), (ended, last) = reading[0], reading[-1]
    lines = [Line("read off the gauge", "read", tuple(CurvePoint(*each) for each in reading))]
    limit = found.limit
    share = (ended.si() - begun.si()) / limit.over.si()
    allowed = first.si() - limit.drop.si() * share
    lines.append(
        Line(
            "the limit, lost evenly",
            "limit",
            (CurvePoint(begun, first), CurvePoint(ended, _like(max(allowed, Fraction(0)), first))),
        )
    )
    if found.rate.value.amount > 0 and last.si() > 0 and last.si() < first.si():
        falls = held(first, found.rate.value, last, _POINTS).points
        lines.append(Line("a leak that slows with the vacuum", "reckoned", _later(falls, begun)))
    return Curve(tuple(lines))


def _later(points: tuple[CurvePoint, ...], begun: Quantity) -> tuple[CurvePoint, ...]:
    shift = begun.to("min").amount
    return tuple(
        CurvePoint(Quantity(point.after.amount + shift, point.after.unit), point.gauge) for point in points
    )


def _like(pascals: Fraction, gauge: Quantity) -> Quantity:
    return quantity(pascals, gauge.unit.symbol)


def _volume(name: str, label: str, help_: str) -> Ask:
    return Ask(name, label, Dimension.VOLUME, help_, units=("L", "gal", "mL"), needed=True)


def _curve(points: tuple[CurvePoint, ...], wanted: Quantity) -> Curve:
    """The gauge as it is reckoned, and the vacuum that is wanted, level from end to end."""
    level = (CurvePoint(points[0].after, wanted), CurvePoint(points[-1].after, wanted))
    return Curve((Line("the gauge", "reckoned", points), Line(f"{wanted} wanted", "limit", level)))


BAGGING = (
    Card(
        "drop-test",
        "Drop test of a bag",
        "Vacuum",
        "Hold a bag's drop test against a limit that you choose.",
        'drop-test --limit bag --reading "0 min" "25 inHg" --reading "2 min" "24.4 inHg"',
        (
            Ask(
                "limit",
                "Published limit",
                Holds.CHOICE,
                "One of these, or your own.",
                choices=tuple(LEAK_LIMITS),
                meanings=tuple(map(str, LEAK_LIMITS.values())),
            ),
            Asks(
                "own",
                "Or your own limit",
                (
                    Ask("drop", "At most", Dimension.PRESSURE, needed=True),
                    Ask("time", "In", Dimension.TIME, needed=True),
                ),
                "At most so much in so long.",
            ),
            Asks(
                "reading",
                "Readings, pump off",
                (
                    Ask("after", "After", Dimension.TIME, needed=True),
                    Ask("gauge", "Gauge", Dimension.PRESSURE, needed=True),
                ),
                most=24,
                shown=2,
                needed=True,
            ),
        ),
        drop_test,
    ),
    Card(
        "pump-down",
        "How a bag pumps down",
        "Vacuum",
        "How a bag pumps down, and when it reaches a vacuum.",
        'pump-down "22 inHg" --bag "60 L" --pump "20 L" --loss "0.5 inHg"',
        (
            Ask("wanted", "Vacuum wanted", Dimension.PRESSURE, needed=True, first=True),
            _volume("bag", "Volume of the bag", "Volume of the bag, part and tubes."),
            _volume("pump", "Pump moves in a minute", "Volume that the pump moves in a minute."),
            PUMP_LEAVES,
            Ask(
                "loss",
                "Lost by leaks in a minute",
                Dimension.PRESSURE,
                "By leaks, in a minute.",
                str(PERFECT),
                rare=True,
            ),
            *AIR_ASKS,
            _CURVE_POINTS,
        ),
        pump_down,
    ),
    Card(
        "hold",
        "How a bag holds with the pump off",
        "Vacuum",
        "How long a bag holds once the pump is off, and how its gauge falls.",
        'hold "25 inHg" "0.2 inHg" "20 inHg"',
        (
            Ask("start", "Gauge at the start", Dimension.PRESSURE, needed=True, first=True),
            Ask("loss", "Lost in the first minute", Dimension.PRESSURE, needed=True, first=True),
            Ask("wanted", "Until it is down to", Dimension.PRESSURE, needed=True, first=True),
            _CURVE_POINTS,
        ),
        hold,
    ),
)
