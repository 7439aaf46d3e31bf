"""tus 1.0.0 by its own words: core, creation, checksum, expiration, termination."""

import hashlib
from email.utils import parsedate_to_datetime

import pytest
from support.tus import CHUNK, SOUND, TUS, b64, create, head, patch, sha

from plytally.web.access import ROUTES
from plytally.web.uploads import LIFE_MS, MAX_LENGTH


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


@pytest.mark.parametrize("algorithm", ["sha1", "sha256"])
def test_a_chunk_with_its_checksum_is_taken(phone, algorithm):
    place = create(phone).headers["Location"]
    digest = b64(hashlib.new(algorithm, SOUND[:99]).digest())
    assert (
        patch(phone, place, 0, SOUND[:99], **{"Upload-Checksum": f"{algorithm} {digest}"}).status_code == 204
    )


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


def test_a_client_without_patch_may_say_it_in_a_header(shop, phone):
    place = create(phone).headers["Location"]
    override = {**TUS, "X-HTTP-Method-Override": "PATCH", "Upload-Offset": "0"}
    answer = phone.ask("POST", place, data=SOUND, content_type=CHUNK, headers=override)
    assert answer.status_code == 204
    assert sha(SOUND) in shop.log.media
    assert phone.ask("POST", place, headers=TUS).status_code == 400


def test_a_chunk_holds_as_much_as_the_route_takes(shop, phone):
    limit = ROUTES["tus.upload"].body
    place = create(phone, b"a" * (limit + 1)).headers["Location"]
    assert patch(phone, place, 0, b"a" * (limit + 1)).status_code == 413
    assert patch(phone, place, 0, b"a" * limit).status_code == 204
