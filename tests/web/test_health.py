"""Whether the server says rightly how it is."""

import collections
import shutil

import pytest
from support.shops import TestShop

from plytally.web.allowance import FLOOR_BYTES


def test_everybody_may_know_that_it_is_well_but_no_numbers(shop):
    answer = shop.nobody.get("/health")
    assert (answer.status_code, answer.json["status"]) == (200, "well")
    assert answer.json["checks"] == {name: {"well": True} for name in ("calls", "disk", "log", "queues")}


def test_a_phone_sees_where_the_log_is_and_what_waits(tmp_path):
    shop = TestShop(tmp_path / "data", queues={"second_hearing": lambda: 7})
    phone = shop.phone()
    phone.sync([phone.maker.notes()])
    checks = phone.ask("GET", "/health").json["checks"]
    assert checks["log"] == {
        "well": True,
        "epoch": shop.log.journal.epoch,
        "seq": 1,
        "head": shop.log.journal.head.hash,
    }
    assert (checks["queues"]["second_hearing"], checks["queues"]["uploads"]) == (7, 0)
    assert checks["disk"]["free_bytes"] > 0
    shop.close()


def test_a_stranger_who_asks_often_costs_no_counting(tmp_path):
    counted = []
    shop = TestShop(tmp_path / "data", queues={"second_hearing": lambda: counted.append(1) or 0})
    assert shop.nobody.get("/health").json["checks"]["queues"] == {"well": True}
    assert counted == []
    shop.phone().ask("GET", "/health")
    assert counted == [1]
    shop.close()


def test_an_upload_under_way_is_counted(shop):
    phone = shop.phone()
    meta = {
        "Tus-Resumable": "1.0.0",
        "Upload-Length": "5",
        "Upload-Metadata": "sha256 " + "YWFh" * 21 + "YQ==",
    }
    assert phone.ask("POST", "/api/uploads", headers=meta).status_code == 201
    assert phone.ask("GET", "/health").json["checks"]["queues"]["uploads"] == 1


def test_a_closed_log_is_ailing(shop):
    shop.log.journal.close()
    answer = shop.nobody.get("/health")
    assert (answer.status_code, answer.json["status"]) == (503, "ailing")
    assert answer.json["checks"]["log"] == {"well": False}


@pytest.mark.parametrize(
    "spoil", [lambda line: line.replace(b"builder", b"bilder!"), lambda line: b"", lambda line: b"x"]
)
def test_a_last_line_that_was_changed_on_disk_is_ailing(shop, spoil):
    phone = shop.phone()
    phone.sync([phone.maker.notes()])
    file = shop.folder / "journal/2026-11.jsonl"
    file.write_bytes(spoil(file.read_bytes()))
    answer = shop.nobody.get("/health")
    assert answer.status_code == 503
    assert answer.json["checks"]["log"]["well"] is False


def test_a_disk_that_is_nearly_full_is_ailing(shop, monkeypatch):
    usage = collections.namedtuple("usage", "total used free")
    monkeypatch.setattr(shutil, "disk_usage", lambda folder: usage(10**12, 10**12, FLOOR_BYTES))
    answer = shop.nobody.get("/health")
    assert answer.status_code == 503
    assert answer.json["checks"]["disk"]["well"] is False


def test_an_upload_that_would_take_the_last_room_is_refused(shop, monkeypatch):
    phone = shop.phone()
    usage = collections.namedtuple("usage", "total used free")
    monkeypatch.setattr(shutil, "disk_usage", lambda folder: usage(10**12, 10**12, FLOOR_BYTES + 4))
    meta = {
        "Tus-Resumable": "1.0.0",
        "Upload-Length": "5",
        "Upload-Metadata": "sha256 " + "YWFh" * 21 + "YQ==",
    }
    answer = phone.ask("POST", "/api/uploads", headers=meta)
    assert (answer.status_code, answer.json["type"].rpartition(":")[2]) == (507, "disk-full")
