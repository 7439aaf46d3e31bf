"""A server that is stopped, doubled, starved of disk or held up, as a process of its own."""

import json
import resource
import select
import signal
import socket
import ssl
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack

import pytest
from support.devices import Device
from support.server_process import ServerProcess

from plytally.store.verify import verify
from plytally.web.door import MOST_EACH


def sync_body(device, operations):
    raws = [one.as_json() for one in operations]
    return {"device": device, "operations": raws, "cursor": None, "now": 0}


def test_the_same_request_a_hundred_times_over_the_wire_changes_nothing(tmp_path):
    with ServerProcess(tmp_path / "data") as server:
        token, phone = server.pair("phone-1"), Device("phone-1")
        body = sync_body("phone-1", [phone.notes() for _ in range(3)])
        kept = {tuple(server.ask("POST", "/api/sync", body, token)[1]["kept"]) for _ in range(100)}
        server.stop()
    assert kept == {tuple(raw["id"] for raw in body["operations"])}
    assert verify(tmp_path / "data").records == 3


def test_the_same_request_twice_at_once_changes_nothing(tmp_path):
    with ServerProcess(tmp_path / "data") as server:
        token, phone = server.pair("phone-1"), Device("phone-1")
        with ThreadPoolExecutor(4) as pool:
            for _ in range(10):
                body = sync_body("phone-1", [phone.notes() for _ in range(3)])
                twins = [pool.submit(server.ask, "POST", "/api/sync", body, token) for _ in range(4)]
                told = [twin.result() for twin in twins]
                ids = [raw["id"] for raw in body["operations"]]
                assert [(status, answer["kept"]) for status, answer in told] == [(200, ids)] * 4
        server.stop()
    assert verify(tmp_path / "data").records == 30


def test_a_second_server_on_the_same_folder_is_refused_and_the_first_goes_on(tmp_path):
    with ServerProcess(tmp_path / "data") as first:
        second = ServerProcess(tmp_path / "data")
        with pytest.raises(RuntimeError, match=rf"in use by process {first.process.pid}"):
            second.start()
        assert first.ask("GET", "/health")[1]["status"] == "well"
        assert first.key


def test_a_second_server_on_the_same_port_is_told_the_option_to_choose_another(tmp_path):
    with ServerProcess(tmp_path / "one", lan=True) as first:
        for taken in (
            {"desk_port": first.plan["desk_port"]},
            {"lan": True, "lan_port": first.plan["lan_port"]},
        ):
            second = ServerProcess(tmp_path / "two", **taken)
            with pytest.raises(RuntimeError, match=r"cannot listen on .*choose another port with --"):
                second.start()


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_a_stop_ends_in_peace_and_tells_nobody_its_key_any_more(tmp_path, number):
    with ServerProcess(tmp_path / "data", lan=True) as server:
        server.pair("phone-1")
        server.process.send_signal(number)
        assert server._gone() == 0
        assert not (tmp_path / "data/serving.json").exists()
        assert '"event": "stopped"' in server.events.read_text()


def test_a_phone_pairs_by_what_the_qr_code_holds_and_nothing_else(tmp_path):
    """A second process acting as a phone: it trusts the certificate only by the code's fingerprint."""
    phone = """
import hashlib, json, ssl, sys, urllib.request
from urllib.parse import parse_qs, urlsplit

url = urlsplit(sys.argv[1])
carried = {name: values[0] for name, values in parse_qs(url.fragment).items()}
home = f"{url.scheme}://{url.netloc}"
blind = ssl._create_unverified_context()
pem = urllib.request.urlopen(f"{home}/install/shop.crt", context=blind).read().decode()
assert hashlib.sha256(ssl.PEM_cert_to_DER_cert(pem)).hexdigest() == carried["ca"]
trust = ssl.create_default_context(cadata=pem)

def ask(path, body, **headers):
    content = json.dumps(body).encode()
    request = urllib.request.Request(home + path, content, {"Content-Type": "application/json", **headers})
    return json.load(urllib.request.urlopen(request, context=trust))

paired = ask("/api/pair", {"code": carried["code"], "device": "phone-7", "name": "second process"})
body = {"device": "phone-7", "operations": json.loads(sys.argv[2]), "cursor": None, "now": 0}
print(json.dumps(ask("/api/sync", body, Authorization=f"Bearer {paired['token']}")))
"""
    note = Device("phone-7").notes()
    with ServerProcess(tmp_path / "data", lan=True) as server:
        asked = [sys.executable, "-c", phone, server.told["url"], json.dumps([note.as_json()])]
        ran = subprocess.run(asked, capture_output=True, text=True, timeout=60)
        assert ran.returncode == 0, ran.stderr
        assert json.loads(ran.stdout)["kept"] == [note.id]
        server.kill()
        server.start()
        assert server.ask("GET", "/api/phones", token=server.key)[1]["phones"][0]["device"] == "phone-7"
    assert verify(tmp_path / "data").records == 1


def test_a_disk_without_room_refuses_the_new_keeps_the_old_and_recovers(tmp_path):
    """The operating system itself stops the log's file from growing (RLIMIT_FSIZE), as a full disk does."""
    with ServerProcess(tmp_path / "data") as server:
        token, phone = server.pair("phone-1"), Device("phone-1")
        resource.prlimit(server.process.pid, resource.RLIMIT_FSIZE, (40_000, resource.RLIM_INFINITY))
        kept, refused = [], []
        for _ in range(40):
            batch = [phone.notes() for _ in range(5)]
            status, told = server.ask("POST", "/api/sync", sync_body("phone-1", batch), token)
            (kept if status == 200 else refused).append(batch)
            assert status in {200, 507}, told
        assert kept
        assert refused
        assert told["type"].endswith(":disk-full")
        status, told = server.ask("POST", "/api/sync", sync_body("phone-1", []), token)
        assert [one["id"] for one in told["operations"]] == [one.id for batch in kept for one in batch]
        resource.prlimit(
            server.process.pid, resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY)
        )
        late = [one for batch in refused for one in batch]
        status, told = server.ask("POST", "/api/sync", sync_body("phone-1", late), token)
        assert (status, len(told["kept"])) == (200, len(late))
        server.stop()
    report = verify(tmp_path / "data")
    assert (report.sound, report.records) == (True, 200)


def from_elsewhere(port, address="127.0.0.2"):
    return socket.create_connection(("127.0.0.1", port), timeout=30, source_address=(address, 0))


def test_phones_that_never_finish_their_handshake_do_not_keep_others_out(tmp_path):
    with ServerProcess(tmp_path / "data", lan=True) as server, ExitStack() as sockets:
        port = server.plan["lan_port"]
        for _ in range(60):
            sockets.enter_context(from_elsewhere(port))
        trust = ssl.create_default_context(cafile=tmp_path / "data/keys/authority.pem")
        other = sockets.enter_context(from_elsewhere(port, "127.0.0.3"))
        with trust.wrap_socket(other, server_hostname="localhost") as tls:
            tls.sendall(b"GET /health HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n")
            assert tls.recv(100).startswith(b"HTTP/1.1 200")


def test_one_address_gets_only_its_share_of_connections(tmp_path):
    with ServerProcess(tmp_path / "data", lan=True) as server, ExitStack() as sockets:
        greedy = [
            sockets.enter_context(from_elsewhere(server.plan["lan_port"])) for _ in range(MOST_EACH + 8)
        ]
        ended = set()
        while len(ended) < 8:
            ready, _, _ = select.select([one for one in greedy if one not in ended], [], [], 30)
            assert ready, "the door turned too few away"
            ended.update(ready)
        assert len(ended) == 8


def test_what_speaks_no_tls_at_the_door_gets_nothing(tmp_path):
    with ServerProcess(tmp_path / "data", lan=True) as server:
        with from_elsewhere(server.plan["lan_port"]) as plain:
            plain.sendall(b"GET /health HTTP/1.1\r\nHost: localhost\r\n\r\n")
            assert b"HTTP" not in plain.recv(1000)
        assert server.ask("GET", "/health")[1]["status"] == "well"
