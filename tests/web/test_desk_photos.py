"""Photos put to entries at the desk: the bytes as they came, operations like all else, and photos only."""

import base64
import hashlib

import pytest
from support.desk_days import DAY
from support.photos import jpeg

from plytally.clock import fresh_id


def sent(page, content, name="spar.jpg"):
    """A file uploaded as the page does it: created, then its bytes."""
    address = hashlib.sha256(content).hexdigest()
    metadata = "sha256 " + base64.b64encode(address.encode()).decode()
    head = {"Tus-Resumable": "1.0.0"}
    created = page.browser.ask(
        "POST",
        "/api/uploads",
        headers=head | {"Upload-Length": str(len(content)), "Upload-Metadata": metadata},
    )
    assert created.status_code == 201, created.text
    if created.headers["Location"]:
        page.browser.ask(
            "PATCH",
            created.headers["Location"],
            data=content,
            content_type="application/offset+octet-stream",
            headers=head | {"Upload-Offset": "0"},
        )
    return {"media": address, "name": name}


def test_a_photo_is_put_to_an_entry_byte_for_byte_as_an_operation(house, page):
    content = jpeg()
    entry = page.at("10:34")
    done = page.does("attach", entry, photos=[sent(page, content, "flox cup.jpg")])
    (told,) = done["entries"]
    (photo,) = [each for each in told["attachments"] if each["role"] == "photo"]
    assert (photo["name"], photo["mime"], photo["size"]) == ("flox cup.jpg", "image/jpeg", len(content))
    assert house.log.media.read(photo["media"]) == content
    kept = house.log.journal.find(done["kept"][0]).operation
    assert (kept.act, kept.device, kept.body["author"]) == ("attach", house.log.device, "builder")


def test_the_same_photo_or_the_same_request_again_adds_nothing(house, page):
    entry, shot, key = page.at("10:34"), sent(page, jpeg()), fresh_id()
    page.does("attach", entry, photos=[shot], key=key)
    lines = house.log.journal.head
    assert page.does("attach", entry, photos=[shot], key=key)["kept"] == []
    assert page.does("attach", page.at("10:34"), photos=[shot, shot])["kept"] == []
    assert house.log.journal.head == lines


def test_a_photo_is_taken_although_something_came_to_the_entry_meanwhile(page):
    before = page.at("10:34")
    page.does("answer", before, field="mass", choice="runner_up")
    assert len(page.does("attach", before, photos=[sent(page, jpeg())])["kept"]) == 1


def test_a_photo_makes_an_entry_of_its_own_at_its_time(house, page):
    shot = sent(page, jpeg())
    wall = f"{DAY}T13:15:00.000-04:00"
    (told,) = page.does("note_photos", words="", photos=[shot], wall=wall)["entries"]
    assert (told["kind"], told["wall"]) == ("photo", wall)
    words = "laid two plies bid on the right elevator spar aft face"
    (worded,) = page.does("note_photos", words=words, photos=[shot], wall=wall)["entries"]
    assert worded["kind"] == "laid"
    assert [each["media"] for each in worded["attachments"]] == [shot["media"]]


@pytest.mark.parametrize(
    ("content", "why"),
    [
        pytest.param(b"%PDF-1.7 a print", "no photo", id="another kind of file"),
        pytest.param(b"\xff\xd8\xff\xe0 and nothing more", "no photo", id="a beginning like a photo's"),
        pytest.param(
            b"<svg xmlns='http://www.w3.org/2000/svg'/>", "no photo", id="a picture that could be a script"
        ),
    ],
)
def test_what_is_no_photo_is_refused_and_nothing_is_noted(house, page, content, why):
    head = house.log.journal.head
    answer = page.asks("attach", page.at("10:34"), photos=[sent(page, content, "x.jpg")])
    assert (answer.status_code, why in answer.json["detail"]) == (409, True)
    assert page.asks("note_photos", words="", photos=[sent(page, content)]).status_code == 409
    assert house.log.journal.head == head


def test_a_photo_that_never_arrived_is_told_so(house, page):
    head = house.log.journal.head
    answer = page.asks("attach", page.at("10:34"), photos=[{"media": "0" * 64, "name": "lost.jpg"}])
    assert answer.status_code == 404
    assert house.log.journal.head == head
