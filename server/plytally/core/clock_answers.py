"""Questions about clocks: what runs, how long is left, how old the cup is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from plytally.core.clock_acts import Commanded, snooze, stop
from plytally.core.clock_lines import cup_told, running_told
from plytally.core.clocks import ClockBook
from plytally.core.crediting import Dated
from plytally.core.entry import FieldValue
from plytally.core.readback import shown
from plytally.core.wall import Wall, read_wall

QUESTIONS = frozenset({"clocks", "cup_age"})
COMMANDS = {"stop_timer": stop, "snooze": snooze}
NO_CUP = "no cup is noted."


def answer(
    question: str, said: Mapping[str, FieldValue], book: ClockBook, log: Sequence[Dated], now: str
) -> tuple[str, ...]:
    """The lines for one of QUESTIONS. `log` has the entries, the first done first; `now` is RFC 3339."""
    millis = read_wall(now).millis
    if question == "clocks":
        return running_told(book.running(millis), millis, str(said.get("clock", "")))
    cup = next((each for each in reversed(log) if each.entry.kind == "mixed" and not each.withdrawn), None)
    if cup is None:
        return (NO_CUP,)
    clock = next((each for each in book.running(millis) if each.id == cup.id), None)
    return (cup_told(cup.when, now, shown(cup.entry), clock, millis),)


def command(name: str, said: Mapping[str, FieldValue], words: str, book: ClockBook, now: Wall) -> Commanded:
    """What comes of one of COMMANDS."""
    return COMMANDS[name](book, said, words, now)
