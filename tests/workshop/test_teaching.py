"""Corrections teach: what is proposed, and that the embedded engine hears the same sound right with it."""

from pathlib import Path

import pytest
from bench.sound import VOICES, in_noise, speak
from support.wavs import wav

from plytally.clock import fresh_id
from plytally.core.desk.acts import Asker, version
from plytally.core.entry import Entry
from plytally.core.hearing import Hearing, Word, typed
from plytally.core.vocabulary import Vocabulary
from plytally.store.log import Recording
from plytally.workshop.bench import Bench
from plytally.workshop.desk import DeskWork
from plytally.workshop.desk_proposals import proposal
from plytally.workshop.print_copy import print_copy
from plytally.workshop.second_hearing import SecondHearing

QUILLWING = Path(__file__).parents[2] / "demo_entries/quillwing.yaml"
PLACE = "on the right elevator spar aft face"


@pytest.fixture
def bench(tmp_path):
    with Bench.open(tmp_path / "log") as made:
        made.take_schedule(QUILLWING)
        yield made


def sound_of(text):
    return wav(in_noise(speak(text, VOICES[0]), 30).samples)


def text_of(heard):
    return " ".join(word["text"] for word in heard["words"])


class Desk:
    """Somebody at the desk, over a real queue of second hearings."""

    def __init__(self, bench, ear):
        self.bench, self.queue = bench, SecondHearing(bench.log, bench, ear)
        self.work = DeskWork(bench, self.queue.again)

    def noted(self, said):
        """An entry as its sound is heard with the words of now."""
        sound = sound_of(said)
        hearing = self.queue._ear.hear(sound, "note", self.bench.vocabulary)
        reply = self.bench.take(hearing, Recording(sound))
        self.queue.hear_next()
        return reply.logged.id

    def does(self, entry_id, act, **more):
        logged = self.bench.log.entry(entry_id)
        seen = [{"id": entry_id, "version": version(logged)}]
        wanted = {"act": act, "key": fresh_id(), "entries": seen, **more}
        return self.work.do(Asker("builder", wanted["key"], more), wanted)

    def heard(self, entry_id):
        """What the shop computer's own hearing makes of the sound now."""
        return self.work.entry(entry_id)["heard"][-1]


def test_a_word_that_is_taught_after_a_correction_makes_the_same_sound_be_heard_right(bench, ear):
    desk = Desk(bench, ear)
    entry_id = desk.noted(f"laid two plies of aramid tape {PLACE}")
    before = desk.heard(entry_id)
    assert "aramid tape" not in before["line"]

    done = desk.does(entry_id, "reword", words=f"laid two plies of aramid tape {PLACE}")
    assert (done["teach"]["name"], done["teach"]["known"]) == ("aramid", False)
    taught = desk.work.vocabulary.teach("materials", "aramid tape", ["aramid tape"], entry_id)
    assert taught["heard_again"]
    desk.queue.hear_next()

    after = desk.heard(entry_id)
    assert after["place"] != before["place"]
    assert after["line"] == "laid: 2 plies aramid tape, right elevator spar, aft"
    assert print_copy(bench.log)["words"]["materials"] == {"aramid tape": ["aramid tape"]}

    (told,) = desk.work.vocabulary.taught()["taught"]
    assert (told["heard"], told["now"]) == (text_of(before), text_of(after))
    stands, noted = ("materials", "aramid tape", told["note"]), bench.log.entry(entry_id).entry
    assert desk.work.vocabulary.set_standing(*stands, False, "helper")["heard_again"]
    desk.queue.hear_next()
    assert text_of(desk.heard(entry_id)) == text_of(before), "it is heard as if it had never been taught"
    assert print_copy(bench.log)["words"] == {}
    assert bench.log.entry(entry_id).entry == noted, "what was noted stays"


def test_a_way_of_saying_a_known_name_is_taught_and_the_same_sound_is_heard_right(bench, ear):
    desk = Desk(bench, ear)
    entry_id = desk.noted(f"laid two plies of woven roving {PLACE}")
    assert "BID" not in desk.heard(entry_id)["line"]

    done = desk.does(entry_id, "reword", words=f"laid two plies of bid {PLACE}")
    assert [each["line"] for each in done["entries"]] == ["laid: 2 plies BID, right elevator spar, aft"]
    desk.work.vocabulary.teach("materials", "BID", ["woven roving"], entry_id)
    desk.queue.hear_next()

    assert desk.heard(entry_id)["line"] == "laid: 2 plies BID, right elevator spar, aft"


def freely(text):
    return Hearing(tuple(Word(word) for word in text.split()), covered=False)


def laid(material):
    return Entry("laid", {"plies": 2, "material": material, "part": "elevator spar"})


def test_words_heard_where_a_known_name_belongs_are_proposed_as_a_way_of_saying_it():
    wanted = {"act": "correct", "field": "material", "words": "UNI"}
    found = proposal(wanted, laid("UNI"), [freely("laid two plies of unique glaze")], Vocabulary())
    assert (found["list"], found["name"], found["known"]) == ("materials", "UNI", True)
    assert found["said_as"] == "unique glaze"


@pytest.mark.parametrize(
    "heard",
    [
        pytest.param(
            typed("laid two plies of bid"), id="words of the phrasebook are another name, not a way"
        ),
        pytest.param(freely("laid bananas two plies of apricots"), id="two strange places, either may be it"),
        pytest.param(freely("laid two plies of tape"), id="a way of another name"),
    ],
)
def test_nothing_is_proposed_for_a_known_name_that_would_teach_something_false(heard):
    wanted = {"act": "correct", "field": "material", "words": "UNI"}
    assert proposal(wanted, laid("UNI"), [heard], Vocabulary()) is None


def test_a_new_name_is_proposed_with_what_was_heard_and_how_it_will_be_listened_for():
    wanted = {"act": "correct", "field": "material", "words": "aramid tape"}
    found = proposal(wanted, laid("aramid tape"), [freely("laid two plies of arrow mitt")], Vocabulary())
    assert (found["list"], found["name"], found["heard"]) == ("materials", "aramid tape", ["arrow mitt"])
    assert found["said_as"] == "aramid tape, arrow mitt"
    assert any(each.startswith("aramid: ") for each in found["sounds"])


def test_initials_are_proposed_letter_by_letter_too():
    found = proposal({"act": "correct", "field": "material", "words": "QX7"}, laid("QX7"), [], Vocabulary())
    assert found["said_as"].startswith("qx")


@pytest.mark.parametrize("act", ["accept", "withdraw", "split", "attach"])
def test_what_corrects_no_word_teaches_none(act):
    assert proposal({"act": act}, laid("BID"), [freely("bananas")], Vocabulary()) is None
