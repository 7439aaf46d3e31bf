"""Entries and doubts in one line, for the eye and for the ear."""

from decimal import Decimal

import pytest

from plytally.core.entry import Doubt, Entry
from plytally.core.quantities import Quantity, Ratio, unit_named
from plytally.core.readback import asked, asked_aloud, shown, spoken


def grams(amount):
    return Quantity(Decimal(amount), unit_named("g"))


@pytest.mark.parametrize(
    ("entry", "line"),
    [
        (
            Entry(
                "laid",
                {"plies": 2, "material": "BID", "part": "elevator spar", "side": "right", "face": "aft"},
            ),
            "laid: 2 plies BID, right elevator spar, aft",
        ),
        (
            Entry("laid", {"plies": 1, "material": "UNI", "part": "rudder post"}),
            "laid: 1 ply UNI, rudder post",
        ),
        (
            Entry("mixed", {"mass": grams(80), "ratio": Ratio(Decimal(4), Decimal(1))}),
            "resin mixed: 80 g at 4:1",
        ),
        (Entry("stopped"), "stopped work"),
        (Entry("note", {"text": "the mould slipped"}), "plain note: the mould slipped"),
    ],
)
def test_an_entry_is_shown_in_one_line(entry, line):
    assert shown(entry) == line


@pytest.mark.parametrize(
    ("mass", "said"),
    [
        (19, "one nine grams"),
        (90, "nine zero grams"),
        (80, "eight zero grams"),
        (22, "twenty two grams"),
        ("16.5", "one six point five grams"),
        (116, "one one six grams"),
    ],
)
def test_a_number_that_could_be_mistaken_is_spoken_digit_by_digit(mass, said):
    assert said in spoken(Entry("mixed", {"mass": grams(mass)}))


def test_a_doubt_asks_with_both_candidates():
    assert asked(Doubt("mass", "nineteen grams", "ninety grams", "the sound fits both")).startswith(
        "mass: nineteen grams, or ninety grams?"
    )


def test_a_ratio_that_could_be_mistaken_is_spoken_digit_by_digit():
    assert "one hundred to one six" in spoken(Entry("mixed", {"ratio": Ratio(Decimal(100), Decimal(16))}))


@pytest.mark.parametrize(
    ("heard", "other", "question"),
    [
        (
            "sixteen thousandths",
            "sixty thousandths",
            "gap: one six thousandths, or six zero thousandths? (why)",
        ),
        (
            "a hundred to sixteen",
            "a hundred to sixty",
            "gap: a hundred to one six, or a hundred to six zero? (why)",
        ),
        ("twenty two grams", "", "gap: twenty two grams? (why)"),
        ("one eighth", "seven", "gap: one eighth, or seven? (why)"),
    ],
)
def test_a_doubt_asked_aloud_says_digit_by_digit_what_could_be_mistaken(heard, other, question):
    assert asked_aloud(Doubt("gap", heard, other, "why")) == question


def test_a_doubt_about_what_was_not_said_asks_for_it():
    assert asked(Doubt("side", "", "", "left or right was not said")) == "side? (left or right was not said)"
