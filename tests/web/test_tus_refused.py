"""Uploads that cannot be: what is refused, with what answer, and what stays as it was."""

import hashlib

import pytest
from support.tus import CHUNK, SOUND, TUS, b64, create, head, patch, sha

from plytally.web.uploads import MAX_LENGTH


def kind(answer):
    return answer.json["type"].rpartition(":")[2]


def test_a_chunk_at_another_offset_is_refused_and_told_where(phone):
    place = create(phone).headers["Location"]
    patch(phone, place, 0, SOUND[:10])
    again = patch(phone, place, 0, SOUND[:10])
    assert (again.status_code, again.headers["Upload-Offset"]) == (409, "10")
    assert head(phone, place).headers["Upload-Offset"] == "10"


def test_a_chunk_beyond_the_length_is_refused_whole(phone):
    place = create(phone).headers["Location"]
    assert patch(phone, place, 0, SOUND + b"x").status_code == 413
    assert head(phone, place).headers["Upload-Offset"] == "0"


def test_a_chunk_changed_on_the_way_is_460_and_not_kept(phone):
    place = create(phone).headers["Location"]
    digest = b64(hashlib.sha1(SOUND[:99]).digest())
    answer = patch(phone, place, 0, b"!" + SOUND[1:99], **{"Upload-Checksum": f"sha1 {digest}"})
    assert (answer.status_code, kind(answer)) == (460, "checksum")
    assert head(phone, place).headers["Upload-Offset"] == "0"


@pytest.mark.parametrize("header", ["md5 AAAA", "sha1 !", "sha1", ""])
def test_a_checksum_that_cannot_be_checked_is_refused(phone, header):
    place = create(phone).headers["Location"]
    assert patch(phone, place, 0, SOUND[:9], **{"Upload-Checksum": header}).status_code in {400, 460}
    assert head(phone, place).headers["Upload-Offset"] == "0"


def test_bytes_that_are_not_what_their_address_says_are_refused_and_kept_apart(shop, phone):
    address = sha(b"what should have come")
    place = create(phone, SOUND, address).headers["Location"]
    answer = patch(phone, place, 0, SOUND)
    assert (answer.status_code, kind(answer)) == (422, "hash-mismatch")
    assert address not in shop.log.media
    assert sha(SOUND) not in shop.log.media
    (kept,) = (shop.folder / "uploads/quarantine").glob("*.part")
    assert kept.read_bytes() == SOUND
    assert kept.with_suffix(".json").exists()
    assert head(phone, place).status_code == 410


def test_after_a_refused_upload_a_new_one_succeeds(shop, phone):
    broken = create(phone).headers["Location"]
    patch(phone, broken, 0, b"?" * len(SOUND))
    place = create(phone).headers["Location"]
    assert patch(phone, place, 0, SOUND).status_code == 204
    assert shop.log.media.read(sha(SOUND)) == SOUND


@pytest.mark.parametrize(
    ("headers", "status"),
    [
        pytest.param({"Tus-Resumable": "0.2.2"}, 412, id="old version"),
        pytest.param({"Upload-Length": "-1"}, 400, id="negative length"),
        pytest.param({"Upload-Length": "1e3"}, 400, id="length in another spelling"),
        pytest.param({"Upload-Length": "\u00b2"}, 400, id="length in other digits"),
        pytest.param({"Upload-Length": str(MAX_LENGTH + 1)}, 413, id="too long"),
        pytest.param({"Upload-Length": "9" * 40}, 400, id="beyond all measure"),
        pytest.param({"Upload-Defer-Length": "1"}, 400, id="length told later"),
        pytest.param({"Upload-Metadata": ""}, 400, id="no metadata"),
        pytest.param({"Upload-Metadata": "sha256"}, 400, id="no address"),
        pytest.param({"Upload-Metadata": "sha256 !!!"}, 400, id="not Base64"),
        pytest.param({"Upload-Metadata": "sha256 Li4vLi4v"}, 400, id="a path for an address"),
        pytest.param({"Upload-Metadata": "sha256 /w=="}, 400, id="not UTF-8"),
        pytest.param({"Upload-Metadata": f"sha256 {b64(b'A' * 64)}"}, 400, id="upper case"),
        pytest.param({"Upload-Metadata": "a YQ==,a YQ=="}, 400, id="a name twice"),
        pytest.param({"Upload-Metadata": "a " + "A" * 5000}, 400, id="very long"),
    ],
)
def test_an_upload_that_cannot_be_is_not_created(shop, phone, headers, status):
    answer = create(phone, **headers)
    assert answer.status_code == status
    assert list((shop.folder / "uploads").glob("*.json")) == []


def test_another_version_of_tus_is_told_ours(phone):
    answer = phone.ask("POST", "/api/uploads", headers={"Upload-Length": "1"})
    assert (answer.status_code, answer.headers["Tus-Version"]) == (412, "1.0.0")


@pytest.mark.parametrize(
    ("headers", "content_type", "status"),
    [
        pytest.param({"Upload-Offset": "x"}, CHUNK, 400, id="offset is no number"),
        pytest.param({"Upload-Offset": "-1"}, CHUNK, 400, id="negative offset"),
        pytest.param({"Upload-Offset": "0"}, "application/octet-stream", 415, id="another type"),
    ],
)
def test_a_chunk_that_cannot_be_is_refused(phone, headers, content_type, status):
    place = create(phone).headers["Location"]
    answer = phone.ask("PATCH", place, data=b"x", content_type=content_type, headers={**TUS, **headers})
    assert answer.status_code == status
    assert head(phone, place).headers["Upload-Offset"] == "0"


@pytest.mark.parametrize(
    "name", ["..", "../../documents.json", "%2e%2e%2fdocuments.json", "a" * 5000, "0" * 31 + "/"]
)
def test_no_name_of_an_upload_leads_elsewhere(phone, name):
    assert head(phone, f"/api/uploads/{name}").status_code in {404, 405, 308}


def test_unreadable_upload_notes_are_left_and_do_not_stop_the_shop(shop, phone):
    place = create(phone).headers["Location"]
    (info,) = (shop.folder / "uploads").glob("*.json")
    info.write_text("{")
    shop.reopen()
    assert head(phone, place).status_code == 404
    assert info.read_text() == "{"
