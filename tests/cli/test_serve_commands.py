"""`plytally serve` as a builder runs it, and a phone that knows nothing but what the code holds."""

import base64
import hashlib
import http.client
import json
import re
import signal
import ssl
import time
import urllib.parse
from pathlib import Path

import pytest
from bench.sound import VOICES, in_noise, speak
from support.devices import Device
from support.serving import Server, plytally, run
from support.wavs import wav

from plytally.clock import MachineClock
from plytally.core.entry import Entry

QUILLWING = Path(__file__).parents[2] / "demo_entries/quillwing.yaml"
SAID = "laid two plies of bid on the right elevator spar aft face"
HEARD_WITHIN_S = 120


@pytest.fixture
def folder(tmp_path):
    assert run("schedule", str(QUILLWING), folder=tmp_path / "log").exit_code == 0
    return tmp_path / "log"


@pytest.fixture
def serving(folder):
    started = []

    def start():
        started.append(Server(folder))
        return started[-1]

    yield start
    for server in started:
        if server.process.poll() is None:
            server.end(signal.SIGKILL)


class Phone:
    """A phone that was shown the code: it trusts the authority only if its fingerprint is the code's."""

    def __init__(self, invitation, certificate):
        url = urllib.parse.urlsplit(invitation)
        told = dict(urllib.parse.parse_qsl(url.fragment))
        fingerprint = hashlib.sha256(ssl.PEM_cert_to_DER_cert(certificate)).hexdigest()
        assert re.sub(r"[^0-9a-f]", "", told["ca"].lower()) == fingerprint
        self.host, self.port = url.hostname, url.port
        self.trust = ssl.create_default_context(cadata=certificate)
        self.device = Device("phone-1", now=MachineClock().now_millis())
        asked = {"code": told["code"], "device": "phone-1", "name": "the red phone"}
        status, paired = self.ask("POST", "/api/pair", json.dumps(asked).encode())
        assert status == 201, paired
        self.token = paired["token"]

    def ask(self, method, path, body=None, **headers):
        headers = {name.replace("_", "-"): value for name, value in headers.items()}
        headers.setdefault("Content-Type", "application/json")
        if hasattr(self, "token"):
            headers["Authorization"] = f"Bearer {self.token}"
        connection = http.client.HTTPSConnection(self.host, self.port, timeout=60, context=self.trust)
        connection.request(method, path, body, headers)
        answer = connection.getresponse()
        content = answer.read()
        self.headers = answer.headers
        connection.close()
        return answer.status, json.loads(content) if content else None

    def sync(self, *operations):
        asked = {
            "device": "phone-1",
            "operations": [operation.as_json() for operation in operations],
            "cursor": None,
            "now": self.device.now,
            "limit": 500,
        }
        return self.ask("POST", "/api/sync", json.dumps(asked).encode())

    def upload(self, sound):
        address = hashlib.sha256(sound).hexdigest()
        metadata = f"sha256 {base64.b64encode(address.encode()).decode()}"
        tus = {"Tus_Resumable": "1.0.0"}
        status, _ = self.ask(
            "POST", "/api/uploads", Upload_Length=str(len(sound)), Upload_Metadata=metadata, **tus
        )
        assert status == 201
        place = urllib.parse.urlsplit(self.headers["Location"]).path
        chunk = {"Upload_Offset": "0", "Content_Type": "application/offset+octet-stream"}
        status, _ = self.ask("PATCH", place, sound, **chunk, **tus)
        assert status == 204
        return address


def spoken():
    return wav(in_noise(speak(SAID, VOICES[0]), 30).samples)


def certificate_of(server):
    desk = re.search(r"http://127\.0\.0\.1:(\d+)", server.shown)
    connection = http.client.HTTPConnection("127.0.0.1", int(desk[1]), timeout=30)
    connection.request("GET", "/install/shop.crt")
    content = connection.getresponse().read()
    connection.close()
    return content.decode() if content.startswith(b"-----") else ssl.DER_cert_to_PEM_cert(content)


def test_a_phone_pairs_by_the_code_syncs_and_is_there_after_a_kill(serving, folder):
    server = serving()
    certificate = certificate_of(server)
    phone = Phone(server.invitation, certificate)
    fields = {"plies": 3, "material": "BID", "part": "elevator spar", "side": "right", "face": "aft"}
    note = phone.device.notes(Entry("laid", fields, SAID.replace("two", "three")).as_json())
    attach = phone.device.attaches(note.id, phone.upload(sound := spoken()))

    status, told = phone.sync(note, attach)

    assert (status, sorted(told["kept"])) == (200, sorted([note.id, attach.id]))
    assert _second_hearing_of(phone, note.id) == ("3", "2")
    server.end(signal.SIGKILL)

    again = serving()
    phone.port = urllib.parse.urlsplit(again.invitation).port
    status, told = phone.sync(note, attach)
    assert (status, sorted(told["kept"])) == (200, sorted([note.id, attach.id]))
    assert again.end(signal.SIGTERM) == 0
    verified = run("verify", folder=folder)
    assert verified.exit_code == 0, verified.output
    assert list((folder / "media").rglob(hashlib.sha256(sound).hexdigest()))
    assert "plies: 3, or 2?" in run("log", folder=folder).output


def _second_hearing_of(phone, entry_id):
    """What the shop computer's own amendment doubts, once it has heard the recording."""
    until = time.monotonic() + HEARD_WITHIN_S
    while time.monotonic() < until:
        _, told = phone.sync()
        for raw in told["operations"]:
            if raw["act"] == "amend" and raw["target"] == entry_id:
                (doubt,) = raw["body"]["doubts"]
                return doubt["heard"], doubt["runner_up"]
        time.sleep(0.5)
    raise AssertionError("the recording was not heard a second time")


def test_phones_are_listed_and_revoked_while_the_server_runs_and_while_it_does_not(serving, folder):
    server = serving()
    phone = Phone(server.invitation, certificate_of(server))

    assert "the red phone" in run("phones", folder=folder).output
    assert "is good for 5 minutes and 5 tries" in run("phones", "--add", folder=folder).output
    assert "revoked 20" in run("phones", "--revoke", "phone-1", folder=folder).output
    assert phone.sync()[0] == 401

    server.end(signal.SIGTERM)
    assert "revoked 20" in run("phones", folder=folder).output


def test_adding_a_phone_without_a_server_says_how_to_start_it(folder):
    result = run("phones", "--add", folder=folder)

    assert result.exit_code == 1
    assert "plytally serve --lan" in result.output


def test_a_second_server_on_the_same_folder_is_refused(serving, folder):
    serving()

    second = plytally("serve", "--port", "0", folder=folder)

    _, told = second.communicate(timeout=60)
    assert second.returncode == 50
    assert "plytally: " in told


def test_a_port_that_is_taken_is_told_with_what_to_do(serving, folder, tmp_path):
    server = serving()
    port = re.search(r"http://127\.0\.0\.1:(\d+)", server.shown)[1]

    second = plytally("serve", "--port", port, folder=tmp_path / "other")

    _, told = second.communicate(timeout=60)
    assert second.returncode == 70
    assert "--port" in told


def test_the_desks_passphrase_is_set_while_the_server_runs_too(serving, folder):
    serving()

    assert run("desk", "--passphrase", "flox micro peel ply", folder=folder).exit_code == 0
    assert "12 to" in run("desk", "--passphrase", "short", folder=folder).output


def test_the_desks_passphrase_is_set_or_refused_with_why(folder):
    short = run("desk", "--passphrase", "short", folder=folder)
    good = run("desk", "--passphrase", "flox micro peel ply", folder=folder)

    assert (short.exit_code, good.exit_code) == (72, 0)
    assert "12 to" in short.output


def test_phones_are_listed_also_while_the_server_is_ailing(serving, folder):
    server = serving()
    phone = Phone(server.invitation, certificate_of(server))
    assert phone.sync(phone.device.notes())[0] == 200
    (month,) = (folder / "journal").glob("*.jsonl")
    month.write_bytes(month.read_bytes().replace(b"builder", b"bilder!"))
    assert phone.ask("GET", "/health")[0] == 503

    told = run("phones", folder=folder)

    assert told.exit_code == 0
    assert "the red phone" in told.output
