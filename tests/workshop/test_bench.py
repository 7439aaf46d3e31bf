"""One builder at work: notes become entries, corrections reach the right one, questions are answered."""

from pathlib import Path

import pytest

from plytally.core.hearing import Hearing, Word, typed
from plytally.core.wall import read_wall
from plytally.store.log import Recording
from plytally.workshop.bench import NOTHING_BEFORE, Bench
from plytally.workshop.places import UnknownPlace

QUILLWING = Path(__file__).parents[2] / "demo_entries/quillwing.yaml"
SPAR = "right elevator spar"


class WallClock:
    """A clock that stands until it is told."""

    def __init__(self):
        self.millis, self.bits = read_wall("2026-03-14T19:00:00.000-05:00").millis, 0

    def now_millis(self):
        return self.millis

    def offset_min(self):
        return -300

    def random_bits(self):
        self.bits += 1
        return self.bits


@pytest.fixture
def clock():
    return WallClock()


@pytest.fixture
def bench(tmp_path, clock):
    with Bench.open(tmp_path / "log", clock) as made:
        made.take_schedule(QUILLWING)
        yield made


def say(bench, text, **kwargs):
    bench.clock.millis += 60_000
    return bench.take(typed(text), **kwargs)


def test_a_spoken_layup_is_taken_off_what_is_owed(bench):
    say(bench, f"laid two plies bid on the {SPAR} aft face")

    lines = say(bench, f"what is still owed on the {SPAR} aft face").lines

    assert "right elevator spar, aft face: 2 of 4 BID laid, 2 owed." in lines


def test_a_repeated_layup_comes_back_as_a_doubt(bench, clock):
    say(bench, "laid two plies bid on the rudder post fore face")
    clock.millis += 400 * 86_400_000

    reply = say(bench, "laid two plies bid on the rudder post fore face")

    assert "has its 2 BID since 13 months" in reply.lines[0]
    assert "rudder post, fore face" in reply.lines[0]


def test_a_layup_in_doubt_does_not_count_until_it_is_confirmed(bench):
    words = tuple(
        Word(w, runner_up="three" if w == "two" else "")
        for w in ["laid", "two", "plies", "bid", "on", "the", "rudder", "post", "fore", "face"]
    )
    bench.take(Hearing(words, engine="test"))
    before = say(bench, "what is owed on the rudder post fore face").lines

    say(bench, "confirm")

    assert before == ("rudder post, fore face: 0 of 2 BID laid, 2 more in doubt, 2 owed.",)
    assert say(bench, "what is owed on the rudder post fore face").lines == (
        "nothing is owed on the rudder post, fore face.",
    )


def test_scratch_that_withdraws_the_last_entry_and_keeps_it_readable(bench):
    note = say(bench, f"bagged the {SPAR}").logged

    say(bench, "scratch that")

    assert bench.log.entry(note.id).withdrawn == "scratch that"
    assert bench.last() is None


def test_make_it_changes_the_last_entry_and_keeps_the_old_value(bench):
    note = say(bench, "laid two plies bid on the rudder post fore face").logged

    say(bench, "make it one")

    changed = bench.log.entry(note.id)
    assert changed.entry.fields["plies"] == 1
    assert [change.value for change in changed.history("plies")] == [2, 1]


def test_make_it_that_does_not_fit_changes_nothing_and_says_so(bench):
    say(bench, "bagged the rudder post")

    assert say(bench, "make it three").lines[0].startswith("nothing is changed: the last entry (bagged)")


def test_a_command_without_an_entry_before_it_says_so(bench):
    assert say(bench, "scratch that").lines == (NOTHING_BEFORE,)


def test_confirm_leaves_open_what_was_never_said(bench):
    say(bench, "laid two plies bid on the elevator spar aft face")

    assert any(line.startswith("side?") for line in say(bench, "confirm").lines)


def test_the_face_alone_is_enough_after_an_entry_and_is_doubted(bench):
    say(bench, f"laid four plies bid on the {SPAR} aft face")
    say(bench, "shop air seventy degrees")

    entry = say(bench, "laid three plies bid on the fore face").logged.entry

    assert (entry.fields["part"], entry.fields["side"], entry.fields["face"]) == (
        "elevator spar",
        "right",
        "fore",
    )
    assert {"part", "side"} <= {doubt.field for doubt in entry.doubts}


def test_questions_about_cup_and_vacuum_are_answered_from_the_log(bench, clock):
    say(bench, "mixed eighty grams of epoxy at four to one")
    say(bench, f"vacuum twenty two inches on the {SPAR}")
    clock.millis += 20 * 60_000

    (cup,) = say(bench, "how old is the cup").lines
    assert cup.startswith("22 minutes since resin mixed: 80 g epoxy at 4:1; its pot life was over 2 minutes")
    assert (
        say(bench, "what vacuum did i last read")
        .lines[0]
        .startswith("vacuum reading: 22 inHg, right elevator spar")
    )


def test_where_did_i_leave_off_tells_the_last_work_and_its_date(bench):
    say(bench, "laid two plies bid on the rudder post fore face")

    lines = say(bench, "where did i leave off on the rudder post").lines

    assert lines[0] == "last: 2 BID laid on rudder post, fore face, on 14 March 2026."
    assert "RP2" in lines[1]


def test_a_recording_is_kept_with_its_entry(bench):
    reply = say(bench, "bagged the rudder post", recording=Recording(b"RIFFsound"))

    assert bench.log.media.read(reply.logged.attachments[0].media) == b"RIFFsound"


def test_the_recording_of_a_correction_is_kept_with_the_entry_it_corrects(bench):
    note = say(bench, "laid two plies bid on the rudder post fore face").logged

    say(bench, "make it one", recording=Recording(b"RIFFmore"))

    assert len(bench.log.entry(note.id).attachments) == 1


def test_the_recording_of_a_question_is_kept_too(bench):
    say(bench, "what is owed", recording=Recording(b"RIFFask"))

    assert len(list(bench.log.media)) == 1


def test_what_only_the_phone_can_do_is_kept_as_a_note(bench):
    reply = say(bench, "take a photo")

    assert reply.logged.entry.fields["text"] == "take a photo"


def test_a_timer_is_an_entry_that_says_until_when_it_runs(bench):
    reply = say(bench, "start the pot life timer for twenty minutes")

    assert (reply.logged.entry.kind, reply.logged.entry.fields["clock"]) == ("clock", "pot life")
    assert "in 20 minutes" in reply.lines[-1]


def test_a_timer_is_put_off_and_ended_by_words(bench):
    say(bench, "start a timer for thirty minutes")
    assert "calls at" in say(bench, "snooze it").lines[0]
    assert say(bench, "stop the timer").lines == ("timer: done",)
    assert say(bench, "what clocks are running").lines == ("no clock is running.",)


def test_everything_is_there_after_closing_and_opening(tmp_path, clock):
    with Bench.open(tmp_path, clock) as first:
        first.take_schedule(QUILLWING)
        first.add_words("materials", "basalt twill", ["basalt"])
        say(first, "laid two plies basalt on the rudder post fore face")

    with Bench.open(tmp_path, clock) as again:
        assert again.schedule.aircraft == "Quillwing"
        assert again.last().entry.fields["material"] == "basalt twill"


def test_an_unknown_place_names_near_ones(bench):
    with pytest.raises(UnknownPlace, match="rudder post"):
        bench.place("ruder pos")


def test_without_a_schedule_notes_are_still_taken(tmp_path, clock):
    with Bench.open(tmp_path, clock) as bare:
        assert say(bare, "shop air seventy degrees").logged.entry.kind == "shop_air"
        assert say(bare, "laid two plies bid on the rudder post fore face").logged.entry.kind in {
            "laid",
            "note",
        }
        with pytest.raises(UnknownPlace, match="no layup schedule yet"):
            bare.place("rudder post")


def test_what_is_expected_of_a_person_comes_from_what_that_person_noted(bench, clock):
    say(bench, f"started layup on the {SPAR}")
    later = clock.millis + 60_000

    assert bench.expecting("builder", later).part == "elevator spar"
    assert bench.expecting("helper", later).part == ""
    assert bench.expecting("builder", clock.millis).part == ""
