"""The door to the network, in front of a plain app."""

import http.client
import socket
import ssl
import threading
from contextlib import ExitStack, contextmanager
from datetime import UTC, datetime

import pytest

from plytally.clock import MachineClock
from plytally.web import door as door_module
from plytally.web.door import Door
from plytally.web.inner import Inner, Peers
from plytally.web.names import Names
from plytally.web.tls import authority, ensure_leaf, server_context

NAMES = Names(("localhost",), ("127.0.0.1",))


def now():
    return datetime.fromtimestamp(MachineClock().now_millis() / 1000, UTC)


def echo(environ, start_response):
    body = environ["wsgi.input"].read()
    told = [("Content-Length", str(len(body))), ("X-From", environ["REMOTE_ADDR"])]
    start_response("200 OK", [*told, ("X-Scheme", environ["wsgi.url_scheme"])])
    return [body]


class House:
    """An app behind a door, on free ports of this machine."""

    def __init__(self, folder, app=echo, renewed=lambda: False):
        self.signer = authority(folder, NAMES, now())
        ensure_leaf(folder, self.signer, NAMES, now())
        self.peers, self.context = {}, server_context(folder)
        self.inner = Inner(Peers(app, self.peers), 0)
        self.door = Door(self.context, self.peers, renewed, host="127.0.0.1")
        self.thread = threading.Thread(target=self.inner.run)

    def __enter__(self):
        self.thread.start()
        self.door.open(self.inner.port)
        self.trust = ssl.create_default_context(cadata=self.signer.pem.decode())
        return self

    def __exit__(self, *problem):
        self.inner.stop()
        self.thread.join()
        self.door.close()

    def client(self):
        return http.client.HTTPSConnection("localhost", self.door.port, timeout=30, context=self.trust)

    @contextmanager
    def raw(self):
        with socket.create_connection(("127.0.0.1", self.door.port), timeout=30) as plain:
            yield plain


def test_a_request_passes_with_the_phones_address_and_scheme(tmp_path):
    with House(tmp_path) as house:
        client = house.client()
        client.request("POST", "/", b"laid two plies")
        answer = client.getresponse()
        assert (answer.status, answer.read()) == (200, b"laid two plies")
        assert (answer.headers["X-From"], answer.headers["X-Scheme"]) == ("127.0.0.1", "https")
        client.close()


def test_one_connection_serves_many_requests(tmp_path):
    with House(tmp_path) as house:
        client = house.client()
        for size in (0, 1, 200_000, 7):
            client.request("POST", "/", bytes(size))
            assert len(client.getresponse().read()) == size
        assert len(house.peers) == 1
        client.close()


def test_several_megabytes_pass_both_ways_at_once_from_several_phones(tmp_path):
    content = bytes(range(256)) * 16_000

    def ask(house, told):
        client = house.client()
        client.request("POST", "/", content)
        told.append(client.getresponse().read() == content)
        client.close()

    with House(tmp_path) as house:
        told = []
        phones = [threading.Thread(target=ask, args=(house, told)) for _ in range(6)]
        for phone in phones:
            phone.start()
        for phone in phones:
            phone.join()
    assert told == [True] * 6


def test_a_closed_connection_is_forgotten(tmp_path):
    with House(tmp_path) as house:
        for _ in range(door_module.MOST_EACH * 2):
            client = house.client()
            client.request("GET", "/")
            client.getresponse().read()
            client.close()
    assert house.peers == {}
    assert house.door._open.total() == 0


def test_a_phone_that_leaves_in_the_middle_does_no_harm(tmp_path):
    with House(tmp_path) as house:
        for _ in range(10):
            with house.raw() as plain, house.trust.wrap_socket(plain, server_hostname="localhost") as tls:
                tls.sendall(b"POST / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 100\r\n\r\nhalf")
        client = house.client()
        client.request("POST", "/", b"whole")
        assert client.getresponse().read() == b"whole"
        client.close()


def test_a_handshake_that_never_ends_is_ended(tmp_path, monkeypatch):
    monkeypatch.setattr(door_module, "HANDSHAKE_SECONDS", 0.5)
    with House(tmp_path) as house, house.raw() as silent:
        assert silent.recv(1) == b""


def test_when_all_places_are_taken_the_next_is_turned_away(tmp_path, monkeypatch):
    monkeypatch.setattr(door_module, "MOST", 2)
    with House(tmp_path) as house, ExitStack() as open_ones:
        for _ in range(2):
            open_ones.enter_context(house.raw())
        third = open_ones.enter_context(house.raw())
        assert third.recv(1) == b""


def test_old_versions_of_tls_are_refused(tmp_path):
    with House(tmp_path) as house, house.raw() as plain:
        old = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
        old.check_hostname, old.verify_mode = False, ssl.CERT_NONE
        old.set_ciphers("ALL:@SECLEVEL=0")
        with pytest.warns(DeprecationWarning, match="TLSv1_1"):
            old.maximum_version = ssl.TLSVersion.TLSv1_1
        with pytest.raises(ssl.SSLError):
            old.wrap_socket(plain, server_hostname="localhost")


def test_shut_lets_nobody_else_in_but_finishes_with_who_is_inside(tmp_path):
    with House(tmp_path) as house:
        inside = house.client()
        inside.request("POST", "/", b"before")
        assert inside.getresponse().read() == b"before"
        house.door.shut()
        inside.request("POST", "/", b"after")
        assert inside.getresponse().read() == b"after"
        inside.close()
    with pytest.raises(OSError, match="refused"):
        house.client().request("GET", "/")


def test_a_certificate_made_anew_is_used_without_a_restart(tmp_path, monkeypatch):
    monkeypatch.setattr(door_module, "RENEW_SECONDS", 0.05)
    asked, made = threading.Event(), []

    def renewed():
        if not made:
            more = Names(("localhost", "second.local"), NAMES.addresses)
            made.append(ensure_leaf(tmp_path, house.signer, more, now()))
            house.context.load_cert_chain(tmp_path / "leaf.pem", tmp_path / "leaf.key")
        else:
            asked.set()
        return True

    house = House(tmp_path, renewed=renewed)
    with house:
        assert asked.wait(30)
        with house.raw() as plain, house.trust.wrap_socket(plain, server_hostname="second.local") as tls:
            assert tls.version() in {"TLSv1.2", "TLSv1.3"}


def test_a_renewal_that_fails_is_told_and_the_old_certificate_serves_on(tmp_path, monkeypatch):
    monkeypatch.setattr(door_module, "RENEW_SECONDS", 0.05)
    asked = threading.Semaphore(0)

    def renewed():
        asked.release()
        raise OSError("the disk is full")

    with House(tmp_path, renewed=renewed) as house:
        assert asked.acquire(timeout=30)
        assert asked.acquire(timeout=30)
        client = house.client()
        client.request("POST", "/", b"still here")
        assert client.getresponse().read() == b"still here"
        client.close()


def test_a_door_that_was_never_opened_gives_its_port_back(tmp_path):
    authority_, leaf_folder = authority(tmp_path, NAMES, now()), tmp_path
    ensure_leaf(leaf_folder, authority_, NAMES, now())
    door = Door(server_context(leaf_folder), {}, host="127.0.0.1")
    door.close()
    with socket.create_server(("127.0.0.1", door.port)):
        pass


def test_a_port_in_use_is_told(tmp_path):
    with House(tmp_path) as house, pytest.raises(OSError, match="in use"):
        Door(house.context, {}, host="127.0.0.1", port=house.door.port)
