"""After a disaster: a log made from yesterday's backup gets back what the phones still have."""

import pytest
from support.shops import Phone, TestShop

from plytally.core.clock import uuid7
from plytally.store.backup import backup, restore
from plytally.store.verify import verify

EPOCH = uuid7(1_770_000_000_000, 7)


class Keeping:
    """A phone that keeps its own operations and its cursor, and sends all again when another log answers."""

    def __init__(self, phone):
        self.phone, self.waiting, self.there, self.known, self.cursor = phone, [], [], {}, None

    def notes(self, count):
        self.waiting += [self.phone.maker.notes() for _ in range(count)]

    def syncs(self):
        while True:
            answer = self.phone.sync(self.waiting, self.cursor, limit=3).json
            if self.cursor and answer["cursor"]["epoch"] != self.cursor["epoch"]:
                self.waiting, self.there = self.there + self.waiting, []
            self.cursor = answer["cursor"]
            self.known |= {raw["id"]: raw for raw in answer["operations"]}
            self.there += [one for one in self.waiting if one.id in answer["kept"]]
            self.waiting = [one for one in self.waiting if one.id not in answer["kept"]]
            if not answer["more"] and not self.waiting:
                return

    @property
    def holds(self):
        return self.known.keys() | {one.id for one in self.there}


@pytest.fixture
def disaster(tmp_path):
    """Two phones, a backup in between, the shop's folder lost, and a shop over what was restored."""
    shop = TestShop(tmp_path / "data")
    phones = [Keeping(shop.phone(f"phone-{number}")) for number in (1, 2)]
    for phone in phones:
        phone.notes(4)
        phone.syncs()
    backup(shop.folder, tmp_path / "copy")
    for phone in phones * 2:
        phone.notes(3)
        phone.syncs()
    late = Keeping(shop.phone("phone-3"))
    late.notes(2)
    late.syncs()
    before = shop.ids()
    shop.close()
    restore(tmp_path / "copy", tmp_path / "again", lambda: EPOCH)
    restored = TestShop(tmp_path / "again")
    for phone in (*phones, late):
        phone.phone.home = restored
    yield restored, phones, late, before
    restored.close()


def test_what_was_acknowledged_after_the_backup_comes_back_from_the_phones_that_made_it(disaster):
    shop, phones, late, before = disaster
    assert len(shop.ids()) == 8
    late.phone.token = shop.phone("phone-3").token

    for phone in (*phones, late, *phones):
        phone.syncs()

    assert set(shop.ids()) == set(before)
    assert len(shop.ids()) == len(before)
    assert [phone.holds for phone in phones] == [set(before)] * 2
    assert verify(shop.folder).sound
    assert all(tally.gaps == () == tally.twice for tally in shop.log.state.devices.values())


def test_a_phone_paired_before_the_backup_need_not_pair_again_and_one_paired_after_it_must(disaster):
    _, (first, _), late, _ = disaster

    assert first.phone.sync().status_code == 200
    refusal = late.phone.sync(late.there)
    assert (refusal.status_code, refusal.json["type"].rpartition(":")[2]) == (401, "not-paired")


def test_what_another_device_made_is_not_taken_from_a_phone_but_kept_aside_for_the_desk(disaster):
    shop, (first, second), _, _ = disaster
    lost = [raw for raw in first.known.values() if raw["device"] == "phone-2" and raw["id"] not in shop.ids()]
    assert lost

    answer = first.phone.ask("POST", "/api/sync", json=first.phone.body(lost)).json

    assert [refusal["id"] for refusal in answer["refused"]] == [raw["id"] for raw in lost]
    assert [aside.raw for aside in shop.log.aside] == lost
    second.syncs()
    assert {raw["id"] for raw in lost} <= set(shop.ids())


def test_the_shops_own_numbers_begin_anew_under_the_new_log(disaster):
    shop, *_ = disaster
    made = shop.log.withdraw(shop.ids()[0], "said twice")

    assert made.device == f"shop-{EPOCH[-12:]}"
    assert made.number == 1


def test_a_cursor_of_the_lost_log_reads_the_new_one_from_its_start(disaster):
    shop, (first, _), _, _ = disaster
    old = dict(first.cursor)

    answer = Phone(shop, "phone-1", first.phone.token).sync(cursor=old).json

    assert old["epoch"] != EPOCH == answer["cursor"]["epoch"]
    assert [raw["id"] for raw in answer["operations"]] == shop.ids()
