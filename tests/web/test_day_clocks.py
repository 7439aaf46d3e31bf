"""A clock typed at the desk: what is not plain about its time is asked before and after."""

import pytest
from support.desk_days import DeskPage, OwnProgram
from support.shops import TestShop

DAY = "2026-11-03"


@pytest.fixture
def page(tmp_path):
    shop = TestShop(tmp_path / "data")
    yield DeskPage(OwnProgram(shop))
    shop.close()


def test_what_typed_words_would_mean_says_the_question_about_the_time(page):
    told = page.browser.ask("POST", "/api/desk/meaning", json={"words": "bag off at nine"}).json
    assert any("morning or evening" in question for question in told["questions"])


def test_a_clock_noted_at_the_desk_is_due_and_asked_about_and_answered(page):
    (made,) = page.asks("note", words="bag off at nine").json["entries"]
    assert [each["field"] for each in made["doubts"]] == ["due"]
    answer = page.asks("answer", made, field="due", choice="runner_up")
    (answered,) = answer.json["entries"]
    assert answered["doubts"] == []
    assert "T21:00" in answered["history"][-1]["after"] or "21:00" in answered["history"][-1]["after"]


def test_a_note_reworded_into_a_clock_is_asked_about(page):
    (note,) = page.asks("note", words="note the bag is on").json["entries"]
    (made,) = page.asks("reword", note, words="bag off at nine").json["entries"]
    assert (made["kind"], [each["field"] for each in made["doubts"]]) == ("clock", ["due"])


def test_one_entry_split_into_two_gives_a_clock_that_is_asked_about(page):
    (note,) = page.asks("note", words="note the bag is on").json["entries"]
    parts = ["vacuum 22 inches", "bag off at nine"]
    made = page.asks("split", note, parts=parts).json["entries"]
    (clock,) = [each for each in made if each["kind"] == "clock"]
    assert [each["field"] for each in clock["doubts"]] == ["due"]
