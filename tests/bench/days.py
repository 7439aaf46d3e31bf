"""Days in the shop, made from the print: notes in the order in which a builder would speak them.

Each note comes with what the log and the print make likely at that moment (`Expected`), from a log that holds
the notes before it as they were meant. Some builders do not follow the print: `against` makes days in which
every layup and cup contradicts it (other plies, other cloth, another face or station, another batch), which
is just what must be recorded as it was said. Everything is drawn from a seed; nobody's log is in it.
"""

from __future__ import annotations

import random
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any

from plytally.core.crediting import Dated
from plytally.core.entry import Entry, value_to_json
from plytally.core.expecting import expected
from plytally.core.hearing import typed
from plytally.core.ledger import Ledger
from plytally.core.names import as_spoken
from plytally.core.numbers import say_cardinal
from plytally.core.schedule import Step
from plytally.core.understand import understand
from plytally.core.vocabulary import Vocabulary, from_schedule
from plytally.core.wall import Wall
from plytally.schedule_file import read_schedule_file

PRINT = Path(__file__).parents[2] / "demo_entries/quillwing.yaml"
SEEDS = {"tune": 11, "test": 5}
MINUTE, NIGHT = 60_000, 15 * 3_600_000
RATIO = "four to one"
OTHER_CLOTH = {"BID": "uni", "UNI": "bid", "carbon BID": "bid", "glass tape": "uni"}
LAID = (
    "laid {plies} of {cloth} on {place}",
    "laid {plies} {cloth} on {place}",
    "i laid {plies} of {cloth} on {place}",
    "put down {plies} of {cloth} on {place}",
    "{plies} of {cloth} on {place}",
    "laid up {plies} of {cloth} {angle} on {place}",
    "{place} has {plies} of {cloth}",
)
ANGLES = {"0": "at zero", "45": "at forty five", "90": "at ninety", "0/90": "at zero ninety"}
AFTER = (
    "bagged {part}",
    "vacuum {inches} inches on {part}",
    "took the bag off {part}",
    "pulled the peel ply off {part}",
    "sanded {part} with {grit} grit",
    "{part} is trimmed",
    "thickness is {mils} thousandths on {part}",
)
MORE = (
    "shop air {degrees} degrees and {percent} percent",
    "drilled {holes} holes in {part}",
    "i checked {part}",
    "call me in {minutes} minutes",
    "what is still owed on {part}",
    "photo of {part}",
)


def days(half: str, count: int, *, against: bool = False) -> list[dict[str, Any]]:
    """`count` notes of a half, "tune" or "test", as in tests/vectors/phrases.json, with "expected"."""
    shop = _Shop(random.Random(SEEDS[half] + 100 * against), against=against)
    notes = [note for part, side in shop.order() for note in shop.session(part, side)]
    return [note for note in notes if note["contradicts"] or not against][:count]


@cache
def _print() -> tuple[Ledger, Vocabulary]:
    schedule = read_schedule_file(PRINT)
    return Ledger(schedule), from_schedule(schedule)


class _Shop:
    """One builder, the print, and the log so far."""

    def __init__(self, chance: random.Random, *, against: bool) -> None:
        schedule = read_schedule_file(PRINT)
        self.schedule, self.vocabulary = schedule, from_schedule(schedule)
        self.ledger, self.log = Ledger(schedule), list[Dated]()
        self.chance, self.against, self.millis = chance, against, 1_770_000_000_000
        self.batch = self._digits()

    def order(self) -> list[tuple[str, str]]:
        """Every part and side, in an order of its own."""
        found = list(dict.fromkeys((step.part, step.side) for step in self.schedule.steps))
        self.chance.shuffle(found)
        return found

    def session(self, part: str, side: str) -> Iterator[dict[str, Any]]:
        """A morning on one part: started, mixed, laid as far as the print asks, and what comes after."""
        name = self._part(part, side)
        yield self._note(f"started layup on {name}")
        steps = [s for s in self.schedule.steps if (s.part, s.side) == (part, side) and s.is_layup]
        for step in steps:
            if self.chance.random() < 0.5:
                yield self._mixed()
            stations = step.stations or ("",)
            for station in stations if self.chance.random() < 0.4 else stations[:1]:
                yield self._laid(step, station)
        for say in (*self.chance.sample(AFTER, 3), self.chance.choice(MORE)):
            yield self._note(say.format(part=name, **self._amounts()))
        self.millis += NIGHT
        if self.chance.random() < 0.3:
            self.batch = self._digits()

    def _mixed(self) -> dict[str, Any]:
        grams = say_cardinal(self.chance.choice(range(20, 200, 5)))
        batch = self._digits() if self.against else self.batch
        return self._note(f"mixed {grams} grams of epoxy at {RATIO} batch {batch}", contradicts=self.against)

    def _laid(self, step: Step, station: str) -> dict[str, Any]:
        words = self.vocabulary.part(step.part)
        assert words is not None
        plies, cloth, face = step.plies, step.material.lower(), step.face
        if self.against:
            ways = ["plies", "cloth", "face", *(["station"] if len(words.stations) > 1 else [])]
            match self.chance.choice(ways):
                case "plies":
                    plies = self.chance.choice(
                        [n for n in (plies - 2, plies - 1, plies + 1, plies + 2) if n > 0]
                    )
                case "cloth":
                    cloth = OTHER_CLOTH[step.material]
                case "face":
                    face = next(each.name for each in words.faces if each.name != face)
                case _:
                    station = next(each.name for each in words.stations if each.name != station)
        place = f"{self._part(step.part, step.side)} {face} face"
        place += "".join(f" {as_spoken(each)}" for each in (step.feature,) if each)
        place += f" at {as_spoken(station)}" if station else ""
        many = f"{say_cardinal(plies)} {'ply' if plies == 1 else 'plies'}"
        form = self.chance.choice(LAID)
        angle = ANGLES[step.orientation]
        return self._note(
            form.format(plies=many, cloth=cloth, place=place, angle=angle), contradicts=self.against
        )

    def _note(self, say: str, *, contradicts: bool = False) -> dict[str, Any]:
        """The note with what it means and what was to be expected; then it is in the log."""
        self.millis += self.chance.randint(4, 40) * MINUTE
        before = expected(self.ledger, reversed(self.log), self.millis)
        meant = understand(typed(say), self.vocabulary)
        if meant.unused or meant.name == "note":
            raise ValueError(f"no phrase of the phrasebook: {say}")
        entry = meant.entry
        if entry is not None:
            self._keep(entry)
        fields = {name: value_to_json(value) for name, value in meant.fields.items()}
        made = {"say": say, "makes": meant.makes, "name": meant.name, "fields": fields}
        return made | {"expected": before, "contradicts": contradicts}

    def _keep(self, entry: Entry) -> None:
        dated = Dated(f"n{len(self.log):04}", str(Wall(self.millis, 0)), entry)
        self.log.append(dated)
        self.ledger.add(dated)

    def _part(self, part: str, side: str) -> str:
        words = self.vocabulary.part(part)
        assert words is not None
        return f"the {side} {words.part.spoken[0]}".replace("  ", " ")

    def _digits(self) -> str:
        return " ".join(say_cardinal(self.chance.randint(1, 9)) for _ in range(3))

    def _amounts(self) -> dict[str, str]:
        ranges = {
            "inches": range(18, 26),
            "mils": range(30, 99),
            "degrees": range(60, 95),
            "percent": range(30, 80),
            "holes": range(2, 9),
            "minutes": range(5, 60, 5),
        }
        drawn = {name: say_cardinal(self.chance.choice(each)) for name, each in ranges.items()}
        return drawn | {"grit": self.chance.choice(("eighty", "one twenty", "one eighty", "two twenty"))}
