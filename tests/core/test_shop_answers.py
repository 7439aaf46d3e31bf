"""The shop's sums asked in passing: reckoned from the builder's own figures first, and said to be so."""

import json
from pathlib import Path

import pytest
from support.devices import Device

from plytally.core.hearing import Hearing, Word
from plytally.core.pocket import Pocket
from plytally.core.readback import amounts_aloud
from plytally.core.shop_answers import SHOP_QUESTIONS
from plytally.core.shop_phrases import SHOP_PHRASES
from plytally.schedule_file import read_schedule_file

PRINT = read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml").as_json()
VECTORS = json.loads((Path(__file__).parents[1] / "vectors/phrases.json").read_text())
QUESTIONS = [vector for vector in VECTORS if vector["name"] in SHOP_QUESTIONS]
NOW = "2026-11-03T19:05:12.040+01:00"


class Phone:
    """A pocket whose acts are made into operations and shown back, as the app does it."""

    def __init__(self, print_copy=PRINT):
        self.pocket, self.device = Pocket(print_copy), Device()

    def says(self, said):
        return self.keeps(self.pocket.take(said, NOW))["lines"]

    def keeps(self, reply):
        made = [self.device.does(act["act"], act["target"], act["body"]) for act in reply["acts"]]
        assert self.pocket.saw([(operation.as_json(), None) for operation in made]) == []
        return reply

    def keeps_sum(self, card, given):
        return self.keeps(self.pocket.keep_sum(card, given, {}))


@pytest.fixture
def phone():
    return Phone()


def test_every_question_that_can_be_said_has_its_answer():
    assert list(SHOP_QUESTIONS) == list(SHOP_PHRASES)


@pytest.mark.parametrize(
    ("said", "says"),
    [
        ("how thick is ten plies of bid", "10 plies of BID: 0.096 in (2.438 mm), by 9.6 mil"),
        ("how many plies for eighty thousandths", "8 plies of BID (first on the print), 3.2 mil"),
        ("how many plies of uni make point oh eight", "9 plies of UNI, 0.001 in (0.0254 mm) over"),
        ("how much resin for two plies bid on three square feet", "168.1 g (5.928 oz) of resin"),
        ("how much resin do two plies of bid take", "on 1 ft²: 56.02 g"),
        ("what is the most vacuum i can pull at five thousand feet", "at 5000 ft a gauge can show 24.9 inHg"),
        ("how much vacuum can i pull", "at sea level (say the elevation for yours)"),
        ("can i pull twenty two inches at nine thousand feet", "22 inHg is not possible here"),
        ("can i pull twenty two inches at five thousand feet", "22 inHg is possible here"),
        ("what does twenty two inches press with", "presses with 10.81 psi (74.5 kPa): 1556 lbf"),
        ("how hard does fifteen inches press on two square feet", "on 2 ft²"),
        (
            "how long is the pot life at ninety degrees",
            "at 90 °F: 10 min, by a usual 20 min at 72 °F (common practice, no source)",
        ),
        ("how much hardener for eighty grams of epoxy at four to one", "20 g (0.7055 oz) of hardener"),
        ("how much hardener for eighty grams", "at what ratio? No cup is noted with one"),
        ("how thick are three plies of peel ply", "I do not know how thick a ply of peel ply is"),
    ],
)
def test_a_question_is_answered_in_passing(phone, said, says):
    assert says in phone.says(said)[0]


@pytest.mark.parametrize("vector", QUESTIONS, ids=[vector["say"] for vector in QUESTIONS])
def test_every_answer_says_what_to_watch_for_or_what_is_missing(phone, vector):
    first, *more = phone.says(vector["say"])

    assert more or first.startswith("at what ratio?")


def test_a_ply_measured_and_kept_counts_before_the_prints(phone):
    phone.keeps_sum("own-ply", {"coupon": [["52 mil", "5"], ["50 mil", "5"]], "material": "BID"})

    (first, _) = phone.says("how thick is ten plies of bid")
    assert first.startswith("10 plies of BID: 0.102 in")
    assert "your own, measured and kept on" in first


def test_a_kept_ply_that_was_scratched_no_longer_counts(phone):
    phone.keeps_sum("own-ply", {"coupon": [["52 mil", "5"]], "material": "BID"})
    phone.says("scratch that")

    assert "the print" in phone.says("how thick is ten plies of bid")[0]


def test_the_makers_pot_life_once_kept_is_where_the_answer_starts(phone):
    phone.keeps_sum("time-at", {"temperature": "90 degF", "maker": [["77 degF", "40 min"]]})

    assert phone.says("how long is the pot life at ninety five degrees")[0].startswith(
        "pot life at 95 °F: 20 min, by 40 min at 77 °F (the maker's sheet)."
    )


def test_a_pot_life_once_kept_also_runs_the_clock_of_the_next_cup_where_the_print_has_none():
    phone = Phone({name: value for name, value in PRINT.items() if name != "resins"})
    phone.keeps_sum("time-at", {"temperature": "90 degF", "maker": [["77 degF", "40 min"]]})
    phone.says("shop is seventy seven degrees")
    told = phone.says("mixed eighty grams of epoxy at four to one")

    assert any("40 min" in line for line in told), told


def test_what_was_left_unsaid_is_taken_from_the_log_and_said_to_be(phone):
    phone.says("mixed eighty grams of epoxy at five to one")
    phone.says("shop is ninety degrees")
    phone.says("laid one ply of uni on the rudder balance arm upper face")

    assert (
        "at 5:1 by weight (as last mixed): 20 g" in phone.says("how much hardener for one hundred grams")[0]
    )
    assert "at 90 °F (shop air, noted" in phone.says("what is the pot life")[0]
    assert "plies of UNI (laid last)" in phone.says("how many plies for eighty thousandths")[0]


def test_without_a_print_a_standard_cloth_is_named_as_one():
    told = Phone(None).says("how thick is ten plies of bid")

    assert "a standard cloth of 8.8 oz/yd², from memory, hand-laid" in told[0]
    assert "measure a coupon" in told[1]


def test_more_vacuum_than_there_is_air_is_refused(phone):
    assert "check gauge, unit and elevation" in phone.says("what does forty inches press with")[0]


def test_a_cup_that_heats_itself_carries_its_caution(phone):
    assert any(
        "may run away" in line
        for line in phone.says("how much hardener for four hundred grams at four to one")
    )


def test_a_number_that_may_be_another_is_told_before_the_answer(phone):
    said = ("how", "thick", "is", "ten", "plies", "of", "bid")
    words = tuple(Word(w, confidence=0.9, runner_up="two" if w == "ten" else "") for w in said)
    told = phone.says(Hearing(words, engine="test").as_json())

    assert told[0] == "plies: ten, or two? (the sound fits both)"
    assert told[1].startswith("10 plies of BID")


def test_an_answer_is_said_aloud_in_words_without_the_other_units(phone):
    told = phone.pocket.take("what does twenty two inches press with", NOW)

    assert told["lines"][0] == "22 inHg presses with 10.81 psi (74.5 kPa): 1556 lbf (6921 N) on 1 ft²."
    assert told["say"][0] == (
        "twenty two inches of mercury presses with ten point eight one pounds per square inch: "
        "one five five six pounds force on one square foot."
    )


def test_what_only_looks_like_an_amount_is_said_as_it_is():
    line = "at 4:1 by weight, 2 of 4 BID laid, 10 plies, on 3 March 2026."
    assert amounts_aloud(f"9 mil a ply, {line}") == f"nine thousandths a ply, {line}"


def test_a_question_keeps_nothing(phone):
    phone.says("how thick is ten plies of bid")

    assert phone.pocket.board(NOW)["count"] == 0
