"""Typed words in whatever order: what is found, what is asked about, and what never becomes an entry."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.crediting import Dated
from plytally.core.hearing import typed
from plytally.core.names import Name
from plytally.core.other_words import other_ways
from plytally.core.repairs import repair
from plytally.core.understand import understand
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file

WORDS = from_schedule(read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml"))


SPOKEN = ("two", "no", "three", "sorry", "left", "right", "bid", "plies", "rudder", "wait")


def meant(text):
    return understand(typed(text), WORDS)


def told(text):
    made = meant(text)
    return made.name, {name: str(value) for name, value in made.fields.items()}


PIECES = (
    ("laid", ("laid", "two plies of bid", "on the left elevator spar", "fore face"), 2),
    ("weighed", ("weighed", "1100 grams", "left elevator"), 1),
    ("sanded", ("sanded", "the rudder post", "with 120 grit"), 2),
    ("vacuum", ("gauge shows", "22 inHg", "on the rudder post"), 1),
)


@settings(deadline=None, max_examples=40)
@given(st.sampled_from(PIECES).flatmap(lambda row: st.tuples(st.just(row), st.permutations(row[1]))))
def test_the_order_of_what_is_said_changes_no_field(drawn):
    (kind, pieces, _), order = drawn
    assert told(" ".join(order)) == told(" ".join(pieces))
    assert told(" ".join(pieces))[0] == kind


@pytest.mark.parametrize(
    "said",
    [
        "is the rudder bagged",
        "was the rudder post sanded",
        "did we bag the rudder",
        "have you sanded the rudder post",
        "should i put two or three plies of bid on the rudder spar",
        "two plies of bid on the rudder post fore face?",
        "laid two plies of bid on the rudder post fore face?",
        "bagged the rudder?",
    ],
)
def test_a_question_never_becomes_an_entry_of_work(said):
    assert meant(said).name in {"note", "have_laid"}


@pytest.mark.parametrize(
    "said",
    [
        "i'm about to bag the left elevator later",
        "never bagged the rudder",
        "the rudder needs sanding",
        "i would have weighed the rudder",
        "couldn't get the bag off the rudder",
        "the plans say two plies of bid on the rudder post fore face",
        "nearly finished sanding the rudder",
    ],
)
def test_what_was_not_done_is_not_noted_as_done(said):
    assert meant(said).name == "note"


@pytest.mark.parametrize(
    ("said", "field", "now", "first"),
    [
        ("two, no, three plies of bid on the rudder post fore face", "plies", "3", "two"),
        ("mixed eighty grams no ninety of epoxy at four to one", "mass", "90 g", "eighty"),
        ("bagged the left no the right elevator spar", "side", "right", "left"),
        ("laid two plies of bid sorry uni on the rudder spar aft face", "material", "UNI", "bid"),
    ],
)
def test_what_is_put_right_in_the_same_breath_is_asked_about_with_both(said, field, now, first):
    made = meant(said)
    (doubt,) = [each for each in made.doubts if each.field == field]
    assert str(made.fields[field]) == now
    assert doubt.runner_up == first


@settings(deadline=None)
@given(st.lists(st.sampled_from(SPOKEN), max_size=8))
def test_a_correction_keeps_the_words_around_it(words):
    found = repair(tuple(words), (frozenset(("left", "right")),))
    if found:
        assert 0 <= found.start < found.end <= len(words)
        assert all(found.start <= at < found.end for at in found.kept)


def test_a_name_that_is_said_so_goes_before_the_trades_other_word_for_another():
    assert other_ways((Name("upper"), Name("top"))) == ()
    assert {name.name: name.spoken for name in other_ways((Name("upper skin"), Name("lower skin")))} == {
        "upper skin": ("top skin",),
        "lower skin": ("bottom skin",),
    }


@pytest.mark.parametrize(
    "said",
    [
        "laid two plies of bid over the tape on the rudder post fore face",
        "weighed the rudder 2 kg including hinges",
    ],
)
def test_what_explains_nothing_is_asked_about(said):
    assert "unused" in {doubt.field for doubt in meant(said).doubts}


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ("laid two plies of bid on the fore face and three on the aft face of the rudder post", "plies"),
        ("laid two plies of bid on the fore face and three on the aft face of the rudder post", "face"),
        ("laid two plies of bid on the rudder post fore face and the rudder spar", "part"),
        ("sanded the left and right elevator spar", "side"),
        ("hinge one and hinge two drilled on the right elevator spar", "station"),
        ("kit came with two plies of bid already on the rudder spar fore face", "kind"),
        ("the gauge was at twenty two inches yesterday on the rudder post", "kind"),
    ],
)
def test_another_number_or_place_left_over_keeps_the_entry_from_counting(said, field):
    made = meant(said)
    open_doubts = tuple(doubt.field for doubt in made.doubts)
    assert field in open_doubts
    assert Dated("1", "2026-11-03T19:05:12.040+01:00", made.entry, open_doubts).in_doubt


@pytest.mark.parametrize(
    "said",
    [
        "tore two plies of bid off the rudder post fore face",
        "removed one ply of bid from the rudder post fore face",
        "three plies of bid wasted on the rudder post fore face",
        "cut two plies of bid for the rudder spar fore face",
        "the inspector said to put another ply of bid on the rudder spar fore face",
        "the left elevator is 200 grams heavier than the right elevator",
    ],
)
def test_what_is_told_of_plies_and_lays_none_credits_none(said):
    assert meant(said).name == "note"


def test_peel_ply_goes_on_once_without_being_counted():
    """Common practice, no source: one layer, which comes off again."""
    noted = meant("peel ply on the rudder post fore face")

    assert noted.fields["plies"] == 1
    assert noted.doubts == ()
