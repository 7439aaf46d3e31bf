"""The bench cards: the same truth for page and command line; what is refused; what is kept."""

import json
import shlex
from pathlib import Path

import pytest
from click.testing import CliRunner
from hypothesis import given as having
from hypothesis import settings
from hypothesis import strategies as st

from plytally.core.cards.card import Ask, Asks, CardError, Holds
from plytally.core.cards.keeping import entry_of, work_out
from plytally.core.cards.reading import value
from plytally.core.cards.table import CARDS
from plytally.core.cards.telling import card_json
from plytally.core.entry import Entry
from plytally.core.quantities import Dimension, Quantity, unit_named
from plytally.shop_commands import shop

VECTORS = json.loads((Path(__file__).parents[1] / "vectors/cards.json").read_text())
LENGTH = Ask("long", "Length", Dimension.LENGTH)
BY_CARD = pytest.mark.parametrize("vector", VECTORS, ids=[vector["card"] for vector in VECTORS])


def commanded(line):
    """Every answer that the command line gives, by what it is."""
    result = CliRunner().invoke(shop, [*shlex.split(line), "--json"])
    assert result.exit_code == 0, result.output
    return list(_answers(json.loads(result.output)["results"]))


def _answers(told):
    if isinstance(told, dict) and "formula" in told:
        yield told["what"], told["shown"], told["formula"], told["source"]
    elif isinstance(told, dict | list):
        for each in told.values() if isinstance(told, dict) else told:
            yield from _answers(each)


def test_every_card_has_a_vector():
    assert [vector["card"] for vector in VECTORS] == list(CARDS)


@BY_CARD
def test_a_card_tells_what_it_should(vector):
    told = work_out(vector["card"], vector["given"])

    assert told["wrong"] is None
    assert vector["shows"] in [part["shown"] for part in told["parts"] if isinstance(part, dict)]


@BY_CARD
def test_page_and_command_line_tell_the_same_of_the_same(vector):
    told = work_out(vector["card"], vector["given"])
    parts = [part for part in told["parts"] if isinstance(part, dict)]

    assert [(p["what"], p["shown"], p["formula"], p["source"]) for p in parts] == commanded(
        CARDS[vector["card"]].example
    )


@BY_CARD
def test_every_answer_has_its_formula_its_inputs_and_its_source(vector):
    for part in work_out(vector["card"], vector["given"])["parts"]:
        if isinstance(part, dict):
            assert part["formula"]
            assert part["source"]
            assert part["inputs"]


@BY_CARD
def test_a_kept_card_is_an_entry_without_doubt_that_holds_what_was_given_and_found(vector):
    place = {"part": "elevator spar", "side": "right"}
    entry = entry_of(vector["card"], vector["given"], place)

    assert entry.kind == "worked"
    assert entry.doubts == ()
    assert entry.lacks == ()
    assert vector["shows"] in entry.fields["text"]
    assert str(entry.place) == "right elevator spar"
    assert Entry.from_json(entry.as_json()) == entry
    for text in _texts(vector["given"]):
        assert text in entry.fields["text"]


def _texts(given):
    for each in given.values():
        if isinstance(each, str):
            yield each if each != "no" else ""
        else:
            yield from (text for row in each for text in row)


@BY_CARD
def test_a_card_that_is_given_nothing_says_what_it_needs_unless_nothing_is_what_it_needs(vector):
    wrong = work_out(vector["card"], {})["wrong"]

    assert (wrong is None) == (vector["card"] == "air")
    assert wrong is None or wrong["why"]


def test_the_washer_and_four_tapes_are_found_as_common_practice_has_them():
    vector = next(vector for vector in VECTORS if vector["card"] == "spacer")

    assert work_out("spacer", vector["given"])["parts"][0] == "take 1 of washer and 4 of tape"


def test_the_drop_test_is_drawn_with_its_readings_its_limit_and_the_leak_carried_on():
    vector = next(vector for vector in VECTORS if vector["card"] == "drop-test")
    (curve,) = work_out("drop-test", vector["given"])["curves"]

    assert [line["drawn"] for line in curve["lines"]] == ["read", "limit", "reckoned"]
    assert curve["lines"][0]["points"] == [["0", "25"], ["2", "24.4"]]
    assert curve["lines"][1]["points"] == [["0", "25"], ["2", "23"]]
    assert (curve["across"], curve["up"]) == ("min", "inHg")


@pytest.mark.parametrize(
    ("card", "given", "says"),
    [
        ("thickness", {"plies": [["3", "6 oz"]]}, "give areal weight with its unit"),
        ("thickness", {"plies": [["3", ""]]}, "dry weight of the cloth is missing"),
        ("thickness", {"plies": [["three", "6 oz/yd2"]]}, "'three' is not a whole number"),
        ("thickness", {"plies": [["-3", "6 oz/yd2"]]}, "whole number from 1"),
        ("vacuum", {"gauge": "22 g"}, "give pressure with its unit"),
        ("vacuum", {"gauge": "-1 inHg"}, "more than nothing"),
        ("vacuum", {"gauge": "22 inHg", "pump_leaves": "40 inHg"}, "over the air's"),
        ("mix", {"ratio": "4:1"}, "give one of whole, resin and area"),
        ("mix", {"ratio": "4"}, "write it like 4:1"),
        ("mix", {"ratio": "4:1", "whole": "300 mL"}, "mass with its unit"),
        ("drop-test", {"reading": [["0 min", "25 inHg"], ["1 min", "24 inHg"]]}, "choose one limit"),
        ("drop-test", {"limit": "bag", "reading": [["", ""]]}, "nothing is given yet"),
        ("drop-test", {"limit": "sack", "reading": [["0 min", "25 inHg"]]}, "none of bag"),
        ("balance", {"item": [["skins", "1 lb", "2 in"]], "lead_arm": "4 in"}, "ahead of the hinge"),
        ("straight", {"at": [["0 in", "0 in"]] * 60}, "24 at most"),
        ("thickness", {"plise": []}, "asks for no such thing"),
        ("thickness", {"plies": "ten"}, "wanted a list of rows"),
        ("laminate", {}, "is no card"),
    ],
    ids=lambda part: str(part)[:30],
)
def test_nonsense_is_refused_with_what_to_do(card, given, says):
    assert says in work_out(card, given)["wrong"]["why"]


def test_a_vacuum_beyond_the_air_is_no_error_but_the_answer():
    told = work_out("vacuum", {"gauge": "22 inHg", "elevation": "9000 ft"})

    assert told["wrong"] is None
    assert "22 inHg is not possible here" in told["parts"][0]


@pytest.mark.parametrize(
    ("text", "amount"), [("0,085 in", "0.085"), (",5 in", "0.5"), ("-1,25 in", "-1.25"), ("12,5 in", "12.5")]
)
def test_a_decimal_comma_is_a_point_where_it_can_be_nothing_else(text, amount):
    assert str(value(LENGTH, text).amount) == amount


@pytest.mark.parametrize("text", ["1,250 in", "12,000 in"])
def test_a_comma_that_may_part_thousands_is_refused_with_both_ways_to_write_it(text):
    with pytest.raises(CardError, match="can be read in two ways"):
        value(LENGTH, text)


@settings(deadline=None)
@having(st.decimals("-9999", "9999", places=3), st.sampled_from(["in", "mil", "mm", "ft"]))
def test_what_is_written_with_a_point_is_read_as_it_is(number, unit):
    assert value(LENGTH, f"{number:f} {unit}") == Quantity(number, unit_named(unit))


def test_own_ply_kept_with_its_material_holds_the_thickness_for_later_questions():
    entry = entry_of("own-ply", {"coupon": [["52 mil", "5"]], "material": "BID"}, {})

    assert entry.fields["quality"] == "ply thickness"
    assert str(entry.fields["measure"]) == "10.4 mil"


def test_pot_life_kept_holds_the_makers_row_and_a_cure_does_not_pass_for_one():
    given = {"temperature": "90 degF", "maker": [["72 degF", "30 min"]]}

    assert str(entry_of("time-at", given, {}).fields["duration"]) == "30 min"
    assert "duration" not in entry_of("time-at", {**given, "what": "cure"}, {}).fields


@pytest.mark.parametrize("card", CARDS.values(), ids=list(CARDS))
def test_a_card_is_asked_in_plain_values_each_input_with_a_label_and_its_units(card):
    asked = card_json(card)

    assert json.loads(json.dumps(asked)) == asked
    for ask in _asks(card):
        assert ask.label
        assert bool(ask.offered) == (isinstance(ask.holds, Dimension) or ask.holds is Holds.AMOUNT)
        assert (ask.holds is Holds.CHOICE) == bool(ask.choices)
        assert not ask.usual or value(ask, ask.usual) is not None


def _asks(card):
    for each in card.inputs:
        yield from each.columns if isinstance(each, Asks) else (each,)
