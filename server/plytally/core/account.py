"""What the ledger answers with: plain values, each with the entries that prove it."""

from __future__ import annotations

from dataclasses import dataclass

from plytally.core.crediting import Dated
from plytally.core.entry import Place
from plytally.core.schedule import Step

OVER = "over"
OUT_OF_ORDER = "out of order"
IN_DOUBT = "in doubt"


@dataclass(frozen=True)
class Tally:
    """One material in one orientation at one place: plies asked, laid, in doubt and laid beyond that.

    `place.station` is "" for a layer over the whole face. Plies in doubt are noted but not settled, so
    they are still among the owed. `instead` names other materials that were laid as the print allows.
    """

    place: Place
    material: str
    orientation: str
    asked: int
    laid: int
    in_doubt: int
    over: int
    steps: tuple[str, ...]
    evidence: tuple[Dated, ...]
    instead: tuple[str, ...] = ()

    @property
    def owed(self) -> int:
        """Plies asked and not laid for certain."""
        return self.asked - self.laid


@dataclass(frozen=True)
class StationTotal:
    """Everything on one face at one station: the plies of its own and those over the whole face."""

    place: Place
    asked: int
    laid: int
    in_doubt: int


@dataclass(frozen=True)
class Finding:
    """Something in the log that does not agree with the print.

    `kind` is "over", "out of order", "not on print", "unplaced" or "in doubt"; `field` is the field of
    the entry to ask about, "" where none would settle it; `why` is one sentence without a full stop.
    """

    kind: str
    place: Place
    entry: Dated
    field: str
    why: str


@dataclass(frozen=True)
class NextStep:
    """A step that can be worked now: at which stations, and how many plies are open (0: no layup)."""

    step: Step
    stations: tuple[str, ...]
    plies: int


@dataclass(frozen=True)
class LeftOff:
    """The last work noted at a place, None if none was, and what can be worked next."""

    last: Dated | None
    next: tuple[NextStep, ...]


@dataclass(frozen=True)
class Answer:
    """Whether plies were laid: "yes", "partly" or "no".

    `wanted`, `laid` and `in_doubt` are plies, added up over the faces and sides asked about; `each` has
    them one by one where there are several. `evidence` is in the order of time at each. `unplaced` are
    entries that might be meant but do not say where; `why` tells a place that is not on the print.
    """

    verdict: str
    place: Place
    material: str
    wanted: int
    laid: int
    in_doubt: int
    evidence: tuple[Dated, ...] = ()
    each: tuple[Answer, ...] = ()
    unplaced: tuple[Dated, ...] = ()
    why: str = ""
