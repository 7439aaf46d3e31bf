"""A log with every kind of thing that a record must show, and the record's text read back."""

import io
from dataclasses import dataclass, replace

import pytest
from support.exports import written
from support.photos import jpeg
from support.shops import SetClock

from plytally.core.hearing import typed
from plytally.core.likes import USUAL
from plytally.core.wall import Wall, read_wall
from plytally.record.book import write_pdf
from plytally.record.content import Scope
from plytally.record.reading import read_folder
from plytally.store.log import Recording
from plytally.web.record_photos import small_photos
from plytally.workshop.bench import Bench
from plytally.workshop.record_copy import content_of
from plytally.workshop.stock_shelf import take_stock

NOW = Wall(read_wall("2026-11-03T18:00:00+01:00").millis, 60)
PRINT = """
aircraft: Quillwing
print revision: C
materials: {BID: {said as: [bid]}}
parts:
  elevator spar:
    sides: left and right
    drawing: QW-31
    faces: [fore, aft]
    stations: [hinge 1, hinge 2]
    steps:
      - {step: E1, face: fore, plies: 3, material: BID, orientation: "45"}
      - {step: E2, face: fore, at: [hinge 1, hinge 2], plies: 7, material: BID, orientation: "45",
         after: [E1]}
      - {step: E3, face: aft, plies: 4, material: BID, orientation: "45"}
      - {step: E9, at: [hinge 1, hinge 2], do: mount, item: hinge, after: [E2]}
  elevator rib 2:
    sides: left and right
    faces: [inboard, outboard]
    steps:
      - {step: R1, face: inboard, plies: 2, material: BID, orientation: "45"}
  rudder post:
    faces: [fore, aft]
    steps:
      - {step: P1, face: fore, plies: 2, material: BID, orientation: "45"}
items: {hinge: {said as: [hinge]}}
"""
STOCK = """
resin: [{name: epoxy, batch: 4471, amount: 5 kg, expires: 2026-12-01}]
cloth: [{name: BID, amount: 30 m2}]
"""
SAID = (
    "started work on the right elevator spar",
    "shop air seventy two degrees and fifty five percent",
    "mixed one hundred grams of epoxy at four to one",
    "laid three plies bid on the right elevator spar fore face",
    "laid seven plies bid on the right elevator spar fore face at hinge one",
    "laid eight plies bid on the right elevator spar fore face at hinge two",  # one too many: a doubt
    "vacuum twenty two inches on the right elevator spar",
    "laid two plies bid on the left elevator rib two inboard face",
    "scratch that",
    "laid one ply bid on the left elevator rib two inboard face",
    "stopped work",
    "the heater tripped the breaker again",
)


@dataclass
class House:
    """A data folder with a day's work in it, open."""

    bench: Bench
    clock: SetClock

    @property
    def folder(self):
        return self.bench.log.folder

    def says(self, text, author="builder"):
        self.clock.millis += 600_000
        return self.bench.take(typed(text), author=author)

    def photo(self, entry_id, content=None):
        self.bench.log.attach(entry_id, Recording(content or jpeg(), "image/jpeg", "photo"))

    def reading(self):
        return read_folder(self.folder)

    def content(self, scope=None):
        return content_of(self.reading(), scope or Scope(), NOW)

    def pdf(self, scope=None, likes=USUAL, **how):
        out = io.BytesIO()
        content = replace(self.content(scope), likes=likes)
        write_pdf(content, out, small_photos(self.bench.log.media), **how)
        return out.getvalue()


@pytest.fixture
def house(tmp_path):
    """A day of its own, for tests that change it."""
    yield from a_day(tmp_path)


@pytest.fixture(scope="module")
def day(tmp_path_factory):
    """A day that several tests look at."""
    yield from a_day(tmp_path_factory.mktemp("day"))


@pytest.fixture(scope="module")
def sent(day, tmp_path_factory):
    """An export of a day's work that nobody changes."""
    target = tmp_path_factory.mktemp("sent") / "out"
    written(day.folder, target)
    return target


def a_day(folder):
    clock = SetClock()
    (folder / "print.yaml").write_text(PRINT)
    with Bench.open(folder / "log", clock) as bench:
        bench.take_schedule(folder / "print.yaml")
        take_stock(bench.log.documents, STOCK, NOW)
        made = House(bench, clock)
        for text in SAID:
            made.says(text)
        order = bench.log.state.order
        made.photo(order[3].id)
        bench.log.amend(order[4].id, "plies", 6, author="builder", why="counted again")
        yield made
