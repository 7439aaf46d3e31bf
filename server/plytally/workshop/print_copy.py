"""What a phone needs to understand its builder without the network: the print and the builder's own words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tinydb import where

from plytally.core.pot_life import ResinTimes
from plytally.core.schedule import Schedule
from plytally.core.shop.cure import Timed
from plytally.store.documents import Documents
from plytally.store.log import BuildLog
from plytally.workshop.print_shelf import NO_PRINT, PrintShelf
from plytally.workshop.taught import Words, rows_of, standing_words

RESINS = "resin_times"


def print_copy(log: BuildLog, *, by_sound_alone: bool = False) -> Mapping[str, Any]:
    """The schedule that counts now as plain JSON (None while there is none), words by list, pot lives.

    With `by_sound_alone` phones, too, hear without regard to what goes on in the shop.
    """
    schedule = PrintShelf(log.folder, log.documents).current()
    return {
        "print": schedule.as_json() if schedule.parts else None,
        "words": own_words(log, schedule),
        "resin_times": resin_times(log.documents).as_json(),
    } | ({"by_sound_alone": True} if by_sound_alone else {})


def resin_times(documents: Documents) -> ResinTimes:
    """The pot lives that the builder entered from the makers' sheets."""
    with documents.table(RESINS) as table:
        return ResinTimes.from_json({row["resin"]: row["rows"] for row in table.all()})


def set_resin_times(documents: Documents, resin: str, maker: Timed) -> None:
    """Keep a maker's pot life for a resin system, in place of any before."""
    rows = ResinTimes({resin: maker}).as_json()[resin]
    with documents.table(RESINS) as table:
        table.upsert({"resin": resin, "rows": rows}, where("resin") == resin)


def own_words(log: BuildLog, schedule: Schedule = NO_PRINT) -> Words:
    """The builder's own words that stand beside the print, by list, as `Vocabulary.with_words` takes them."""
    return standing_words(rows_of(log), log.state, schedule)
