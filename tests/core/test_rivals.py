"""What else a sentence could have said: only what the phrasebook has, in one place at a time."""

from pathlib import Path

import pytest

from plytally.core.listening import listened, listening, rivals, sample
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file

QUILLWING = from_schedule(read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml"))
LAID = "laid two plies bid on the right elevator spar aft face"


def others(text, field):
    return {other for rival in rivals(text, QUILLWING) if field in rival.fields for other in rival.others}


@pytest.mark.parametrize("text", list(sample(listening(QUILLWING), 60)))
def test_every_rival_is_another_sentence_of_the_phrasebook(text):
    for rival in rivals(text, QUILLWING):
        for other in rival.others:
            said = f"{rival.before} {other} {rival.after}".split()
            assert said != text.split()
            assert listened(QUILLWING).accepts(tuple(said))


def test_a_face_that_the_part_has_not_is_no_rival():
    assert others(LAID, "face") == {"fore", "forward", "front"}


def test_the_other_side_and_none_at_all_are_rivals():
    assert others(LAID, "side") == {"left", ""}


def test_a_part_without_sides_is_no_rival_of_a_right_one():
    assert "rudder spar" not in others("bagged the right elevator spar", "part")


def test_what_was_done_is_held_against_other_work_on_the_same_place():
    assert {"bonded the", "cured the", "trimmed the"} <= others("bagged the right elevator spar", "kind")


def test_a_helping_verb_may_come_or_go_before_what_was_done():
    assert "bag is on the" in others("started on the rudder post", "kind")


def test_what_was_done_is_not_held_against_work_that_needs_another_field():
    assert not any("laid" in other for other in others("bagged the right elevator spar", "kind"))


def test_a_sentence_outside_the_phrasebook_has_no_rivals():
    assert rivals("my back hurts", QUILLWING) == ()
