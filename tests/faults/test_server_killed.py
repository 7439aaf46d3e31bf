"""kill -9 in the middle of everything: what the server acknowledged is there when it comes back.

Twenty rounds by default; PLYTALLY_KILLS=200 for the long run.
"""

import base64
import hashlib
import http.client
import json
import os
import random
import threading
import time
from contextlib import suppress

from support.devices import Device
from support.server_process import ServerProcess

from plytally.store.verify import verify

ROUNDS = int(os.environ.get("PLYTALLY_KILLS", "20"))
PHONES = 3
CHUNK = 20_000


class BusyPhone:
    """A phone that sends without pause, remembers what was acknowledged, and sends again what was not."""

    def __init__(self, server, number):
        self.device = f"phone-{number}"
        self.token = server.pair(self.device)
        self.maker = Device(self.device)
        self.acknowledged, self.outbox = [], []
        self.whole, self.upload = {}, None
        self.chance = random.Random(number)

    def work(self, server, stop):
        """Until stopped or cut off: a batch of notes, then a chunk of a recording."""
        port = int(server.desk.rpartition(":")[2])
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        with suppress(OSError, http.client.HTTPException):
            while not stop.is_set():
                self.send_notes(connection)
                self.send_sound(connection)
        connection.close()

    def send_notes(self, connection):
        if not self.outbox:
            self.outbox = [self.maker.notes().as_json() for _ in range(self.chance.randrange(1, 6))]
        body = {
            "device": self.device,
            "operations": self.outbox,
            "cursor": None,
            "now": self.maker.now,
            "limit": 1,
        }
        status, _, told = self.ask(
            connection, "POST", "/api/sync", json.dumps(body).encode(), "application/json"
        )
        if status == 200:
            self.acknowledged += json.loads(told)["kept"]
            self.outbox = []

    def send_sound(self, connection):
        if self.upload is None:
            content = self.chance.randbytes(3 * CHUNK)
            address = hashlib.sha256(content).hexdigest()
            meta = {"Upload-Length": str(len(content)), "Upload-Metadata": f"sha256 {b64(address)}"}
            status, headers, _ = self.ask(connection, "POST", "/api/uploads", **meta)
            if status == 201:
                self.upload = {
                    "place": headers["Location"],
                    "content": content,
                    "address": address,
                    "offset": 0,
                }
            return
        offset, content = self.upload["offset"], self.upload["content"]
        status, headers, _ = self.ask(
            connection,
            "PATCH",
            self.upload["place"],
            content[offset : offset + CHUNK],
            "application/offset+octet-stream",
            **{"Upload-Offset": str(offset)},
        )
        if status == 204:
            self.upload["offset"] = int(headers["Upload-Offset"])
            if self.upload["offset"] == len(content):
                self.whole[self.upload["address"]] = content
                self.upload = None

    def resume(self, connection):
        """After a restart: what was acknowledged of the open upload must be here; go on from what is."""
        if self.upload:
            status, headers, _ = self.ask(connection, "HEAD", self.upload["place"])
            assert status == 200
            assert int(headers["Upload-Offset"]) >= self.upload["offset"]
            self.upload["offset"] = int(headers["Upload-Offset"])
            if self.upload["offset"] == len(self.upload["content"]):
                self.whole[self.upload["address"]] = self.upload["content"]
                self.upload = None

    def ask(self, connection, method, path, body=None, kind=None, **headers):
        headers |= {"Authorization": f"Bearer {self.token}", "Tus-Resumable": "1.0.0"}
        if kind:
            headers["Content-Type"] = kind
        connection.request(method, path, body, headers)
        answer = connection.getresponse()
        return answer.status, answer.headers, answer.read()


def b64(text):
    return base64.b64encode(text.encode()).decode()


def under_load(server, phones, seconds):
    """All phones at work for a while, then kill -9."""
    stop = threading.Event()
    threads = [threading.Thread(target=phone.work, args=(server, stop)) for phone in phones]
    for thread in threads:
        thread.start()
    time.sleep(seconds)
    server.kill()
    stop.set()
    for thread in threads:
        thread.join()


def pulled(server, phone):
    """Every id in the log, as a phone reads it from the start."""
    found, cursor, more = [], None, True
    while more:
        body = {"device": phone.device, "operations": [], "cursor": cursor, "now": 0, "limit": 1000}
        status, told = server.ask("POST", "/api/sync", body, token=phone.token)
        assert status == 200, told
        found += [one["id"] for one in told["operations"]]
        cursor, more = told["cursor"], told["more"]
    return found


def test_every_acknowledged_operation_and_chunk_survives_kill_9_under_load(tmp_path):
    chance = random.Random(2026)
    with ServerProcess(tmp_path / "data") as server:
        phones = [BusyPhone(server, number) for number in range(PHONES)]
        for _ in range(ROUNDS):
            under_load(server, phones, 0.02 + chance.random() * 0.3)
            server.start()
            for phone in phones:
                connection = http.client.HTTPConnection("127.0.0.1", server.plan["desk_port"], timeout=60)
                phone.resume(connection)
                connection.close()
        here = pulled(server, phones[0])
        server.stop()
    acknowledged = {one for phone in phones for one in phone.acknowledged}
    assert len(acknowledged) >= ROUNDS
    assert acknowledged <= set(here)
    assert len(here) == len(set(here))
    report = verify(tmp_path / "data")
    assert report.sound, [str(damage) for damage in report.damage]
    assert report.records == len(here)
    for phone in phones:
        for address, content in phone.whole.items():
            kept = tmp_path / "data/media" / address[:2] / address[2:4] / address
            assert kept.read_bytes() == content
