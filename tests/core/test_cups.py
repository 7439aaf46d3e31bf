"""A cup of resin and hardener: both masses kept, held against the ratio, their sum for the pot life."""

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.cups import CAUTION, TOLERANCE, cup_doubts, cup_mass
from plytally.core.entry import Entry
from plytally.core.hearing import typed
from plytally.core.quantities import Quantity, Ratio, unit_named
from plytally.core.resin_systems import Resin
from plytally.core.understand import understand
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file

WORDS = from_schedule(read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml"))
SYSTEM = Resin("epoxy", by_weight=Ratio(Decimal(100), Decimal(28)))


def grams(amount):
    return Quantity(Decimal(amount), unit_named("g"))


def cup(**fields):
    return Entry("mixed", fields)


@pytest.mark.parametrize(
    ("said", "resin", "hardener"),
    [
        ("mixed 250 grams resin with 70 grams hardener", "250 g", "70 g"),
        ("mixed 250 grams of resin and 70 of hardener", "250 g", "70 g"),
        ("mixed nine ounces of epoxy with two and a half ounces of hardener", "9 oz", "2.5 oz"),
    ],
)
def test_both_masses_of_a_cup_are_kept(said, resin, hardener):
    made = understand(typed(said), WORDS)
    assert (made.name, str(made.fields["mass"]), str(made.fields["hardener"])) == ("mixed", resin, hardener)
    assert made.doubts == ()


def test_a_ratio_of_two_masses_is_read_as_one():
    assert str(understand(typed("mixed 100 grams at 100 to 28"), WORDS).fields["ratio"]) == "100:28"


def test_a_cup_that_is_off_its_ratio_is_asked_about_with_what_the_print_gives():
    (doubt,) = cup_doubts((SYSTEM,), cup(mass=grams(250), hardener=grams(50), resin="epoxy"))
    assert (doubt.field, doubt.heard, doubt.runner_up) == ("hardener", "50 g", "70 g")
    assert "29 % too little hardener" in doubt.why
    assert doubt.why.endswith(CAUTION)


def test_the_masses_are_held_against_the_ratio_that_was_said_where_the_print_has_none():
    said = Ratio(Decimal(4), Decimal(1))
    assert list(cup_doubts((), cup(mass=grams(100), hardener=grams(25), ratio=said))) == []
    assert [each.field for each in cup_doubts((), cup(mass=grams(100), hardener=grams(30), ratio=said))] == [
        "hardener"
    ]


def test_more_hardener_than_resin_is_asked_about_whatever_is_known():
    assert [each.field for each in cup_doubts((), cup(mass=grams(70), hardener=grams(250)))] == ["hardener"]


@given(st.integers(20, 500), st.floats(0.5, 1.5).filter(lambda off: abs(abs(off - 1) - 0.03) > 0.005))
def test_a_cup_is_asked_about_just_where_it_is_off_by_more_than_the_tolerance(resin, off):
    hardener = round(Decimal(resin) * Decimal("0.28") * Decimal(off), 6)
    doubts = list(cup_doubts((SYSTEM,), cup(mass=grams(resin), hardener=grams(hardener), resin="epoxy")))
    assert bool(doubts) == (abs(Decimal(off) - 1) > TOLERANCE)


def test_the_pot_life_goes_by_all_that_is_in_the_cup():
    assert cup_mass({"mass": grams(250), "hardener": grams(70)}) == grams(320)
    assert cup_mass({"mass": grams(250)}) == grams(250)
    assert cup_mass({}) is None
