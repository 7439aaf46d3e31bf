"""tus 1.0.0 by its own words: core, creation, checksum, expiration, termination."""

import base64
import hashlib
from email.utils import parsedate_to_datetime

import pytest

from plytally.web.access import ROUTES
from plytally.web.uploads import LIFE_MS, MAX_LENGTH

SOUND = b"RIFF" + bytes(range(256)) * 40
CHUNK = "application/offset+octet-stream"
TUS = {"Tus-Resumable": "1.0.0"}


def sha(content):
    return hashlib.sha256(content).hexdigest()


def b64(content):
    return base64.b64encode(content).decode()


def create(asker, content=SOUND, address=None, **headers):
    metadata = f"sha256 {b64((address or sha(content)).encode())},role {b64(b'sound')}"
    fixed = {**TUS, "Upload-Length": str(len(content)), "Upload-Metadata": metadata}
    return asker.ask("POST", "/api/uploads", headers={**fixed, **headers})


def patch(asker, place, offset, chunk, **headers):
    fixed = {**TUS, "Upload-Offset": str(offset)}
    return asker.ask("PATCH", place, data=chunk, content_type=CHUNK, headers={**fixed, **headers})


def head(asker, place):
    return asker.ask("HEAD", place, headers=TUS)


def kind(answer):
    return answer.json["type"].rpartition(":")[2]


@pytest.fixture
def phone(shop):
    return shop.phone()


def test_the_server_says_what_it_can_do(shop):
    answer = shop.nobody.options("/api/uploads")
    assert answer.status_code == 204
    assert answer.headers["Tus-Resumable"] == answer.headers["Tus-Version"] == "1.0.0"
    assert answer.headers["Tus-Extension"] == "creation,checksum,expiration,termination"
    assert answer.headers["Tus-Checksum-Algorithm"] == "sha1,sha256"
    assert answer.headers["Tus-Max-Size"] == str(MAX_LENGTH)


def test_an_upload_in_chunks_ends_in_the_media(shop, phone):
    created = create(phone)
    assert created.status_code == 201
    place = created.headers["Location"]
    assert head(phone, place).headers["Upload-Offset"] == "0"
    first = patch(phone, place, 0, SOUND[:4000])
    assert (first.status_code, first.headers["Upload-Offset"]) == (204, "4000")
    assert sha(SOUND) not in shop.log.media
    last = patch(phone, place, 4000, SOUND[4000:])
    assert last.headers["Upload-Offset"] == str(len(SOUND))
    assert shop.log.media.read(sha(SOUND)) == SOUND
    assert len(shop.inside.uploads) == 0


def test_every_answer_even_a_refusal_names_the_version(phone):
    place = create(phone).headers["Location"]
    assert all(
        a.headers["Tus-Resumable"] == "1.0.0" for a in (head(phone, place), patch(phone, place, 7, b"x"))
    )


def test_head_tells_length_metadata_and_end_and_is_never_cached(shop, phone):
    place = create(phone).headers["Location"]
    told = head(phone, place).headers
    assert told["Upload-Length"] == str(len(SOUND))
    assert told["Upload-Metadata"].startswith("sha256 ")
    assert told["Cache-Control"] == "no-store"
    ends = parsedate_to_datetime(told["Upload-Expires"]).timestamp()
    assert ends == (shop.clock.millis + LIFE_MS) // 1000


def test_an_upload_goes_on_where_it_was_after_a_restart(shop, phone):
    place = create(phone).headers["Location"]
    patch(phone, place, 0, SOUND[:1000])
    shop.reopen()
    assert head(phone, place).headers["Upload-Offset"] == "1000"
    assert patch(phone, place, 1000, SOUND[1000:]).status_code == 204
    assert sha(SOUND) in shop.log.media


def test_after_the_lost_reply_to_the_last_chunk_head_shows_the_end(shop, phone):
    place = create(phone).headers["Location"]
    patch(phone, place, 0, SOUND)
    assert head(phone, place).headers["Upload-Offset"] == str(len(SOUND))
    shop.reopen()
    assert head(phone, place).headers["Upload-Offset"] == str(len(SOUND))


def test_what_was_whole_when_the_server_was_killed_is_settled_by_the_restart(shop, phone):
    """The crash between the last chunk's fsync and the rename into the media."""
    create(phone)
    (part,) = (shop.folder / "uploads").glob("*.part")
    part.write_bytes(SOUND)
    shop.reopen()
    assert shop.log.media.read(sha(SOUND)) == SOUND


def test_what_was_whole_but_could_not_be_settled_is_not_called_complete(shop, phone):
    """All bytes are here, but the media cannot take them: HEAD must not tell the phone to forget them."""
    place = create(phone).headers["Location"]
    (part,) = (shop.folder / "uploads").glob("*.part")
    part.write_bytes(SOUND)
    barrier = shop.folder / "media" / sha(SOUND)[:2]
    barrier.parent.mkdir(exist_ok=True)
    barrier.write_bytes(b"")
    assert head(phone, place).status_code >= 500
    barrier.unlink()
    assert head(phone, place).headers["Upload-Offset"] == str(len(SOUND))
    assert sha(SOUND) in shop.log.media


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


@pytest.mark.parametrize("algorithm", ["sha1", "sha256"])
def test_a_chunk_with_its_checksum_is_taken(phone, algorithm):
    place = create(phone).headers["Location"]
    digest = b64(hashlib.new(algorithm, SOUND[:99]).digest())
    assert (
        patch(phone, place, 0, SOUND[:99], **{"Upload-Checksum": f"{algorithm} {digest}"}).status_code == 204
    )


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


def test_what_is_here_already_is_complete_from_the_start(shop, phone):
    shop.log.media.keep(SOUND)
    place = create(phone).headers["Location"]
    assert head(phone, place).headers["Upload-Offset"] == str(len(SOUND))
    assert patch(phone, place, 0, SOUND[:100]).status_code == 409


def test_two_uploads_of_the_same_sound_both_end_well(shop):
    one, two = shop.phone("phone-1"), shop.phone("phone-2")
    here, there = create(one).headers["Location"], create(two).headers["Location"]
    assert patch(one, here, 0, SOUND).status_code == 204
    assert patch(two, there, 0, SOUND).status_code == 204
    assert list(shop.log.media) == [sha(SOUND)]


def test_an_empty_file_is_complete_when_created(shop, phone):
    place = create(phone, b"").headers["Location"]
    assert head(phone, place).headers["Upload-Offset"] == "0"
    assert sha(b"") in shop.log.media


def test_an_upload_ends_for_good_when_its_owner_says_so(shop, phone):
    place = create(phone).headers["Location"]
    patch(phone, place, 0, SOUND[:50])
    assert phone.ask("DELETE", place, headers=TUS).status_code == 204
    assert head(phone, place).status_code == 404
    assert list((shop.folder / "uploads").glob("*.part")) == []


def test_ending_an_upload_that_was_finished_leaves_the_media(shop, phone):
    place = create(phone).headers["Location"]
    patch(phone, place, 0, SOUND)
    phone.ask("DELETE", place, headers=TUS)
    assert sha(SOUND) in shop.log.media


def test_an_upload_past_its_end_is_gone_and_its_bytes_are_kept_apart(shop, phone):
    place = create(phone).headers["Location"]
    patch(phone, place, 0, SOUND[:50])
    shop.clock.millis += LIFE_MS + 1
    assert head(phone, place).status_code == 410
    shop.reopen()
    assert head(phone, place).status_code == 404
    (kept,) = (shop.folder / "uploads/quarantine").glob("*.part")
    assert kept.read_bytes() == SOUND[:50]


def test_another_phone_neither_sees_nor_touches_an_upload(shop, phone):
    other = shop.phone("phone-2")
    place = create(phone).headers["Location"]
    assert [head(other, place).status_code, patch(other, place, 0, b"x").status_code] == [404, 404]
    assert other.ask("DELETE", place, headers=TUS).status_code == 404


def test_the_desk_uploads_too(shop):
    desk = shop.desk()
    place = create(desk).headers["Location"]
    assert patch(desk, place, 0, SOUND).status_code == 204


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


def test_a_client_without_patch_may_say_it_in_a_header(shop, phone):
    place = create(phone).headers["Location"]
    override = {**TUS, "X-HTTP-Method-Override": "PATCH", "Upload-Offset": "0"}
    answer = phone.ask("POST", place, data=SOUND, content_type=CHUNK, headers=override)
    assert answer.status_code == 204
    assert sha(SOUND) in shop.log.media
    assert phone.ask("POST", place, headers=TUS).status_code == 400


@pytest.mark.parametrize(
    "name", ["..", "../../documents.json", "%2e%2e%2fdocuments.json", "a" * 5000, "0" * 31 + "/"]
)
def test_no_name_of_an_upload_leads_elsewhere(phone, name):
    assert head(phone, f"/api/uploads/{name}").status_code in {404, 405, 308}


def test_a_chunk_holds_as_much_as_the_route_takes(shop, phone):
    limit = ROUTES["tus.upload"].body
    place = create(phone, b"a" * (limit + 1)).headers["Location"]
    assert patch(phone, place, 0, b"a" * (limit + 1)).status_code == 413
    assert patch(phone, place, 0, b"a" * limit).status_code == 204


def test_unreadable_upload_notes_are_left_and_do_not_stop_the_shop(shop, phone):
    place = create(phone).headers["Location"]
    (info,) = (shop.folder / "uploads").glob("*.json")
    info.write_text("{")
    shop.reopen()
    assert head(phone, place).status_code == 404
    assert info.read_text() == "{"
