"""What a card is: its inputs, row by row, and the call that answers them.

Ask("area", "Area", Dimension.AREA)             one amount, count, ratio, choice or word
Asks("plies", "Plies", (Ask, Ask))              several together, once, or again and again
Card("thickness", "Thickness of a stack", …)    the inputs, and the function that they are given to
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Any

from plytally.core.quantities import Dimension
from plytally.core.shop.bag_curve import CurvePoint


class CardError(ValueError):
    """An input that cannot be read, or a sum that is not clear from what was given; says what to do."""

    def __init__(self, where: str, problem: str) -> None:
        super().__init__(f"{where}: {problem}" if where else problem)
        self.where, self.problem = where, problem


class Holds(Enum):
    """What an input can be besides an amount of one dimension."""

    AMOUNT = "an amount"
    COUNT = "a whole number"
    NUMBER = "a number"
    RATIO = "a ratio"
    NAME = "a name"
    CHOICE = "one of several"
    YES = "yes or no"


@dataclass(frozen=True)
class Ask:
    """One input.

    `meanings` say what each of the `choices` is; `first` stands on the command line without its name;
    `units` are those that the phone offers, the usual one first; `usual` is what counts where nothing is
    given; `unasked` is what the phone takes without asking; `signed` may be below nothing; `rare` stands
    behind the others on a page. In a row, what is not `needed` may be left out.
    """

    name: str
    label: str
    holds: Dimension | Holds
    hint: str = ""
    usual: str = ""
    units: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    meanings: tuple[str, ...] = ()
    needed: bool = False
    first: bool = False
    signed: bool = False
    unasked: str = ""
    rare: bool = False

    @property
    def offered(self) -> tuple[str, ...]:
        """The units to choose from, the usual one first."""
        return self.units or (OFFERED[self.holds] if isinstance(self.holds, Dimension) else ())


@dataclass(frozen=True)
class Asks:
    """Inputs that go together: a row, once, or up to `most` of them. `shown` is how many rows wait empty.

    `rare` ones stand behind the others on a page.
    """

    name: str
    label: str
    columns: tuple[Ask, ...]
    hint: str = ""
    most: int = 1
    shown: int = 1
    needed: bool = False
    rare: bool = False

    @property
    def together(self) -> tuple[Ask, ...]:
        """The columns without which a row is none."""
        return tuple(column for column in self.columns if column.needed)

    @property
    def apart(self) -> tuple[Ask, ...]:
        """The columns that a row may leave out; on the command line each is an option by the row's name."""
        return tuple(column for column in self.columns if not column.needed)


Input = Ask | Asks


@dataclass(frozen=True)
class Line:
    """One line of a curve: "reckoned", "read" off the gauge, or a "limit"."""

    name: str
    drawn: str
    points: tuple[CurvePoint, ...]


@dataclass(frozen=True)
class Curve:
    """What a gauge shows over time, to be drawn."""

    lines: tuple[Line, ...]


Told = Sequence[Any]
"""What a card tells: lines of text, results of core/shop, and curves."""


@dataclass(frozen=True)
class Card:
    """One sum: `work` is called with every input by its name, None where nothing was given.

    `example` is a line of the command; `keeps` gives what the log's entry holds besides text.
    """

    name: str
    title: str
    subject: str
    says: str
    example: str
    inputs: tuple[Input, ...]
    work: Callable[..., Told]
    keeps: Callable[..., Mapping[str, Any]] | None = None


OFFERED: Mapping[Dimension, tuple[str, ...]] = {
    Dimension.LENGTH: ("in", "mil", "mm", "cm", "ft", "m"),
    Dimension.MASS: ("g", "oz", "lb", "kg"),
    Dimension.PRESSURE: ("inHg", "kPa", "mbar", "psi"),
    Dimension.TEMPERATURE: ("degF", "degC"),
    Dimension.TIME: ("min", "h", "s", "day"),
    Dimension.FRACTION: ("%",),
    Dimension.AREA: ("ft2", "in2", "m2", "cm2"),
    Dimension.AREAL_WEIGHT: ("oz/yd2", "g/m2"),
    Dimension.VOLUME: ("mL", "fl_oz", "L", "qt", "gal"),
    Dimension.MOMENT: ("in-lb", "N-m"),
    Dimension.DENSITY: ("g/cm3", "lb/ft3", "kg/m3"),
}
