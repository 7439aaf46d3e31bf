"""The desk's days over HTTP: what is told of them, and every act as operations of the log."""

import pytest
from support.desk_days import DAY, DeskPage, OwnProgram, copied
from support.shops import TestShop

from plytally.core.desk.acts import CAME_FROM


def test_the_days_are_told_with_how_many_entries_wait(page):
    told = page.get("days")
    assert told["aircraft"] == "Quillwing"
    assert told["days"][0]["day"] == DAY
    assert told["days"][0]["entries"] == len(page.rows())
    assert sum(told["days"][0][name] for name in ("open", "unseen", "accepted", "withdrawn")) == 29
    assert [each["day"] for each in told["days"]] == sorted(
        (each["day"] for each in told["days"]), reverse=True
    )


def test_a_day_is_in_the_order_of_time_with_its_hours(page):
    told = page.get(f"days/{DAY}")
    assert [row["wall"] for row in told["entries"]] == sorted(row["wall"] for row in told["entries"])
    assert (told["hours"]["told"], len(told["hours"]["sessions"])) == ("6 h 25 min", 2)


def test_a_day_without_entries_is_empty_and_what_is_no_day_is_not_there(page):
    assert page.rows("2020-01-01") == []
    assert page.browser.ask("GET", "/api/desk/days/yesterday").status_code == 404


def test_both_hearings_stand_side_by_side_where_they_differ(page):
    entry = page.at("09:41")
    assert [each["where"] for each in entry["heard"]] == ["phone", "shop computer"]
    assert entry["differing"] == [
        {"field": "station", "label": "station", "phone": "hinge 2", "shop": "hinge 3"}
    ]
    (doubtful,) = [word for word in entry["heard"][0]["words"] if word["doubtful"]]
    assert doubtful["text"] == "two"
    assert doubtful["end"] > doubtful["start"] > 3


def test_an_answer_takes_the_other_hearings_value_and_the_old_one_stays_in_the_history(page):
    entry = page.at("10:34")
    (answered,) = page.does("answer", entry, field="mass", choice="runner_up")["entries"]
    assert answered["line"] == "resin mixed: 50 g flox"
    assert answered["doubts"] == []
    assert (answered["history"][-1]["before"], answered["history"][-1]["after"]) == ("15 g", "50 g")


def test_values_that_two_phones_gave_apart_are_settled_by_choosing_one(page):
    entry = page.at("10:03")
    ((field, values),) = [(each["field"], each["values"]) for each in entry["standing"]]
    assert (field, [value["told"] for value in values]) == ("plies", ["3", "1"])
    (settled,) = page.does("settle", entry, field="plies", operation=values[0]["operation"])["entries"]
    assert settled["line"].startswith("laid: 3 plies BID")
    assert (settled["conflicts"], settled["doubts"]) == ([], [])


@pytest.mark.parametrize(("choice", "plies"), [("heard", "1 ply"), ("runner_up", "3 plies")])
def test_such_a_conflict_can_be_answered_as_a_doubt_too(page, choice, plies):
    (answered,) = page.does("answer", page.at("10:03"), field="plies", choice=choice)["entries"]
    assert answered["line"].startswith(f"laid: {plies} BID")
    assert answered["conflicts"] == []


def test_what_was_not_said_is_typed(page):
    entry = page.at("11:31")
    assert [each["choices"] for each in entry["doubts"]] == [[]]
    assert page.asks("answer", entry, field="face", choice="heard").status_code == 409
    (answered,) = page.does("answer", entry, field="face", choice="words", words="inside face")["entries"]
    assert answered["line"] == "laid: 2 plies BID, tailplane upper skin, inside"


def test_a_value_that_cannot_be_read_is_refused_with_why_and_changes_nothing(house, page):
    entry, before = page.at("09:20"), house.log.journal.head
    answer = page.asks("correct", entry, field="plies", words="a few")
    assert answer.status_code == 422
    assert "a whole number" in answer.json["detail"]
    answer = page.asks("correct", entry, field="station", words="hinge 9")
    assert "hinge 1" in answer.json["detail"]
    assert house.log.journal.head == before


@pytest.mark.parametrize(
    ("clock", "field", "words", "line"),
    [
        ("09:20", "plies", "six", "laid: 6 plies BID, right elevator spar, fore, hinge 1"),
        ("09:20", "station", "", "laid: 7 plies BID, right elevator spar, fore"),
        ("09:02", "ratio", "five to one", "resin mixed: 120 g epoxy at 5:1 batch 714"),
        ("09:02", "mass", "130", "resin mixed: 130 g epoxy at 4:1 batch 714"),
        ("10:26", "gauge", "21.5 inHg", "vacuum reading: 21.5 inHg, right elevator spar, root"),
        ("09:02", "batch", "b-77", "resin mixed: 120 g epoxy at 4:1 batch B-77"),
    ],
)
def test_a_field_is_corrected_by_words_or_figures(page, clock, field, words, line):
    (corrected,) = page.does("correct", page.at(clock), field=field, words=words)["entries"]
    assert corrected["line"] == line


def test_an_unusual_amount_is_asked_about_once_more(page):
    (corrected,) = page.does("correct", page.at("09:20"), field="plies", words="77")["entries"]
    assert [doubt["field"] for doubt in corrected["doubts"]] == ["plies"]


def test_other_words_replace_the_whole_entry(page):
    entry = page.at("14:40")
    words = "weighed the right trim tab at one hundred and forty grams"
    (reworded,) = page.does("reword", entry, words=words)["entries"]
    assert reworded["line"] == "weighed: 140 g, right trim tab"
    assert reworded["doubts"] == []
    assert reworded["history"][0]["after"].startswith("plain note")


def test_words_that_take_an_entrys_place_are_not_held_against_that_entry(page):
    entry = page.at("09:20")
    asked = {"words": entry["said"], "instead_of": [entry["id"]]}
    assert page.browser.ask("POST", "/api/desk/meaning", json=asked).json["questions"] == []
    alone = page.browser.ask("POST", "/api/desk/meaning", json={"words": entry["said"]}).json
    assert "has its 7 BID" in alone["questions"][0]


def test_a_split_makes_two_entries_at_the_same_time_and_withdraws_the_one(page):
    entry = page.at("14:21")
    parts = ["trimmed the right trim tab", "peel ply is off the left elevator spar aft face"]
    done = page.does("split", entry, parts=parts)
    here = [row for row in page.rows() if row["wall"] == entry["wall"]]
    assert sorted((row["line"], row["stands"]) for row in here) == [
        ("peel ply removed: left elevator spar, aft", "unseen"),
        ("peel ply removed: left elevator spar, aft", "withdrawn"),
        ("trimmed: right trim tab", "unseen"),
    ]
    made = [each for each in done["entries"] if each["made_from"]]
    assert [each["made_from"] for each in made] == [[entry["id"]]] * 2
    assert CAME_FROM in {each["field"] for each in made[0]["history"]}


def test_a_join_makes_one_entry_of_two_with_the_sound_of_both(page):
    first, second = page.at("14:40"), page.at("14:41")
    words = "weighed the right trim tab at one hundred and forty grams"
    done = page.does("join", first, second, words=words)
    (made,) = [each for each in done["entries"] if each["made_from"]]
    assert made["line"] == "weighed: 140 g, right trim tab"
    assert made["wall"] == first["wall"]
    assert [each["role"] for each in made["attachments"]] == ["source"]
    assert page.at("14:41")["withdrawn"].startswith("joined into")


def test_a_split_keeps_the_photos(page):
    entry = page.at("13:32")
    done = page.does("split", entry, parts=["sanded the rudder post", "sanded the tailplane lower skin"])
    made = [each for each in done["entries"] if each["made_from"]]
    assert [sorted(a["role"] for a in each["attachments"]) for each in made] == [["photo", "source"]] * 2


def test_withdrawing_and_bringing_back_erases_nothing(page):
    entry = page.at("09:20")
    (gone,) = page.does("withdraw", entry, why="noted twice")["entries"]
    assert (gone["stands"], gone["withdrawn"]) == ("withdrawn", "noted twice")
    (back,) = page.does("bring_back", gone, why="")["entries"]
    assert (back["stands"], back["line"]) == ("unseen", entry["line"])
    assert [each["field"] for each in back["history"]] == ["", "withdrawn", "withdrawn"]


def test_all_that_are_not_in_doubt_are_accepted_at_once_and_the_others_left(page):
    rows = page.rows()
    done = page.does("accept", *rows)
    assert {row["stands"] for row in page.rows()} == {"open", "accepted", "withdrawn"}
    assert {each["id"] for each in done["left"]} == {
        row["id"] for row in rows if row["stands"] in {"open", "withdrawn"}
    }


def test_an_acceptance_lapses_when_something_new_comes_to_the_entry(house, page):
    entry = page.at("09:20")
    page.does("accept", entry)
    assert page.at("09:20")["accepted"]["author"] == "builder"
    house.log.amend(entry["id"], "plies", 6, author="helper")
    again = page.at("09:20")
    assert (again["stands"], again["accepted"]) == ("unseen", None)


def test_what_changed_since_the_page_saw_it_is_not_judged_unseen(house, page):
    entry = page.at("09:20")
    house.log.amend(entry["id"], "plies", 6, author="helper")
    answer = page.asks("correct", entry, field="plies", words="8")
    assert (answer.status_code, answer.json["type"].rpartition(":")[2]) == (409, "changed")
    (left,) = page.does("accept", entry)["left"]
    assert left["id"] == entry["id"]


def test_what_was_done_is_there_after_a_restart(house, page):
    page.does("accept", page.at("09:20"))
    house.reopen()
    assert DeskPage(OwnProgram(house)).at("09:20")["stands"] == "accepted"


def test_what_was_not_noted_is_added_at_its_own_time(house, page):
    wall = f"{DAY}T12:10:00.000-04:00"
    page.does("note", words="bagged the rudder post", wall=wall)
    assert page.at("12:10")["line"] == "bagged: rudder post"
    made = [record.operation for record in house.log.journal.read()][-1]
    assert (made.wall, made.stamp.millis >= house.clock.millis) == (wall, True)
    assert page.asks("note", words="bagged the rudder post", wall="noon").status_code == 422


def test_a_question_is_no_entry(page):
    answer = page.asks("note", words="what is still owed on the rudder post")
    assert (answer.status_code, answer.json["type"].rpartition(":")[2]) == (409, "cannot")


def test_who_sits_at_the_desk_is_written_beside_what_is_done(page):
    page.browser.ask("PATCH", "/api/desk/settings", json={"person": "helper"})
    (noted,) = page.does("note", words="bagged the rudder post")["entries"]
    assert noted["author"] == "helper"


def test_a_new_word_is_proposed_taught_and_goes_to_the_phones(house, page):
    entry = page.at("14:05")
    done = page.does("answer", entry, field="material", choice="words", words="aramid tape")
    teach = done["teach"]
    assert (teach["list"], teach["name"], teach["said_as"]) == ("materials", "aramid tape", "aramid tape")
    taught = page.browser.ask(
        "POST",
        "/api/desk/words",
        json={"list": "materials", "name": "aramid tape", "said_as": ["aramid tape", "aramid"]},
    )
    assert taught.json["heard_again"] is False
    assert house.inside.bench.vocabulary.with_words({}).materials[-1].spoken == ("aramid tape", "aramid")
    words = page.get("words")["lists"][0]
    assert {"name": "aramid tape", "said_as": ["aramid tape", "aramid"], "own": True} in words["names"]


def test_teaching_an_entrys_word_asks_for_its_recording_to_be_heard_again(made, tmp_path):
    asked = []
    shop = TestShop(copied(made, tmp_path / "data"), hear_again=asked.append)
    page = DeskPage(OwnProgram(shop))
    entry, typed_one = page.at("14:05"), page.at("10:48")
    for each in (entry, typed_one, entry):
        body = {"list": "materials", "name": "aramid tape", "said_as": ["aramid tape"], "entry": each["id"]}
        assert page.browser.ask("POST", "/api/desk/words", json=body).status_code == 200
    assert asked == [entry["id"], entry["id"]]
    assert len(shop.log.documents.table("words").__enter__().all()) == 1
    shop.close()


def test_a_word_that_two_things_would_share_is_refused(page):
    body = {"list": "materials", "name": "kevlar", "said_as": ["bid"]}
    answer = page.browser.ask("POST", "/api/desk/words", json=body)
    assert answer.status_code == 409
    assert "said for both" in answer.json["detail"]


@pytest.mark.parametrize("act", ["", "erase", None, 3])
def test_an_act_that_there_is_not_is_refused(page, act):
    assert page.asks(act).status_code == 422


def test_bytes_in_an_act_are_limited(page):
    answer = page.asks("note", words="x" * 70_000)
    assert answer.status_code == 413


MARKUP = '"><img src=x onerror="alert(1)"><script>alert(1)</script>'


def test_markup_comes_back_as_json_that_no_browser_takes_for_a_page(page):
    entry = page.at("09:20")
    page.does("note", words=MARKUP)
    page.does("withdraw", entry, why=MARKUP)
    page.does("correct", page.at("08:51"), field="text", words=MARKUP)
    for path in ("days", f"days/{DAY}", f"entries/{entry['id']}", "find?words=onerror", "words"):
        answer = page.browser.ask("GET", f"/api/desk/{path}")
        assert (answer.status_code, answer.mimetype) == (200, "application/json")
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert answer.headers["Content-Security-Policy"].startswith("default-src 'none'")
    assert page.at("09:20")["withdrawn"] == MARKUP
