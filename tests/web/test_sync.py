"""Sync: one request both ways, and nothing lost whatever comes."""

import errno
import os

import pytest
from support.devices import Device
from support.shops import TestShop

from plytally.store.disk import RealDisk
from plytally.web import sync as sync_module
from plytally.web.schemas import MOST_OPERATIONS


def ids(operations):
    return [one.id for one in operations]


def pulled(answer):
    return [one["id"] for one in answer.json["operations"]]


def drain(phone, cursor=None, limit=500):
    """Everything a phone lacks, page by page; the ids in order, and the number of pages."""
    found, pages = [], 0
    while True:
        answer = phone.sync(cursor=cursor, limit=limit).json
        found += [one["id"] for one in answer["operations"]]
        cursor, pages = answer["cursor"], pages + 1
        if not answer["more"]:
            return found, pages


def test_what_a_phone_sends_is_kept_and_listed(shop):
    phone = shop.phone()
    notes = [phone.maker.notes() for _ in range(3)]
    answer = phone.sync(notes)
    assert answer.status_code == 200
    assert answer.json["kept"] == ids(notes) == shop.ids()
    assert answer.json["refused"] == []


def test_an_operation_comes_back_to_another_phone_exactly_as_it_was_sent(shop):
    phone, other = shop.phone("phone-1"), shop.phone("phone-2")
    note = phone.maker.notes()
    phone.sync([note])
    answer = other.sync()
    assert answer.json["operations"] == [note.as_json()]
    assert answer.json["received"] == [shop.clock.millis]


def test_two_phones_end_with_the_same_log(shop):
    one, two = shop.phone("phone-1"), shop.phone("phone-2")
    one.sync([one.maker.notes() for _ in range(2)])
    two.sync([two.maker.notes() for _ in range(3)])
    assert drain(one)[0] == drain(two)[0] == shop.ids()


def test_the_same_request_a_hundred_times_changes_nothing(shop):
    phone = shop.phone()
    body = phone.body([phone.maker.notes() for _ in range(3)])
    first = phone.ask("POST", "/api/sync", json=body).json
    before = (shop.folder / "journal/2026-11.jsonl").read_bytes()
    for _ in range(100):
        again = phone.ask("POST", "/api/sync", json=body).json
        assert again == first
    assert (shop.folder / "journal/2026-11.jsonl").read_bytes() == before


def test_a_phone_does_not_get_back_what_it_sends(shop):
    phone = shop.phone()
    answer = phone.sync([phone.maker.notes()])
    assert answer.json["operations"] == []
    assert answer.json["cursor"]["seq"] == 1
    assert answer.json["more"] is False


def test_after_a_lost_reply_the_repeat_gives_the_same_answer_and_moves_the_cursor(shop):
    phone, other = shop.phone("phone-1"), shop.phone("phone-2")
    other.sync([other.maker.notes()])
    note = phone.maker.notes()
    lost = phone.sync([note])
    repeat = phone.sync([note])
    assert repeat.json == lost.json
    assert pulled(repeat) == shop.ids()[:1]
    assert phone.sync(cursor=repeat.json["cursor"]).json["operations"] == []


def test_a_wiped_phone_gets_its_own_operations_too(shop):
    phone = shop.phone()
    notes = [phone.maker.notes() for _ in range(5)]
    phone.sync(notes)
    assert drain(phone, limit=2) == (ids(notes), 3)


def test_what_a_phone_lacks_comes_in_pages_without_gap_or_repeat(shop):
    phone, other = shop.phone("phone-1"), shop.phone("phone-2")
    for _ in range(3):
        phone.sync([phone.maker.notes() for _ in range(7)])
    found, pages = drain(other, limit=4)
    assert found == shop.ids()
    assert pages == 6


def test_a_page_ends_before_it_grows_too_large_but_always_moves_on(shop, monkeypatch):
    monkeypatch.setattr(sync_module, "ANSWER_BYTES", 100)
    phone, other = shop.phone("phone-1"), shop.phone("phone-2")
    phone.sync([phone.maker.notes() for _ in range(3)])
    assert drain(other) == (shop.ids(), 3)


def test_a_cursor_of_another_epoch_begins_at_the_start(shop):
    phone, other = shop.phone("phone-1"), shop.phone("phone-2")
    phone.sync([phone.maker.notes() for _ in range(2)])
    foreign = {"epoch": "017f22e2-79b0-7cc3-98c4-dc0c0c07398f", "seq": 1}
    answer = other.sync(cursor=foreign)
    assert pulled(answer) == shop.ids()
    assert answer.json["cursor"]["epoch"] == shop.log.journal.epoch != foreign["epoch"]


def test_a_cursor_beyond_the_end_is_of_a_log_that_was_restored_and_begins_at_the_start(shop):
    phone, other = shop.phone("phone-1"), shop.phone("phone-2")
    phone.sync([phone.maker.notes() for _ in range(2)])
    answer = other.sync(cursor={"epoch": shop.log.journal.epoch, "seq": 99})
    assert pulled(answer) == shop.ids()
    assert answer.json["cursor"]["seq"] == 2


def test_the_clocks_are_compared_at_each_sync_and_the_skew_is_kept(shop):
    phone = shop.phone()
    answer = phone.sync(now=shop.clock.millis - 90_000).json
    assert (answer["skew_ms"], answer["server_time"]) == (-90_000, shop.clock.millis)
    shop.reopen()
    (kept,) = shop.inside.phones
    assert (kept.skew_ms, kept.last_seen) == (-90_000, "2026-11-03T08:20:00.000+01:00")


def test_a_phone_ten_years_ahead_is_taken_and_flagged_not_refused(shop):
    phone = shop.phone()
    phone.maker.now += 10 * 365 * 86_400_000
    note = phone.maker.notes()
    assert phone.sync([note]).json["kept"] == [note.id]
    assert note.id in shop.log.state.ahead


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        pytest.param(lambda raw: raw | {"act": "erase"}, "'act' must be one of", id="unknown act"),
        pytest.param(lambda raw: raw | {"id": "7"}, "'id' must be a UUIDv7", id="no id"),
        pytest.param(lambda raw: raw | {"extra": 1}, "'extra' is not a part", id="unknown part"),
        pytest.param(lambda raw: raw | {"number": 1.5}, "'number' must be", id="broken number"),
        pytest.param(lambda raw: raw | {"body": {"a": 0.1}}, "floating-point", id="float in the body"),
        pytest.param(lambda raw: raw | {"body": {"a": "\ud800"}}, "surrogate", id="half a character"),
        pytest.param(
            lambda raw: {k: v for k, v in raw.items() if k != "stamp"}, "'stamp' is missing", id="no stamp"
        ),
        pytest.param(lambda raw: raw | {"body": {"a": "x" * 300_000}}, "the limit is 262144", id="too large"),
        pytest.param(lambda raw: "laid two plies", "a JSON object, found str", id="text"),
        pytest.param(lambda raw: None, "a JSON object, found NoneType", id="null"),
        pytest.param(lambda raw: [raw], "a JSON object, found list", id="list"),
    ],
)
def test_a_malformed_operation_is_refused_with_why_and_kept_aside(shop, spoil, words):
    phone = shop.phone()
    good, bad = phone.maker.notes(), spoil(phone.maker.notes().as_json())
    answer = phone.sync([bad, good])
    assert answer.status_code == 200
    assert answer.json["kept"] == [good.id]
    (refusal,) = answer.json["refused"]
    assert words in refusal["why"]
    (aside,) = shop.log.aside
    assert (aside.sender, aside.raw) == (phone.device, bad)


def test_an_operation_in_another_devices_name_is_refused_and_kept_aside(shop):
    phone = shop.phone()
    foreign = Device("phone-2").notes()
    answer = phone.sync([foreign])
    assert answer.json["kept"] == []
    assert answer.json["refused"][0]["id"] == foreign.id
    assert "its own operations only" in answer.json["refused"][0]["why"]
    assert shop.ids() == []
    assert [one.raw for one in shop.log.aside] == [foreign.as_json()]


def test_other_content_under_a_known_id_is_refused_and_kept_aside(shop):
    phone = shop.phone()
    note = phone.maker.notes()
    phone.sync([note])
    other = note.as_json() | {"skew_ms": 7}
    answer = phone.sync([other])
    assert answer.json["refused"] == [{"id": note.id, "why": answer.json["refused"][0]["why"]}]
    assert "another operation with this id" in answer.json["refused"][0]["why"]
    assert [one.raw for one in shop.log.aside] == [other]


def test_an_operation_with_a_sound_envelope_and_strange_words_is_kept(shop):
    phone = shop.phone()
    strange = phone.maker.does("note", body={"entry": {"kind": "from a newer phone"}, "doubts": []})
    assert phone.sync([strange]).json["kept"] == [strange.id]
    assert [aside.operation.id for aside in shop.log.state.put_aside] == [strange.id]


def test_a_phone_speaks_for_itself_only(shop):
    phone = shop.phone()
    answer = phone.ask("POST", "/api/sync", json=phone.body() | {"device": "phone-2"})
    assert (answer.status_code, answer.json["type"].rpartition(":")[2]) == (403, "not-allowed")


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        pytest.param({"device": "No!"}, "device", id="device"),
        pytest.param({"operations": None}, "operations", id="no list"),
        pytest.param({"operations": {}}, "operations", id="object for a list"),
        pytest.param({"operations": [{}] * (MOST_OPERATIONS + 1)}, "operations", id="too many"),
        pytest.param({"cursor": 7}, "cursor._schema", id="cursor is a number"),
        pytest.param({"cursor": {"epoch": "x", "seq": 0}}, "cursor.epoch", id="epoch"),
        pytest.param(
            {"cursor": {"epoch": "017f22e2-79b0-7cc3-98c4-dc0c0c07398f", "seq": -1}},
            "cursor.seq",
            id="negative",
        ),
        pytest.param({"now": "soon"}, "now", id="now is text"),
        pytest.param({"now": True}, "now", id="now is true"),
        pytest.param({"now": 1.5}, "now", id="now is broken"),
        pytest.param({"limit": 0}, "limit", id="limit of nothing"),
        pytest.param({"limit": 1001}, "limit", id="limit too large"),
        pytest.param({"app": "2"}, "app", id="unknown field"),
    ],
)
def test_a_wrong_field_of_the_request_is_told_and_nothing_is_kept(shop, changes, field):
    phone = shop.phone()
    answer = phone.ask("POST", "/api/sync", json=phone.body([phone.maker.notes()]) | changes)
    assert answer.status_code == 422
    assert field in {wrong["field"] for wrong in answer.json["errors"]}
    assert shop.ids() == []


class IllDisk(RealDisk):
    """A disk that can be made to refuse, with the system's own number for why."""

    def __init__(self):
        self.refuses = 0

    def write(self, fd, content):
        if self.refuses:
            raise OSError(self.refuses, os.strerror(self.refuses))
        return super().write(fd, content)


@pytest.mark.parametrize(
    ("number", "status", "kind"),
    [(errno.ENOSPC, 507, "disk-full"), (errno.EDQUOT, 507, "disk-full"), (errno.EROFS, 503, "unavailable")],
    ids=["full", "quota used up", "turned read-only"],
)
def test_on_an_ill_disk_new_is_refused_old_is_served_and_all_is_well_once_it_is_mended(
    tmp_path, number, status, kind
):
    disk = IllDisk()
    shop = TestShop(tmp_path / "data", disk)
    phone, other = shop.phone("phone-1"), shop.phone("phone-2")
    kept, late = phone.maker.notes(), phone.maker.notes()
    phone.sync([kept])
    other.sync()
    disk.refuses = number
    refusal = phone.sync([late])
    assert (refusal.status_code, refusal.json["type"].rpartition(":")[2]) == (status, kind)
    assert "keep it on the phone" in refusal.json["detail"]
    assert pulled(other.sync()) == [kept.id]
    disk.refuses = 0
    assert phone.sync([late]).json["kept"] == [late.id]
    shop.close()
