"""How long a resin takes at a temperature: pot life, gel or cure.

Timed((at(72 degF), 30 min)) -> 15 min at 90 degF: a rate that doubles for every 18 °F (10 °C), a factor that
each resin system may have its own of. Where the maker gives times at several temperatures, those count:
straight lines in the logarithm of time between them, the doubling law beyond them.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from math import exp, log

from plytally.core.quantities import Dimension, Quantity, parse_quantity
from plytally.core.shop.amounts import above_zero, kelvins, of_kind, quantity
from plytally.core.shop.cautions import CURE, POT
from plytally.core.shop.errors import OutOfRange, TooFew
from plytally.core.shop.sources import ARMY, WARM
from plytally.core.shop.worked import Formula, Value, Worked

_USUAL = (Decimal("1.5"), Decimal("2.5"))
_SOURCE = f"{WARM}: 18 °F above 72 °F halves pot and working life; {ARMY}, p.169: half of it at 90 °F"

BY_LAW = Formula("time at this temperature", "t = t₀ · factor^((T₀ − T) / per)", _SOURCE, f"{POT} {CURE}")
BY_TABLE = Formula(
    "time at this temperature",
    "ln t straight between the maker's two nearest temperatures",
    "the maker's table",
    f"{POT} {CURE}",
)
BEYOND = (
    "This is outside the maker's table, carried on from its end by the rate factor: a guess, not the maker's."
)
PER = parse_quantity("18 degF")  # as a difference: 10 °C
_LEAST_PER, _MOST_PER = 5, 30  # kelvins


@dataclass(frozen=True)
class RateLaw:
    """The rate of cure multiplies by `factor` for every `per` of warming; `per` counts as a difference."""

    factor: Decimal = Decimal(2)
    per: Quantity = PER

    def __post_init__(self) -> None:
        of_kind(self.per, "degrees for each factor", Dimension.TEMPERATURE)
        if not _LEAST_PER <= self._step() <= _MOST_PER:
            raise OutOfRange(
                "degrees for each factor", self.per, "give 9 to 54 degF (5 to 30 degC) of warming"
            )
        if not 1 < self.factor <= 10:
            raise OutOfRange(
                "rate factor", self.factor, "give more than 1, at most 10; makers' are 1.5 to 2.5"
            )

    def slope(self) -> float:
        """How much ln(time) falls for each kelvin of warming."""
        return log(self.factor) / float(self._step())

    def caution(self) -> str:
        """What to say of a factor that is not usual."""
        low, high = _USUAL
        usual = low <= self.factor <= high or self._step() != DOUBLING._step()
        return "" if usual else f"A factor outside {low} to {high} is unusual for 18 °F (10 °C)."

    def _step(self) -> Fraction:
        """The warming in kelvins."""
        return Fraction(self.per.amount) * self.per.unit.factor


DOUBLING = RateLaw()


@dataclass(frozen=True)
class At:
    """One row of a maker's table: this long at this temperature."""

    temperature: Quantity
    time: Quantity


@dataclass(frozen=True)
class Timed:
    """How long something takes, by the maker: one row or several, coldest first, and the law beyond them.

    ShopError unless temperatures rise and times fall from row to row.
    """

    rows: tuple[At, ...]
    law: RateLaw = DOUBLING
    what: str = "pot life"

    def __post_init__(self) -> None:
        if not self.rows:
            raise TooFew(
                self.what, "no row of the maker's table", "give at least one temperature and its time"
            )
        for cold, warm in pairwise(self.knots):
            if warm[0] <= cold[0] or warm[1] >= cold[1]:
                raise OutOfRange(
                    f"maker's table of {self.what}",
                    " then ".join(f"{row.time} at {row.temperature}" for row in self.rows),
                    "list the coldest first; each warmer row takes less time",
                )

    @cached_property
    def knots(self) -> tuple[tuple[float, float], ...]:
        """Kelvins and ln(seconds) of each row."""
        where = f"temperature of the {self.what}"
        return tuple(
            (kelvins(row.temperature, where), log(above_zero(row.time, self.what, Dimension.TIME)))
            for row in self.rows
        )

    def log_time(self, temperature: float) -> float:
        """Give ln(seconds) at so many kelvins."""
        for (cold, slow), (warm, fast) in pairwise(self.knots):
            if cold <= temperature <= warm:
                return slow + (fast - slow) * (temperature - cold) / (warm - cold)
        end, time = self.knots[0] if temperature < self.knots[0][0] else self.knots[-1]
        return time + self.law.slope() * (end - temperature)

    def covers(self, temperature: float) -> bool:
        """Tell whether the maker's rows reach to both sides of a temperature."""
        return self.knots[0][0] <= temperature <= self.knots[-1][0]


def timed(temperature: Quantity, time: Quantity, law: RateLaw = DOUBLING, what: str = "pot life") -> Timed:
    """A time that the maker gives at one temperature."""
    return Timed((At(temperature, time),), law, what)


def time_at(maker: Timed, temperature: Quantity) -> Worked[Quantity]:
    """How long it takes at a temperature, in the unit of the maker's first row."""
    warm = kelvins(temperature, "temperature")
    told: dict[str, Value] = {"temperature": temperature}
    for row in maker.rows:
        told[f"maker's {maker.what} at {row.temperature}"] = row.time
    table = len(maker.rows) > 1
    if not (table and maker.covers(warm)):
        told |= {"factor": maker.law.factor, "for each (difference)": str(maker.law.per)}
    beyond = BEYOND if table and not maker.covers(warm) else ""
    return (BY_TABLE if table else BY_LAW).gives(
        quantity(exp(maker.log_time(warm)), maker.rows[0].time.unit.symbol),
        told,
        f"{maker.what} at {temperature}",
        caution=" ".join(filter(None, (beyond, maker.law.caution()))),
    )
