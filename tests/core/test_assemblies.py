"""Assemblies: asked about and worked on as a whole, never credited with plies."""

from pathlib import Path

import pytest
from support.devices import Device

from plytally.core.assemblies import assemblies
from plytally.core.entry import Place
from plytally.core.pocket import Pocket
from plytally.schedule_file import read_schedule_file

PRINT = read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml")
NOW = "2026-11-03T19:05:12.040+01:00"


class Phone:
    """A pocket that keeps what it is told."""

    def __init__(self):
        self.pocket, self.device = Pocket(PRINT.as_json()), Device("phone")

    def says(self, text, now=NOW):
        reply = self.pocket.take(text, now)
        for act in reply["acts"]:
            made = self.device.does(act["act"], act["target"], act["body"])
            self.pocket.saw([(made.as_json(), None)])
        return reply


@pytest.fixture
def phone():
    return Phone()


def test_parts_that_share_their_first_word_make_an_assembly_and_others_none():
    assert set(PRINT.assemblies) == {"tailplane", "elevator", "rudder"}
    assert assemblies(("upper skin", "upper rib", "rudder", "rudder post", "rudder spar")) == {}


def test_what_an_assembly_owes_is_one_line_over_its_parts(phone):
    (line,) = phone.says("what do i owe on the left elevator")["lines"]
    owed = sum(
        t.owed
        for part in PRINT.assemblies["elevator"]
        for t in phone.pocket._ledger.owed(Place(part, "left"))
    )
    assert line.startswith(f"left elevator: {owed} plies owed on 9 parts: spar: ")


def test_plies_at_an_assembly_are_asked_about_and_credit_nothing(phone):
    before = phone.says("what is owed on the left elevator")["lines"]
    reply = phone.says("laid two plies of bid on the left elevator")
    assert any(line.startswith("part: elevator?") for line in reply["lines"])
    assert phone.says("what is owed on the left elevator")["lines"] == before


@pytest.mark.parametrize(
    "said",
    [
        "bagged the left elevator",
        "weighed the left elevator 1100 grams",
        "vacuum twenty two inches on the left elevator",
        "bag off the left elevator",
        "the inspector checked the left elevator",
        "sanded the left elevator",
        "mounted the left elevator",
        "worked two hours on the left elevator",
    ],
)
def test_an_entry_can_stand_at_an_assembly_without_a_doubt(phone, said):
    row = phone.pocket.entry(phone.says(said)["acts"] and phone.pocket._state.order[-1].id)
    assert (row["doubts"], "left elevator" in row["line"]) == ([], True)


def test_of_an_assembly_with_sides_the_side_is_asked(phone):
    assert "side? (left or right was not said)" in phone.says("bagged the elevator")["lines"]


def test_what_was_last_done_on_a_part_or_the_whole_is_found_from_the_whole(phone):
    phone.says("vacuum twenty two inches on the left elevator spar")
    assert phone.says("what was the last vacuum on the left elevator")["lines"][0].startswith(
        "vacuum reading: 22 inHg"
    )
    phone.says("vacuum twenty inches on the left elevator")
    assert phone.says("what was the last vacuum on the left elevator spar")["lines"][0].startswith(
        "vacuum reading: 20"
    )
    phone.says("sanded the left elevator")
    assert phone.says("where did i leave off on the left elevator")["lines"][0].startswith("last: sanded")


def test_next_and_snags_and_hours_are_answered_over_its_parts(phone):
    phone.says("laid four plies of bid on the left elevator spar aft face")
    phone.says("worked two hours on the left elevator spar")
    phone.says("worked one hour on the left elevator")
    assert phone.says("what is next on the left elevator")["lines"][0].startswith("next: left elevator")
    assert phone.says("any snags on the left elevator")["lines"][0].startswith("out of order")
    assert phone.says("any snags on the rudder")["lines"] == ["no snags are known on the rudder."]
    assert phone.says("how many hours on the left elevator")["lines"] == [
        "3 h 00 min worked on the left elevator, on 1 day."
    ]
