"""Large buttons: whatever is chosen makes a sentence that says just that."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.devices import Device, doubt

from plytally.core.choosing import KIND, PADS, SAID, SKIPPED, next_ask, sentence
from plytally.core.entry import KINDS
from plytally.core.hearing import typed
from plytally.core.pocket import Pocket
from plytally.core.understand import understand
from plytally.core.vocabulary import Vocabulary, from_schedule
from plytally.schedule_file import read_schedule_file

NOW = "2026-11-03T19:05:12.040+01:00"
PRINT = read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml")
WORDS = from_schedule(PRINT)
NUMBERS = {
    "plies": "2",
    "holes": "4",
    "batch": "417",
    "grit": "120",
    "ounces": "3",
    "ratio": "4",
    "degrees fahrenheit": "72",
    "hours": "3",
}


SMALL = {"thousandths": "82", "millimeters": "2", "inches": "1"}
LARGE = {"thousandths": "750", "millimeters": "40", "inches": "3"}
LENGTHS = {"gap": SMALL, "step": SMALL, "thickness": SMALL, "width": LARGE, "height": LARGE}


def number(picked, field, unit):
    """An amount that nobody asks about."""
    if field == "measure":
        return LENGTHS[picked["quality"]][unit]
    return NUMBERS.get(unit) or NUMBERS.get(field, "22")


def choose(chance, kind):
    """Choose until nothing is left to choose."""
    picked = {KIND: kind}
    while (ask := next_ask(picked, WORDS)) is not None:
        options = [f"{number(picked, ask.field, unit)} {unit}".strip() for unit in ask.units] + list(
            ask.choices
        )
        picked[ask.field] = chance.draw(st.sampled_from([*options, *([SKIPPED] if ask.optional else [])]))
    return picked


WORKED = sorted(set(SAID) - {"clock"})  # clocks: test_choosing_clock.py


@settings(deadline=None)
@given(st.data(), st.sampled_from(WORKED))
def test_a_sentence_means_what_was_chosen_and_nothing_else(chance, kind):
    picked = choose(chance, kind)
    said = sentence(picked, WORDS)
    meant = understand(typed(said), WORDS)
    wanted = {name: value for name, value in picked.items() if value and name != KIND}
    assert (meant.name, set(meant.fields)) == (kind, set(wanted)), said
    for name, value in wanted.items():
        found = meant.fields[name]
        shown = str(found)
        assert shown.startswith(value.split()[0]) if name in PADS else shown == value, said
    assert not meant.doubts, said


@settings(deadline=None)
@given(st.data(), st.sampled_from(WORKED))
def test_there_is_no_sentence_before_what_the_kind_needs_was_chosen(chance, kind):
    picked = choose(chance, kind)
    for needed in KINDS[kind].needs:
        assert sentence({name: value for name, value in picked.items() if name != needed}, WORDS) == ""


def test_every_kind_that_a_hand_can_note_is_offered():
    spoken_only = {"photo", "note", "worked", "to_do", "to_answer"}
    assert set(KINDS) - set(SAID) <= spoken_only


def test_without_a_print_only_kinds_without_a_place_are_offered():
    ask = next_ask({}, Vocabulary())
    assert set(ask.choices) == {"mixed", "clock", "vacuum", "shop_air", "started", "stopped", "spent"}


def test_the_part_worked_on_last_is_offered_first():
    assert next_ask({KIND: "laid"}, WORDS, ["rudder post"]).choices[:2] == (
        "rudder post",
        WORDS.parts[0].part.name,
    )


def test_a_part_with_two_sides_is_asked_for_its_side_and_another_is_not():
    assert next_ask({KIND: "laid", "part": "elevator spar"}, WORDS).field == "side"
    assert next_ask({KIND: "laid", "part": "rudder post"}, WORDS).field == "face"


@pytest.fixture
def pocket():
    return Pocket(PRINT.as_json())


def not_understood(device):
    return device.notes({"kind": "note", "fields": {}, "said": ""}, doubts=[doubt("text")])


def test_a_note_that_was_not_understood_becomes_what_was_told_by_hand_and_stays_the_same_entry(pocket):
    phone = Device("phone")
    note = not_understood(phone)
    pocket.saw([(note.as_json(), None)])
    reply = pocket.retell(note.id, "mixed 80 grams at 4 to 1", NOW)
    for act in reply["acts"]:
        made = phone.does(act["act"], act["target"], act["body"])
        pocket.saw([(made.as_json(), None)])
    (row,) = pocket.board(NOW)["entries"]
    assert reply["target"] == row["id"] == note.id
    assert (row["kind"], row["doubts"]) == ("mixed", [])
    assert row["line"].startswith("resin mixed: 80 g at 4:1")


def test_words_that_make_no_entry_change_nothing(pocket):
    note = not_understood(Device("phone"))
    pocket.saw([(note.as_json(), None)])
    assert pocket.retell(note.id, "what is owed", NOW)["acts"] == []
