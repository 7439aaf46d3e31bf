"""The desk's pictures and records over the wire."""

import time
import xml.etree.ElementTree as ET

import pytest
from support.shops import TestShop

from plytally.core.hearing import typed
from plytally.workshop.demo import demo_folder


@pytest.fixture
def house(tmp_path):
    shop = TestShop(tmp_path / "data")
    shop.inside.bench.take_schedule(demo_folder() / "quillwing.yaml")
    shop.inside.bench.take(typed("laid two plies bid on the rudder post fore face"))
    yield shop
    shop.close()


def test_the_overview_names_every_part_and_side_and_draws_the_build(house):
    told = house.desk().ask("GET", "/api/desk/pictures").json
    assert {"part": "elevator spar", "side": "left", "told": "left elevator spar"} in told["parts"]
    assert (told["aircraft"], told["revision"]) == ("Quillwing", "C")
    assert ET.fromstring(told["figures"][0]["svg"]) is not None


def test_a_part_has_a_figure_for_each_face_with_its_table(house):
    told = house.desk().ask("GET", "/api/desk/pictures/part?part=rudder post").json
    titles = [figure["title"] for figure in told["figures"]]
    assert titles == ["rudder post, fore face", "rudder post, aft face", "rudder post, other steps"]
    assert told["figures"][2]["rows"][0] == ["RP4", "mount hinge at hinge 1", "open", ""]
    assert told["figures"][0]["rows"][0][:4] == ["whole face", "BID at 45°", "2", "2"]


@pytest.mark.parametrize("query", ["", "?part=wing", "?part=rudder post&side=left"])
def test_a_part_that_the_print_has_not_is_not_found(house, query):
    assert house.desk().ask("GET", f"/api/desk/pictures/part{query}").status_code == 404


@pytest.mark.parametrize("name", ["work", "stores"])
def test_hours_and_stores_come_with_what_is_lacking(house, name):
    told = house.desk().ask("GET", f"/api/desk/pictures/{name}").json
    assert any(figure["remarks"] for figure in told["figures"])


def test_a_record_is_made_while_its_progress_can_be_asked(house):
    desk = house.desk()
    wanted = {"parts": [{"part": "rudder post"}], "paper": "letter"}
    begun = desk.ask("POST", "/api/desk/records", json=wanted)
    assert begun.status_code == 202
    path, told = f"/api/desk/records/{begun.json['id']}", begun.json
    while told["state"] in ("waiting", "making"):
        time.sleep(0.05)
        house.ticks.seconds += 60
        told = desk.ask("GET", path).json
    assert (told["state"], told["told"]) == ("ready", "rudder post")
    assert told["done"] == told["pages"] > 3
    answer = desk.ask("GET", f"{path}/pdf")
    assert answer.data.startswith(b"%PDF")
    assert "attachment" in answer.headers["Content-Disposition"]


@pytest.mark.parametrize(
    "wrong",
    [
        {"parts": [{}]},
        {"first": "yesterday"},
        {"last": "2026-13-01"},
        {"paper": "a3"},
        {"x": 1},
    ],
)
def test_a_record_that_cannot_be_made_says_why(house, wrong):
    answer = house.desk().ask("POST", "/api/desk/records", json=wrong)
    assert answer.status_code == 422
    assert answer.json["errors"]


def test_a_record_that_nobody_began_is_not_found(house):
    for path in ("/api/desk/records/none", "/api/desk/records/none/pdf"):
        assert house.desk().ask("GET", path).status_code == 404


@pytest.mark.parametrize("name", ["entries", "changes", "plies"])
def test_a_table_is_handed_out_as_a_file(house, name):
    answer = house.desk().ask("GET", f"/api/desk/tables/{name}")
    assert answer.content_type == "text/csv; charset=utf-8; header=present"
    assert f'filename="{name}.csv"' in answer.headers["Content-Disposition"]
    assert b"\r\n" in answer.data
