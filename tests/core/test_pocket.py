"""The bench in a builder's pocket: the acts that a phone keeps for what was said, and what it shows."""

from pathlib import Path

import pytest
from support.devices import Device

from plytally.core.hearing import Hearing, Word
from plytally.core.pocket import NOT_UNDERSTOOD, NOTHING_BEFORE, Pocket
from plytally.schedule_file import read_schedule_file

PRINT = read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml").as_json()
NOW = "2026-11-03T19:05:12.040+01:00"
LAID = "laid three plies of bid at forty five on the right elevator spar fore face"


class Phone:
    """A pocket whose acts are made into operations and shown back, as the app does it."""

    def __init__(self):
        self.pocket, self.device = Pocket(PRINT), Device()

    def says(self, hearing):
        return self.keeps(self.pocket.take(hearing, NOW))

    def settles(self, field, choice):
        return self.keeps(self.pocket.settle(self.newest["id"], field, choice))

    def keeps(self, reply):
        made = [self.device.does(act["act"], act["target"], act["body"]) for act in reply["acts"]]
        assert self.pocket.saw([(operation.as_json(), None) for operation in made]) == []
        return reply

    @property
    def newest(self):
        return self.pocket.board(NOW)["entries"][0]


@pytest.fixture
def phone():
    return Phone()


def test_a_layup_counts_against_the_print_at_once(phone):
    before = phone.says("what is owed on the right elevator spar")["lines"]
    phone.says(LAID)
    after = phone.says("what is owed on the right elevator spar")["lines"]
    assert "right elevator spar, fore face: 0 of 3 BID laid, 3 owed." in before
    assert "right elevator spar, fore face: 0 of 3 BID laid, 3 owed." not in after


def test_the_same_layup_again_comes_back_as_a_doubt(phone):
    phone.says(LAID)
    phone.says(LAID)
    assert "has its 3 BID" in phone.newest["doubts"][0]["why"]


def test_scratch_that_withdraws_the_entry_before(phone):
    phone.says(LAID)
    phone.says("scratch that")
    assert phone.newest["withdrawn"] == "scratch that"


def test_make_it_changes_the_amount_and_keeps_the_old_value(phone):
    phone.says(LAID)
    reply = phone.says("make it two")
    assert reply["acts"][0]["body"]["over"] == [phone.newest["id"]]
    assert phone.newest["line"].startswith("laid: 2 plies BID")


def test_make_it_that_fits_nothing_changes_nothing(phone):
    phone.says("bagged the right elevator spar")
    assert phone.says("make it three")["acts"] == []


def test_confirm_settles_what_was_doubted(phone):
    phone.says(LAID.replace("three", "nineteen"))
    assert "plies" in [doubt["field"] for doubt in phone.newest["doubts"]]
    phone.says("confirm")
    assert "plies" not in [doubt["field"] for doubt in phone.newest["doubts"]]


def test_a_side_left_unsaid_is_settled_by_touch(phone):
    phone.says("laid three plies of bid on the elevator spar fore face")
    phone.settles("side", "right")
    assert "right elevator spar" in phone.newest["line"]
    assert "side" not in [doubt["field"] for doubt in phone.newest["doubts"]]


def test_the_other_number_that_the_sound_fits_is_taken_in_the_same_words(phone):
    said = ["vacuum", "nineteen", "inches", "on", "the", "right", "elevator", "spar"]
    words = tuple(Word(w, confidence=0.6, runner_up="ninety" if w == "nineteen" else "") for w in said)
    phone.says(Hearing(words, engine="test").as_json())
    assert "gauge" in [doubt["field"] for doubt in phone.newest["doubts"]]
    phone.settles("gauge", "heard")
    assert "19" in phone.newest["line"]


def test_words_that_fit_no_field_change_nothing(phone):
    phone.says(LAID)
    assert phone.settles("plies", "heard")["acts"][0]["body"]["value"] == 3
    assert phone.settles("plies", "not a number")["acts"] == []


def test_speech_outside_the_phrasebook_is_a_plain_note(phone):
    reply = phone.says(Hearing((Word("three"), Word("bid")), covered=False, engine="test").as_json())
    assert reply["lines"] == [NOT_UNDERSTOOD]
    assert phone.newest["kind"] == "note"


@pytest.mark.parametrize("said", ["scratch that", "make it three", "confirm", "read it back"])
def test_a_command_with_nothing_before_it_says_so(phone, said):
    assert phone.says(said)["lines"] == [NOTHING_BEFORE]


def test_what_is_no_operation_is_told_and_the_rest_is_taken(phone):
    good = Device().notes().as_json()
    refused = phone.pocket.saw([({"id": "x"}, None), (good, None)])
    assert len(refused) == 1
    assert phone.pocket.board(NOW)["count"] == 1


def test_without_a_print_notes_are_taken_all_the_same():
    reply = Pocket(None).take("mixed eighty grams at four to one", NOW)
    assert reply["acts"][0]["body"]["entry"]["kind"] == "mixed"


def liking(**likes):
    made = Phone()
    made.pocket = Pocket(PRINT, likes=likes)
    return made


def test_amounts_are_shown_as_the_desk_likes_them_and_said_as_they_were_said():
    phone = liking(units="metric")
    reply = phone.says("vacuum twenty two inches on the right elevator spar")
    assert "22 inHg (74.5 kPa)" in reply["lines"][-1]
    assert "22 inHg (74.5 kPa)" in phone.newest["line"]
    assert "twenty two inches of mercury" in reply["say"][-1]


def test_days_and_times_of_an_answer_are_written_as_the_desk_likes_them():
    phone = liking(dates="month_day", clock="12")
    phone.says("vacuum twenty two inches on the right elevator spar")
    (line,) = phone.says("what was the last vacuum reading")["lines"]
    assert line.endswith("on November 3, 2026 at 8:20 am.")


def test_a_temperature_has_its_sign(phone):
    assert phone.says("shop air seventy two degrees")["lines"] == ["shop air: 72 °F"]


def test_any_entry_is_scratched_by_touch_and_stays_readable(phone):
    phone.says(LAID)
    first = phone.newest["id"]
    phone.says("mixed eighty grams at four to one")
    reply = phone.keeps(phone.pocket.scratch(first))
    assert reply["lines"] == ["scratched: laid: 3 plies BID at 45, right elevator spar, fore"]
    assert phone.pocket.entry(first)["withdrawn"] == "scratched by touch"
    assert phone.newest["withdrawn"] is None


def test_what_was_scratched_asks_nothing_more(phone):
    phone.says("laid two plies bid on the elevator spar aft face")
    assert len(phone.pocket.board(NOW)["to_settle"]) == 1
    phone.keeps(phone.pocket.scratch(phone.newest["id"]))
    assert phone.pocket.board(NOW)["to_settle"] == []
