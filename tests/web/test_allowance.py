"""A phone in bad hands fills no disk: what stays free, what one phone may bring in a day, what it is told."""

import collections
import shutil

import pytest
from support.devices import Device
from support.shops import TestShop

from plytally.web import allowance, sync, uploads
from plytally.web.allowance import DAY_MS, FLOOR_BYTES

TUS = {"Tus-Resumable": "1.0.0"}
SHA = ["sha256 " + mark * 21 + "YQ==" for mark in ("YWFh", "YmJi", "Y2Nj")]


def begin(asker, length, address=SHA[0]):
    return asker.ask(
        "POST", "/api/uploads", headers={**TUS, "Upload-Length": str(length), "Upload-Metadata": address}
    )


def add(phone, place, chunk):
    headers = {**TUS, "Upload-Offset": "0"}
    return phone.ask(
        "PATCH", place, data=chunk, content_type="application/offset+octet-stream", headers=headers
    )


def kind(answer):
    return answer.json["type"].rpartition(":")[2]


@pytest.fixture
def small(monkeypatch, tmp_path):
    """A shop in which one phone may bring a hundred bytes of sounds and a thousand of notes."""
    monkeypatch.setattr(uploads, "UPLOADS_A_DAY", 100)
    monkeypatch.setattr(sync, "NOTES_A_DAY", 1000)
    opened = TestShop(tmp_path / "data")
    yield opened
    opened.close()


def test_what_one_phone_may_upload_in_a_day_is_limited_and_it_is_told_what_to_do(small):
    phone = small.phone()
    assert begin(phone, 60).status_code == 201
    answer = begin(phone, 60, SHA[1])
    assert (answer.status_code, kind(answer)) == (507, "too-much")
    assert "stays on the phone" in answer.json["detail"]
    assert int(answer.headers["Retry-After"]) == DAY_MS // 1000
    assert begin(phone, 40, SHA[2]).status_code == 201


def test_another_phone_is_not_held_up_by_it(small):
    begin(small.phone("phone-1"), 100)
    assert begin(small.phone("phone-2"), 100, SHA[1]).status_code == 201


def test_the_limit_holds_over_a_restart_and_ends_with_the_day(small):
    phone = small.phone()
    begin(phone, 90)
    small.reopen()
    assert begin(phone, 20, SHA[1]).status_code == 507
    small.clock.millis += DAY_MS
    assert begin(phone, 20, SHA[1]).status_code == 201


def test_an_upload_that_is_taken_back_has_been_counted(small):
    phone = small.phone()
    place = begin(phone, 90).headers["Location"]
    assert phone.ask("DELETE", place, headers=TUS).status_code == 204
    assert begin(phone, 90, SHA[1]).status_code == 507


def test_what_is_larger_than_a_days_share_is_taken_from_a_phone_that_brought_nothing(small):
    assert begin(small.phone(), 150).status_code == 201, "else it could never be taken"


def test_no_chunk_takes_what_is_to_stay_free_however_many_were_promised(shop, monkeypatch):
    phone = shop.phone()
    place = begin(phone, 50).headers["Location"]
    usage = collections.namedtuple("usage", "total used free")
    monkeypatch.setattr(shutil, "disk_usage", lambda _: usage(10**12, 10**12, FLOOR_BYTES + 10))
    answer = add(phone, place, b"x" * 20)
    assert (answer.status_code, kind(answer)) == (507, "disk-full")
    assert "make room" in answer.json["detail"]
    monkeypatch.undo()
    assert add(phone, place, b"x" * 20).status_code == 204, "it goes on where it stopped"


def test_notes_without_end_are_refused_and_those_before_and_after_are_kept(small):
    phone = small.phone()
    kept = [phone.maker.notes() for _ in range(4)]
    assert phone.sync(kept).status_code == 200
    late = phone.maker.notes()
    answer = phone.sync([late])
    assert (answer.status_code, kind(answer)) == (507, "too-much")
    assert phone.sync([]).status_code == 200, "it may still fetch"
    small.clock.millis += DAY_MS
    assert phone.sync([late]).json["kept"] == [late.id]
    assert small.ids() == [one.id for one in (*kept, late)]


def test_the_same_notes_again_count_once(small):
    phone = small.phone()
    once = [phone.maker.notes()]
    for _ in range(20):
        assert phone.sync(once).status_code == 200


def test_nonsense_that_is_put_aside_counts_too(small):
    phone = small.phone()
    assert phone.sync([{"device": "phone-9", "rubbish": "x" * 3000}]).status_code == 200
    assert kind(phone.sync([phone.maker.notes()])) == "too-much"


def test_a_day_at_the_bench_is_far_from_any_limit():
    talk, photos = 4 * 3600 * 32_000, 100 * 8_000_000  # four hours of sound and a hundred photos
    assert 4 * (talk + photos) < allowance.UPLOADS_A_DAY
    note = len(Device("phone-1").notes().to_bytes())
    assert 1000 * 4 * note < allowance.NOTES_A_DAY
