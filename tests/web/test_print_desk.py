"""The print at the desk: shown, compared, made the one that counts; nothing that ever counted is lost."""

import hashlib
from pathlib import Path

import pytest

QUILLWING = (Path(__file__).parents[2] / "demo_entries/quillwing.yaml").read_text()
MORE = QUILLWING.replace("print revision: C", "print revision: D").replace(
    '{step: E3, face: aft, plies: 4, material: BID, orientation: "45", after: [E1]}',
    '{step: E3, face: aft, plies: 5, material: BID, orientation: "45", after: [E1]}',
)
PRINT = "/api/desk/print"


def address(text):
    return hashlib.sha256(text.encode()).hexdigest()


@pytest.fixture
def desk(shop):
    return shop.desk()


@pytest.fixture
def printed(shop, desk):
    """A desk whose shop has revision C, and four plies on the aft face of the left elevator spar."""
    assert put(desk, QUILLWING).status_code == 200
    fields = {"part": "elevator spar", "side": "left", "face": "aft", "plies": 4, "material": "BID"}
    phone = shop.phone()
    entry = {"kind": "laid", "fields": fields, "said": "", "unused": []}
    body = {"entry": entry, "doubts": [], "hearing": None, "author": "builder"}
    assert phone.sync([phone.maker.does("note", None, body)]).status_code == 200
    return desk


def put(desk, text, base="", kind="yaml"):
    return desk.ask("PUT", PRINT, json={"text": text, "kind": kind, "base": base})


def compare(desk, text, kind="yaml"):
    answer = desk.ask("POST", f"{PRINT}/compare", json={"text": text, "kind": kind})
    assert answer.status_code == 200, answer.text
    return answer.json


def test_before_any_print_the_page_is_empty_and_says_so(desk):
    shown = desk.ask("GET", PRINT).json

    assert (shown["text"], shown["base"], shown["parts"], shown["revisions"]) == ("", "", [], [])


def test_a_text_is_shown_again_as_it_was_given_with_its_parts_and_sides(printed):
    shown = printed.ask("GET", PRINT).json

    assert shown["text"] == QUILLWING
    assert shown["revision"] == "C"
    (spar,) = [part for part in shown["parts"] if part["part"] == "elevator spar"]
    assert spar["sides"] == ["left", "right"]
    assert spar["steps"][1]["told"] == "7 BID at 45 on the fore face at hinge 1, hinge 2, hinge 3"
    assert spar["steps"][1]["disturbs"] == ["E9"]


def test_a_text_is_compared_with_the_print_and_with_what_is_laid_and_nothing_is_kept(printed):
    told = compare(printed, MORE)

    assert told["problems"] == []
    assert "changed: step E3 of the elevator spar: 4 plies become 5" in told["changes"]
    assert told["effects"] == ["now owed: left elevator spar, aft face: 1 BID at 45 more"]
    assert printed.ask("GET", PRINT).json["revision"] == "C"


def test_every_mistake_is_told_with_its_line(printed):
    text = QUILLWING.replace("plies: 4, material: UNI", "plys: 4, material: UNY", 1)
    line = next(at for at, row in enumerate(text.splitlines(), 1) if "plys" in row)
    problems = compare(printed, text)["problems"]

    assert {problem["line"] for problem in problems} == {line}
    assert any("did you mean 'plies'" in problem["message"] for problem in problems)


def test_what_is_no_schedule_cannot_be_made_the_print(printed):
    answer = put(printed, "aircraft: Quillwing\n", address(QUILLWING))

    assert answer.status_code == 422
    assert answer.json["errors"][0]["field"].startswith("line ")
    assert printed.ask("GET", PRINT).json["revision"] == "C"


def test_the_print_that_counts_outlives_a_restart(shop, printed):
    assert put(printed, MORE, address(QUILLWING)).json["revision"] == "D"
    shop.reopen()

    assert shop.desk().ask("GET", PRINT).json["text"] == MORE


def test_the_text_before_stays_and_can_be_taken_up_again(printed):
    put(printed, MORE, address(QUILLWING))
    revisions = printed.ask("GET", PRINT).json["revisions"]

    assert [row["revision"] for row in revisions] == ["D", "C"]
    assert printed.ask("GET", f"{PRINT}/texts/{revisions[1]['sha256']}").text == QUILLWING
    assert put(printed, QUILLWING, address(MORE)).json["revision"] == "C"
    assert len(printed.ask("GET", PRINT).json["revisions"]) == 3


def test_two_browsers_cannot_undo_each_other(printed):
    put(printed, MORE, address(QUILLWING))
    late = put(printed, QUILLWING.replace("revision: C", "revision: C2"), address(QUILLWING))

    assert late.status_code == 409
    assert late.json["type"].endswith(":print-moved")
    assert printed.ask("GET", PRINT).json["revision"] == "D"


def test_a_spreadsheets_table_is_taken_as_one_and_shown_as_one(printed):
    table = printed.ask("GET", f"{PRINT}/table").text
    assert compare(printed, table, "csv")["changes"] == ["the print says the same as before."]

    shown = put(printed, table, address(QUILLWING), "csv").json
    assert (shown["kind"], shown["text"]) == ("csv", table)


def test_the_checklist_is_a_page_to_save_with_what_is_done_ticked(printed):
    answer = printed.ask("GET", f"{PRINT}/checklist")

    assert answer.headers["Content-Disposition"] == 'attachment; filename="plytally-checklist.html"'
    assert "left elevator spar" in answer.text
    assert 'title="done">☑' in answer.text


def test_a_text_that_never_counted_is_not_found(printed):
    assert printed.ask("GET", f"{PRINT}/texts/{'0' * 64}").status_code == 404


@pytest.mark.parametrize(
    ("body", "field"),
    [
        ({"kind": "yaml", "base": ""}, "text"),
        ({"text": "", "kind": "toml", "base": ""}, "kind"),
        ({"text": "", "kind": "yaml", "base": "C"}, "base"),
        ({"text": "", "kind": "yaml", "base": "", "revision": "C"}, "revision"),
    ],
    ids=lambda part: str(part)[:30],
)
def test_a_body_of_another_shape_is_refused_by_field(desk, body, field):
    answer = desk.ask("PUT", PRINT, json=body)

    assert answer.status_code == 422
    assert field in [error["field"] for error in answer.json["errors"]]
