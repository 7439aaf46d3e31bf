"""Sounds and photos on their way out."""

import pytest
from support.photos import jpeg

SOUND = b"RIFF\x24\x10\0\0WAVEfmt " + bytes(4096)


def test_a_sound_comes_out_as_it_went_in(shop, phone):
    address = shop.log.media.keep(SOUND)
    answer = phone.ask("GET", f"/api/media/{address}")
    assert (answer.status_code, answer.data, answer.content_type) == (200, SOUND, "audio/wav")


def test_a_player_may_ask_for_a_part(shop, phone):
    address = shop.log.media.keep(SOUND)
    part = phone.ask("GET", f"/api/media/{address}", headers={"Range": "bytes=100-199"})
    assert (part.status_code, part.data) == (206, SOUND[100:200])
    assert part.headers["Content-Range"] == f"bytes 100-199/{len(SOUND)}"


def test_what_did_not_change_is_not_sent_again(shop, phone):
    address = shop.log.media.keep(SOUND)
    mark = phone.ask("GET", f"/api/media/{address}").headers["ETag"]
    again = phone.ask("GET", f"/api/media/{address}", headers={"If-None-Match": mark})
    assert (again.status_code, again.data) == (304, b"")


@pytest.mark.parametrize(
    ("content", "kind"),
    [
        pytest.param(b"<html><script>alert(1)</script>", "application/octet-stream", id="a page"),
        pytest.param(b"<svg onload='alert(1)'/>", "application/octet-stream", id="a drawing with a script"),
        pytest.param(b"OggS" + bytes(20), "audio/ogg", id="ogg"),
        pytest.param(b"\x1aE\xdf\xa3" + bytes(20), "audio/webm", id="webm"),
        pytest.param(bytes(4) + b"ftypM4A " + bytes(20), "audio/mp4", id="mp4"),
        pytest.param(b"fLaC" + bytes(20), "audio/flac", id="flac"),
        pytest.param(b"", "application/octet-stream", id="empty"),
    ],
)
def test_the_type_comes_from_the_bytes_and_is_never_a_page(shop, phone, content, kind):
    answer = phone.ask("GET", f"/api/media/{shop.log.media.keep(content)}")
    assert (answer.data, answer.content_type) == (content, kind)
    assert answer.headers["Content-Security-Policy"] == "default-src 'none'; sandbox"
    assert answer.headers["X-Content-Type-Options"] == "nosniff"


@pytest.mark.parametrize(
    "name",
    [
        "..",
        "../documents.json",
        "..%2f..%2fdocuments.json",
        "%2e%2e/%2e%2e/documents.json",
        "....//....//documents.json",
        "/etc/passwd",
        "%00" * 32,
        "A" * 64,
        "0" * 63,
        "0" * 65,
        "0" * 64 + "%0a",
        "..\\..\\documents.json",
    ],
)
@pytest.mark.parametrize("behind", ["", "/small", "/about"])
def test_no_name_leads_elsewhere(shop, phone, name, behind):
    answer = phone.ask("GET", f"/api/media/{name}{behind}", buffered=True)
    assert answer.status_code in {308, 400, 404}
    assert b"sha256" not in answer.data


def test_media_that_are_not_here_are_told(phone):
    answer = phone.ask("GET", f"/api/media/{'0' * 64}")
    assert answer.status_code == 404
    assert "the phone that made it may still have it" in answer.json["detail"]


def test_media_that_were_changed_on_disk_are_not_handed_out(shop, phone):
    address = shop.log.media.keep(SOUND)
    shop.log.media.path(address).write_bytes(b"something else")
    answer = phone.ask("GET", f"/api/media/{address}")
    assert answer.status_code == 500
    assert "verify" in answer.json["detail"]


def test_a_small_photo_is_a_jpeg_of_the_side_asked_for(shop, phone):
    address = shop.log.media.keep(jpeg())
    answer = phone.ask("GET", f"/api/media/{address}/small?side=32")
    assert (answer.status_code, answer.content_type) == (200, "image/jpeg")
    assert "immutable" in answer.headers["Cache-Control"]


@pytest.mark.parametrize("side", ["0", "-5", "x", "99999999999", "3.5", ""])
def test_a_side_that_cannot_be_is_told(shop, phone, side):
    address = shop.log.media.keep(jpeg())
    answer = phone.ask("GET", f"/api/media/{address}/small?side={side}")
    assert answer.status_code == 404
    assert "32 to 2048" in answer.json["detail"]


def test_a_sound_has_no_small_picture(shop, phone):
    answer = phone.ask("GET", f"/api/media/{shop.log.media.keep(SOUND)}/small")
    assert answer.status_code == 404


def test_about_tells_type_size_and_what_the_photo_says(shop, phone):
    photo, sound = shop.log.media.keep(jpeg()), shop.log.media.keep(SOUND)
    told = phone.ask("GET", f"/api/media/{photo}/about").json
    assert (told["mime"], told["photo"]["width"], told["photo"]["orientation"]) == ("image/jpeg", 64, 1)
    assert phone.ask("GET", f"/api/media/{sound}/about").json == {
        "media": sound,
        "mime": "audio/wav",
        "photo": None,
        "size": len(SOUND),
    }


def test_about_a_photo_cut_short_says_so(shop, phone):
    address = shop.log.media.keep(b"\xff\xd8\xff\xe0 cut")
    told = phone.ask("GET", f"/api/media/{address}/about").json
    assert told["photo"] is None
    assert "no picture" in told["remark"]


def test_a_photo_whose_place_cannot_be_taken_out_is_not_handed_out(shop, phone):
    address = shop.log.media.keep(jpeg()[:-200])
    answer = phone.ask("GET", f"/api/media/{address}")
    assert answer.status_code == 500
    assert "kept as they came" in answer.json["detail"]
