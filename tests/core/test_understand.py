"""Words to meaning: what becomes an entry, what stays a plain note, and what is doubted."""

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.entry import Doubt
from plytally.core.hearing import Hearing, Word, typed
from plytally.core.phrasebook import phrase_words
from plytally.core.quantities import Ratio
from plytally.core.understand import Context, understand
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file

QUILLWING = from_schedule(read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml"))


def meant(text, context=None):
    return understand(typed(text), QUILLWING, context)


def heard(text, *, unsure=None, runner_up=None):
    words = tuple(
        Word(w, confidence=(unsure or {}).get(w, 1.0), runner_up=(runner_up or {}).get(w, ""))
        for w in text.split()
    )
    return understand(Hearing(words, engine="test"), QUILLWING)


def doubted(understanding):
    return {doubt.field: doubt for doubt in understanding.doubts}


def test_an_entry_that_was_heard_well_has_no_doubt():
    assert meant("laid two plies bid on the right elevator spar aft face").doubts == ()


def test_the_words_are_kept_as_they_were_said():
    assert meant("Laid two plies BID on the rudder post fore face.").entry.said.startswith(
        "Laid two plies BID"
    )


def test_a_number_with_a_runner_up_is_doubted_with_both():
    result = heard("mixed nineteen grams of flox", runner_up={"nineteen": "ninety"})

    assert doubted(result)["mass"] == Doubt("mass", "nineteen grams", "ninety grams", "the two sound alike")


def test_a_side_heard_with_little_confidence_is_doubted():
    result = heard("bagged the right elevator spar", unsure={"right": 0.4})

    assert doubted(result)["side"].heard == "right"


def test_a_filler_heard_with_little_confidence_is_not_doubted():
    assert heard("bagged the right elevator spar", unsure={"the": 0.1}).doubts == ()


@pytest.mark.parametrize(
    ("text", "field"),
    [
        ("laid two plies bid on the elevator spar aft face", "side"),
        ("laid two plies bid on the right elevator spar", "face"),
        ("laid two plies bid", "part"),
        ("shop is seventy degrees and three percent", "humidity"),
        ("vacuum thirty five inches", "gauge"),
        ("laid forty plies bid on the right elevator spar aft face", "plies"),
        ("laid two plies bid on the right elevator spar upper face", "unused"),
    ],
)
def test_what_was_not_said_or_cannot_be_is_doubted(text, field):
    assert field in doubted(meant(text))


def test_words_left_over_are_kept_and_doubted():
    result = meant("laid two plies bid on the rudder post fore face over the tape")

    assert "over tape" in " ".join(result.unused).replace("the ", "")
    assert "unused" in doubted(result)


@pytest.mark.parametrize(
    "text",
    [
        "did not lay two plies bid on the right elevator spar aft face",
        "never bagged the rudder post",
        "laid two plies bid on the rudder post fore face except the tip",
        "bagged the rudder post instead",
    ],
)
def test_words_that_turn_the_meaning_leave_a_plain_note(text):
    result = meant(text)

    assert (result.name, result.fields) == ("note", {"text": text})


@pytest.mark.parametrize(
    "text",
    [
        "my neighbour came round to look at the workshop this morning",
        "the right tool for this would be a longer roller i think",
        "we should get two coffees and talk about the plies some other time",
        "hinge",
        "",
    ],
)
def test_ordinary_talk_is_a_plain_note(text):
    assert meant(text).name == "note"


def test_speech_outside_the_grammar_is_never_bent_into_an_entry():
    words = tuple(
        Word(w) for w in ["laid", "two", "plies", "bid", "on", "the", "rudder", "post", "fore", "face"]
    )

    result = understand(Hearing(words, covered=False, engine="test"), QUILLWING)

    assert result.name == "note"
    assert "text" in doubted(result)


def test_a_note_spoken_freely_keeps_its_text():
    words = tuple(Word(w) for w in ["note", "that", "the", "mould", "slipped"])

    assert understand(Hearing(words, covered=False), QUILLWING).fields == {"text": "the mould slipped"}


def test_the_same_place_is_taken_from_the_entry_before_and_doubted():
    before = Context({"part": "elevator spar", "side": "right", "face": "aft"})

    result = meant("laid two plies bid on the same place", before)

    assert {k: result.fields[k] for k in ("part", "side", "face")} == before.place
    assert "part" in doubted(result)


def test_a_bare_face_borrows_part_and_side_only():
    before = Context({"part": "elevator spar", "side": "right", "face": "aft", "station": "hinge 2"})

    result = meant("laid two plies bid on the fore face", before)

    assert (result.fields["part"], result.fields["side"], result.fields["face"]) == (
        "elevator spar",
        "right",
        "fore",
    )
    assert "station" not in result.fields


def test_fillers_are_no_words_left_over():
    result = meant("okay so laid uh two plies bid on the rudder post fore face please")

    assert (result.name, result.unused, result.doubts) == ("laid", (), ())


@settings(max_examples=150, deadline=None)
@given(
    st.lists(
        st.sampled_from([*sorted(phrase_words(QUILLWING)), "banana", "not", "7", "4:1", "…"]), max_size=14
    )
)
def test_no_words_make_it_fail_and_none_are_dropped(words):
    text = " ".join(words)

    result = meant(text)

    assert result.said == text
    if result.entry is not None:
        assert result.entry.said == text


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=80))
def test_any_text_at_all_is_understood_somehow(text):
    assert meant(text).makes in {"entry", "command", "question"}


@pytest.mark.parametrize(
    ("text", "fields"),
    [
        (
            "just put down two layers of bid on the aft side of the right elevator spar",
            {"plies": 2, "face": "aft"},
        ),
        ("i laid up 2 plies of BID on the right elevator spar, aft face.", {"plies": 2, "side": "right"}),
        (
            "laid 2 plies bid at 45 degrees on the left elevator rib 3 outboard face",
            {"part": "elevator rib 3"},
        ),
        (
            "laid 2 plies bid on the right elevator spar aft face at 45 batch 742",
            {"orientation": "45", "batch": "742"},
        ),
        ("right elevator spar aft face two plies bid", {"plies": 2, "face": "aft"}),
        ("sanded right elevator spar with 120 grit", {"grit": 120}),
    ],
)
def test_the_same_thing_said_or_typed_in_other_words_is_the_same_entry(text, fields):
    result = meant(text)

    assert {name: result.fields.get(name) for name in fields} == fields
    assert result.doubts == ()


def test_a_word_that_only_joins_the_fields_asks_nothing_when_it_was_heard_unclearly():
    said = "drilled four holes in the right elevator spar at hinge one"

    assert heard(said, unsure={"at": 0.5, "in": 0.5}).doubts == ()
    assert "kind" in doubted(heard(said, unsure={"drilled": 0.5}))


def test_words_for_what_was_done_that_fitted_another_kind_are_doubted():
    result = heard("bagged the right elevator spar", runner_up={"bagged": "bonded"})

    assert doubted(result)["kind"] == Doubt("kind", "bagged", "bonded", "the sound fits both")


def test_a_place_heard_with_a_runner_up_is_no_doubt_about_what_was_done():
    assert "kind" not in doubted(heard("bagged the right elevator spar", runner_up={"right": "left"}))


@pytest.mark.parametrize(
    ("text", "field", "value"),
    [
        ("laid to plies bid on the rudder post fore face", "plies", 2),
        ("laid too plies bid on the rudder post fore face", "plies", 2),
        ("laid for plies bid on the rudder post fore face", "plies", 4),
        ("mixed eighty grams at for to one", "ratio", Ratio(Decimal(4), Decimal(1))),
    ],
)
def test_a_number_written_as_a_word_that_sounds_like_it_is_read_and_doubted(text, field, value):
    result = meant(text)

    assert result.fields[field] == value
    assert "heard as" in doubted(result)[field].why


def test_a_preposition_before_a_number_stays_one():
    assert meant("sanded the rudder post to two twenty grit").doubts == ()
