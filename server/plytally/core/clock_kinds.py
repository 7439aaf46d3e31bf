"""The kinds of clock a shop runs, one row each: how it is said, how it calls, and what ends it.

`ttl_s` and `urgency` are for Web Push (RFC 8030, 5.2 and 5.3): how long a push service keeps a call for a
phone that is out of reach, and whether it may wake one that saves its battery. After `lapse_h` a clock
that nobody ended is left alone. All times in this table: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from plytally.core.names import Name
from plytally.core.quantities import Quantity, parse_quantity
from plytally.core.shop.cautions import CURE, POT, RUNAWAY

HOUR_MS = 3_600_000


@dataclass(frozen=True)
class ClockKind:
    """One kind of clock.

    `usual` is how long it runs where nothing was said, None where that cannot be known. `ends` are the
    kinds of entry that end it when they are noted at its place. One that is `pressing` calls in quiet
    hours too. `title` is what stands on a button, where that is not its name.
    """

    name: str
    said_as: tuple[str, ...]
    call: str
    title: str = ""
    urgency: str = "high"
    ttl_s: int = 3600
    lapse_h: int = 7 * 24
    usual: Quantity | None = None
    ends: tuple[str, ...] = ()
    pressing: bool = False
    caution: str = ""

    @property
    def knows_how_long(self) -> bool:
        """Whether it runs to some end where none was said; a pot life's is worked out from the cup."""
        return self.name == "pot life" or self.usual is not None

    @property
    def lapse_ms(self) -> int:
        """After how many milliseconds past its time it is left alone."""
        return self.lapse_h * HOUR_MS


USUAL_CURE = parse_quantity("24 h")
CLOCKS: Mapping[str, ClockKind] = {
    kind.name: kind
    for kind in (
        ClockKind(
            "pot life",
            ("pot life",),
            "The pot life is over: look at the cup",
            ttl_s=15 * 60,
            lapse_h=12,
            pressing=True,
            caution=f"{POT} {RUNAWAY}",
        ),
        ClockKind(
            "cure",
            ("cure",),
            "The cure should be done: check it",
            urgency="normal",
            ttl_s=12 * 3600,
            usual=USUAL_CURE,
            ends=("cured",),
            caution=CURE,
        ),
        ClockKind("bag off", ("bag off", "bag"), "The bag may come off", ttl_s=12 * 3600, ends=("bag_off",)),
        ClockKind("vacuum", ("vacuum reading",), "Read the vacuum", "vacuum reading", ends=("vacuum",)),
        ClockKind(
            "peel ply",
            ("peel ply",),
            "Time to pull the peel ply",
            "peel ply window",
            urgency="normal",
            ttl_s=6 * 3600,
            ends=("peeled",),
        ),
        ClockKind(
            "re-coat",
            ("re coat", "next coat"),
            "The next coat is due",
            "next coat",
            ttl_s=2 * 3600,
            caution="How long one coat takes the next is for the resin maker's sheet to say.",
        ),
        ClockKind(
            "pump",
            ("pump",),
            "Is the pump still running?",
            "pump running",
            ttl_s=12 * 3600,
            lapse_h=48,
            usual=USUAL_CURE,
            ends=("bag_off", "peeled", "cured"),
        ),
    )
}
OWN = ClockKind("timer", (), "A timer is due", "plain timer")
"""What a clock without a name of its own is."""

SPOKEN = tuple(Name(kind.name, kind.said_as) for kind in CLOCKS.values())


def kind_of(name: str) -> ClockKind:
    """The kind of this name; a timer of the builder's own for any other."""
    return CLOCKS.get(name, OWN)
