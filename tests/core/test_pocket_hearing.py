"""What a phone makes of its engine's searches, by the shop computer's rules and what goes on in the shop."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.devices import Device

from plytally.core.judging import Judged, reach
from plytally.core.leaning import MOST
from plytally.core.listening import Grammar, Rival
from plytally.core.paths import BestPath, Piece, Sounded
from plytally.core.pocket import Pocket
from plytally.core.trust import rule_for
from plytally.schedule_file import read_schedule_file

PRINT = read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml").as_json()
CUP, NOTE = "2026-11-03T09:00:00.000+01:00", "2026-11-03T09:20:00.000+01:00"
SAID = "mixed nineteen grams of flox at four to one"


def sounding(text, worse=0.0, **more):
    """The text as an engine has it: 30 frames a word, which free phones fit so much better a frame."""
    words = list(enumerate(text.split()))
    path = [{"text": word, "start": 30 * at, "end": 30 * at + 30, "score": -240.0} for at, word in words]
    phones = [piece | {"text": "+aa+", "score": -240.0 + 30 * worse} for piece in path]
    return {"engine": "an engine", "learnt": False, "seconds": 3.0, "path": path, "phones": phones} | more


def place(against, words, of="rivals"):
    """Where in the list the rival stands that has these words."""
    return next(at for at, each in enumerate(against[of]) if words in each["others"])


def heard(pocket, found, left=(), **more):
    """The words and runner-ups of the note, with rivals found as (words, margin)."""
    against = pocket.sounded(sounding(SAID, **more), NOTE)
    told = [
        {"of": of, "at": place(against, words, of), "words": words.split(), "margin": margin}
        for of, words, margin in found
    ]
    return pocket.weighed({"found": told, "left": [place(against, words) for words in left]})["words"]


def told(words):
    return {word["text"]: word["runner_up"] for word in words if word["runner_up"]}


@pytest.fixture
def pocket():
    return Pocket(PRINT)


def a_cup_at_five_to_one(pocket):
    device = Device()
    (act,) = pocket.take("mixed ninety grams of flox at five to one", CUP)["acts"]
    pocket.saw([(device.does(act["act"], act["target"], act["body"]).as_json(), None)])


def test_a_rival_is_asked_about_by_its_margin_and_by_how_badly_the_words_fit(pocket):
    far = [("rivals", "twelve grams", 50.0)]
    assert told(heard(pocket, [("rivals", "ninety grams", 5.0)])) == {"nineteen": "ninety"}
    assert told(heard(pocket, far, learnt=True)) == {}
    assert told(heard(pocket, far, learnt=True, worse=2.2)) == {"nineteen": "twelve"}


def test_a_place_whose_rivals_nobody_had_time_to_search_for_is_not_sure(pocket):
    words = heard(pocket, [], left=["ninety grams"])
    assert [word["text"] for word in words if float(word["confidence"]) < 0.75] == ["nineteen", "grams"]


def test_what_is_no_phrase_is_a_guess_and_held_against_nothing(pocket):
    for note in (sounding("grams of at"), sounding(SAID, worse=4.0), sounding("", path=None)):
        against = pocket.sounded(note, NOTE)
        assert not against["hearing"]["covered"]
        assert not against["rivals"]
        assert {word["confidence"] for word in against["hearing"]["words"]} <= {"0.30"}


def test_the_ratio_of_the_cup_before_is_put_in_the_place_and_asked_about(pocket):
    a_cup_at_five_to_one(pocket)
    words = heard(pocket, [("likely", "five to one", 4.0)], learnt=True)
    assert " ".join(word["text"] for word in words).endswith("at five to one")
    assert told(words) == {"five": "four"}


def test_by_sound_alone_nothing_of_the_shop_counts():
    pocket = Pocket(PRINT, by_sound_alone=True)
    a_cup_at_five_to_one(pocket)
    against = pocket.sounded(sounding(SAID), NOTE)
    assert not any("five to one" in each["others"] for each in against["likely"])


def test_a_teen_is_asked_about_however_far_its_ty_is_behind_until_the_voice_is_learnt(pocket):
    assert told(heard(pocket, [])) == {"nineteen": "ninety"}
    assert told(heard(pocket, [], learnt=True)) == {}


@given(
    st.floats(0, 60),
    st.floats(-1, 6),
    st.booleans(),
    st.sampled_from(["number", "alike", "name", "kind", "left out"]),
)
def test_nothing_behind_the_reach_of_a_rival_would_be_asked_about(more, misfit, learnt, sort):
    fields = {"number": ("mass",), "alike": ("mass",), "kind": ("kind",)}.get(sort, ("resin",))
    other = {"alike": ("ninety",), "left out": ()}.get(sort, ("epoxy",))
    rival = Rival(fields, 1, 2, "mixed", "grams", (" ".join(other),), ("nineteen",))
    pieces = [
        Piece(word, 30 * at, 30 * at + 30, 0.0) for at, word in enumerate(["mixed", "nineteen", "grams"])
    ]
    phones = [Piece("AH", piece.start, piece.end, 30 * misfit) for piece in pieces]
    sounded = Sounded(BestPath(tuple(pieces), 0.0), BestPath(tuple(phones), 0.0), learnt)
    rule = rule_for(learnt=learnt)
    quiet = Grammar(None, "", ())
    assert not Judged(rival, other, reach(rival, sounded, quiet) + 1e-6 + more, misfit, rule=rule).is_close
    leaning = Grammar(None, "", (), leans=True, lean=lambda _heard, _other: MOST)
    assert reach(rival, sounded, leaning) >= reach(rival, sounded, quiet)
