"""Amounts that a shop seldom sees are asked about, however clearly they were heard; none is refused."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.entry import FIELDS
from plytally.core.hearing import typed
from plytally.core.understand import understand
from plytally.core.unusual import BESIDE, USUAL, doubt_of_fraction
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file

QUILLWING = from_schedule(read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml"))


def doubted(text):
    return {doubt.field for doubt in understand(typed(text), QUILLWING).doubts}


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("remind me in seventy five hours", "duration"),
        ("remind me in seventy five hours to turn the heater down", "duration"),
        ("pot life timer nine hours", "duration"),
        ("cure timer two minutes", "duration"),
        ("cured the rudder post for two minutes", "duration"),
        ("cured the rudder post for twelve hours at three hundred degrees", "temperature"),
        ("shop is nineteen degrees and fifty percent", "temperature"),
        ("shop is seventy degrees and ninety nine percent", "humidity"),
        ("mixed nine hundred grams of epoxy", "mass"),
        ("mixed two grams of epoxy", "mass"),
        ("mixed ninety grams of epoxy at nine to one", "ratio"),
        ("mixed ninety grams of epoxy at a hundred to five", "ratio"),
        ("drilled the rudder spar aft face with a number eighty three", "drill"),
        ("gap is three inches at the rudder post", "measure"),
        ("thickness is nine inches at the rudder post", "measure"),
        ("width one eighths on the rudder post", "measure"),
        ("width one eighth on the rudder post", "measure"),
        ("gap three eighth on the rudder post", "measure"),
    ],
)
def test_an_unusual_amount_is_kept_and_asked_about(text, field):
    meant = understand(typed(text), QUILLWING)

    assert field in meant.fields
    assert field in doubted(text)


@pytest.mark.parametrize(
    "text",
    [
        "remind me in ten minutes to turn the heater down",
        "start a timer for five seconds",
        "cure timer twelve hours",
        "pot life timer twenty minutes",
        "pump timer eight hours",
        "cured the rudder post for twelve hours at one hundred and forty degrees",
        "shop is seventy two degrees and fifty five percent",
        "mixed ninety grams of epoxy at four to one",
        "mixed ninety grams of epoxy at a hundred to twenty eight",
        "drilled the rudder spar aft face with a number thirty",
        "gap is one eighth at the rudder post",
        "gap is three eighths at the rudder post",
        "height is three quarters at the rudder post",
    ],
)
def test_an_amount_of_every_day_is_not_asked_about(text):
    assert not {name for name in doubted(text) if name in FIELDS}


def test_every_row_is_of_a_field_there_is_and_has_room():
    for row in USUAL:
        assert FIELDS[row.field].weighty
        assert float(row.least) < float(row.most)
        assert not row.beside or row.field in BESIDE


def test_the_last_row_of_a_field_with_special_ones_holds_for_all_the_rest_of_its_kind():
    for at, row in enumerate(USUAL):
        before = [each for each in USUAL[:at] if each.field == row.field and each.kinds == row.kinds]
        assert all(each.beside for each in before), row


@given(st.sampled_from(("one", "three", "five", "seven")), st.sampled_from(("eighth", "sixteenth")))
def test_a_part_and_its_number_agree_or_are_asked_about(number, part):
    one = number == "one"

    assert (doubt_of_fraction("measure", (number, part)) is None) == one
    assert (doubt_of_fraction("measure", (number, f"{part}s")) is None) == (not one)
