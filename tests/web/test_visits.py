"""An inspector's link: these parts and nothing else, until its day or until the desk ends it."""

import io
import re
from types import SimpleNamespace

import pytest
from pypdf import PdfReader
from support.photos import four_corners, jpeg
from support.shops import TestShop

from plytally.core.entry import Entry, Place
from plytally.core.hearing import typed
from plytally.store.log import Recording
from plytally.web.access import ROUTES, Role
from plytally.workshop.demo import demo_folder

DAY_MS = 24 * 3_600_000
SPAR = {"name": "the inspector", "parts": [{"part": "elevator spar", "side": "right"}], "days": 7}


@pytest.fixture
def house(tmp_path):
    """A shop with work and photos on the right spar, and others elsewhere."""
    shop = TestShop(tmp_path / "data")
    bench = shop.inside.bench
    bench.take_schedule(demo_folder() / "quillwing.yaml")
    shop.spar = says(shop, "laid three plies bid on the right elevator spar fore face")
    shop.other = says(shop, "laid two plies bid on the rudder post fore face")
    shop.log.record(Entry("note", {"text": "a secret of the shop"}, "a secret of the shop"))
    shop.log.record(Entry("laid", {"plies": 9, "material": "BID"}, "nine plies somewhere"))
    shop.photo = attach(shop, shop.spar, 40)
    shop.other_photo = attach(shop, shop.other, 60)
    yield shop
    shop.close()


def says(shop, text):
    shop.clock.millis += 60_000
    return shop.inside.bench.take(typed(text)).logged.id


def attach(shop, entry_id, width):
    photo = Recording(jpeg(four_corners(width, 32)), "image/jpeg", "photo")
    return shop.log.attach(entry_id, photo).body["media"]


def opened(shop, **wanted):
    """The path of a new link, and the visit's id."""
    answer = shop.desk().ask("POST", "/api/desk/visits", json=SPAR | wanted)
    assert answer.status_code == 201, answer.text
    return re.sub(r"^https?://[^/]+", "", answer.json["url"]), answer.json["id"]


def look(shop, path):
    return shop.nobody.get(path)


def test_a_link_shows_its_parts_with_their_entries_diagrams_and_photos(house):
    path, _ = opened(house)

    page = look(house, path)

    assert page.status_code == 200
    for wanted in ("right elevator spar, fore face", "3 of 3", "<svg", house.spar, "no approval"):
        assert wanted in page.text
    assert f"{path}/photo/{house.photo}" in page.text
    assert look(house, f"{path}/photo/{house.photo}").content_type == "image/jpeg"
    assert look(house, f"{path}/photo/{house.photo}?size=large").status_code == 200
    assert look(house, f"{path}/record.pdf").data.startswith(b"%PDF")


def test_nothing_of_another_part_or_of_no_part_is_on_the_page_or_in_its_record(house):
    path, _ = opened(house)
    record = PdfReader(io.BytesIO(look(house, f"{path}/record.pdf").data))
    for text in (look(house, path).text, " ".join(page.extract_text() for page in record.pages)):
        for other in (house.other, "rudder", "secret", "nine plies", "9 BID", "left elevator"):
            assert other not in text


def test_a_photo_of_another_part_is_not_given_even_to_who_knows_its_address(house):
    path, _ = opened(house)
    for address in (house.other_photo, "0" * 64, "..%2f..%2fetc%2fpasswd"):
        assert look(house, f"{path}/photo/{address}").status_code == 404


def test_a_link_ends_on_its_day_and_when_the_desk_ends_it(house):
    path, visit_id = opened(house)
    other, _ = opened(house)
    assert house.desk().ask("DELETE", f"/api/desk/visits/{visit_id}").status_code == 204
    assert [look(house, one).status_code for one in (path, other)] == [401, 200]
    house.clock.millis += 7 * DAY_MS
    assert look(house, other).status_code == 401


def test_an_ended_link_an_old_one_and_one_that_never_was_are_answered_alike(house):
    ended, visit_id = opened(house)
    house.desk().ask("DELETE", f"/api/desk/visits/{visit_id}")
    answers = {look(house, path).text for path in (ended, "/visit/never", "/visit/" + "A" * 43)}
    assert len(answers) == 1
    assert "ask the builder for another" in answers.pop()


def test_a_link_opens_no_other_route_by_any_way_of_sending_it(house):
    path, _ = opened(house)
    secret = path.rsplit("/", 1)[1]
    for rule in house.app.url_map.iter_rules():
        row = ROUTES[rule.endpoint]
        if Role.NOBODY in row.who or Role.VISITOR in row.who or "GET" not in rule.methods:
            continue
        route = re.sub(r"<any\(entries.*?>", "entries", rule.rule)
        route = re.sub(r"<[^>]+>", secret, route)
        for headers in ({}, {"Authorization": f"Bearer {secret}"}, {"Cookie": f"plytally-desk={secret}"}):
            assert house.nobody.get(route, headers=headers).status_code == 401, route


@pytest.mark.parametrize("method", ["POST", "PUT", "PATCH", "DELETE"])
def test_a_link_only_reads(house, method):
    path, _ = opened(house)
    before = house.ids()
    for route in (path, f"{path}/photo/{house.photo}", f"{path}/record.pdf"):
        assert house.nobody.open(route, method=method).status_code == 405
    assert house.ids() == before


def test_a_link_survives_a_restart_and_its_secret_is_nowhere_on_the_disk(house):
    path, _ = opened(house)
    secret = path.rsplit("/", 1)[1].encode()
    house.reopen()
    assert look(house, path).status_code == 200
    assert not [one for one in house.folder.rglob("*") if one.is_file() and secret in one.read_bytes()]


def test_the_desk_sees_who_may_look_at_what_and_when_they_last_did(house):
    path, visit_id = opened(house)
    listed = house.desk().ask("GET", "/api/desk/visits").json["visits"]
    assert [(one["id"], one["told"], one["state"], one["last_seen"]) for one in listed] == [
        (visit_id, "right elevator spar", "open", None)
    ]
    look(house, path)
    (visit,) = house.desk().ask("GET", "/api/desk/visits").json["visits"]
    assert visit["last_seen"]
    assert "sha256" not in visit


def test_the_page_needs_no_script_and_tells_robots_and_other_sites_nothing(house):
    path, _ = opened(house)
    page = look(house, path)
    assert "<script" not in page.text
    assert "style=" not in page.text
    policy = page.headers["Content-Security-Policy"]
    assert "script-src" not in policy
    assert "default-src 'none'" in policy
    assert page.headers["X-Robots-Tag"].startswith("noindex")
    assert (page.headers["Referrer-Policy"], page.headers["Cache-Control"]) == ("no-referrer", "no-store")


HOSTILE = '<script>alert(1)</script><img src=x onerror="alert(1)"> {{ 7*7 }}'


def test_what_was_typed_comes_out_as_text(house):
    fields = {"part": "elevator spar", "side": "right", "item": HOSTILE}
    note = house.log.record(Entry("photo", fields, HOSTILE), author=HOSTILE)
    house.log.amend(note.id, "item", HOSTILE * 2, why=HOSTILE, author=HOSTILE)
    house.log.withdraw(note.id, HOSTILE)
    path, _ = opened(house, name=HOSTILE[:60])
    text = look(house, path).text
    assert "<script" not in text
    assert "<img src=x" not in text
    assert "{{ 7*7 }}" in text


def test_who_guesses_links_is_told_to_wait(house):
    answers = [look(house, f"/visit/guess-{number}").status_code for number in range(14)]
    assert answers.index(429) == 10


def test_a_record_is_asked_for_seldom(house):
    path, _ = opened(house)
    answers = [look(house, f"{path}/record.pdf").status_code for _ in range(5)]
    assert answers == [200, 200, 200, 429, 429]


def test_many_entries_stand_on_several_pages_each_once(house):
    fields = {"grit": 80, "part": "elevator spar", "side": "right"}
    for _ in range(120):
        house.log.record(Entry("sanded", fields))
    path, _ = opened(house)
    pages = [look(house, f"{path}?page={number}").text for number in (1, 2, 3, "x", -1)]
    found = [re.findall(r"entry ([0-9a-f-]{36})<", page) for page in pages]
    assert [len(ids) for ids in found] == [100, 21, 21, 100, 100]
    assert len({*found[0], *found[1]}) == 121


@pytest.mark.parametrize(
    ("wrong", "why"),
    [
        pytest.param({"parts": []}, "parts", id="no parts"),
        pytest.param({"days": 91}, "days", id="too long"),
        pytest.param({"days": 0}, "days", id="no days"),
        pytest.param({"name": " "}, "name", id="no name"),
        pytest.param({"name": "a\nb"}, "name", id="control characters"),
        pytest.param({"until": "for ever"}, "until", id="unknown field"),
    ],
)
def test_a_visit_that_cannot_be_opened_says_why(house, wrong, why):
    answer = house.desk().ask("POST", "/api/desk/visits", json=SPAR | wrong)
    assert (answer.status_code, why in answer.json["detail"]) == (422, True)
    assert list(house.inside.visits) == []


@pytest.mark.parametrize("part", [{"part": "left wing"}, {"part": "rudder post", "side": "left"}])
def test_a_visit_of_a_part_that_the_print_has_not_is_not_opened(house, part):
    answer = house.desk().ask("POST", "/api/desk/visits", json=SPAR | {"parts": [part]})
    assert (answer.status_code, "has no part" in answer.json["detail"]) == (404, True)


def test_a_visit_is_of_parts_and_never_of_everything(house):
    for parts in ((), (Place(),)):
        with pytest.raises(ValueError, match="parts"):
            house.inside.visits.open("x", parts, 7)


def test_on_the_network_the_link_has_the_shops_own_name_and_a_code_to_scan(tmp_path):
    keys = SimpleNamespace(pem=b"", fingerprint="00" * 32)
    shop = TestShop(tmp_path / "data", url="https://shop.local:8443", authority=keys)
    shop.inside.bench.take_schedule(demo_folder() / "quillwing.yaml")
    opened = shop.desk().ask("POST", "/api/desk/visits", json=SPAR).json
    assert opened["url"].startswith("https://shop.local:8443/visit/")
    assert (opened["lan"], opened["qr_svg"][:4]) == (True, "<svg")
    shop.close()


def test_a_part_without_a_side_is_both_sides(house):
    path, _ = opened(house, parts=[{"part": "elevator spar"}])
    text = look(house, path).text
    assert "left elevator spar, fore face" in text
    assert "right elevator spar, fore face" in text
