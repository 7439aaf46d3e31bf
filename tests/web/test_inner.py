"""The HTTP server on loopback: its patience, its limits, and how it stops."""

import socket
import threading
from contextlib import contextmanager

import pytest

from plytally.web import inner as inner_module
from plytally.web.inner import Inner, Peers


def echo(environ, start_response):
    body = environ["wsgi.input"].read()
    start_response("200 OK", [("Content-Length", str(len(body)))])
    return [body]


@contextmanager
def serving(app):
    server = Inner(app, 0)
    thread = threading.Thread(target=server.run)
    thread.start()
    try:
        yield server
    finally:
        server.stop()
        thread.join()


def connect(server):
    return socket.create_connection(("127.0.0.1", server.port), timeout=30)


def rest(connection):
    found = b""
    while piece := connection.recv(65536):
        found += piece
    return found


def post(body, length=None, close=b"close"):
    size = len(body) if length is None else length
    head = b"POST / HTTP/1.1\r\nHost: localhost\r\nConnection: " + close + b"\r\nContent-Length: "
    return head + str(size).encode() + b"\r\n\r\n" + body


def test_it_listens_on_this_machine_alone():
    with serving(echo) as server:
        listener = server._server.socket.getsockname()
        assert listener[0] == "127.0.0.1"


def test_a_header_that_drips_is_cut_off_and_others_are_served_meanwhile(monkeypatch):
    monkeypatch.setattr(inner_module, "HEADER_SECONDS", 1)
    with serving(echo) as server:
        slow = [connect(server) for _ in range(50)]
        for one in slow:
            one.sendall(b"POST / HTTP/1.1\r\nHost: loc")
        with connect(server) as quick:
            quick.sendall(post(b"quick"))
            assert rest(quick).endswith(b"quick")
        for one in slow:
            assert b"200" not in rest(one)
            one.close()


def test_a_body_that_drips_holds_no_thread_and_is_cut_off(monkeypatch):
    monkeypatch.setattr(inner_module, "REQUEST_SECONDS", 2)
    with serving(echo) as server:
        slow = [connect(server) for _ in range(inner_module.THREADS * 3)]
        for one in slow:
            one.sendall(post(b"x", length=1000))
        with connect(server) as quick:
            quick.sendall(post(b"quick"))
            assert rest(quick).endswith(b"quick")
        for one in slow:
            assert rest(one) == b""
            one.close()


def test_a_connection_that_says_nothing_is_closed(monkeypatch):
    monkeypatch.setattr(inner_module, "IDLE_SECONDS", 1)
    with serving(echo) as server, connect(server) as silent:
        assert rest(silent) == b""


@pytest.mark.parametrize(
    ("request_", "status"),
    [
        pytest.param(post(b"", length=2**30), b"413", id="a length beyond the limit"),
        pytest.param(b"GET / HTTP/1.1\r\nX: ".ljust(16 * 1024, b"a"), b"431", id="a header without end"),
        pytest.param(b"NONSENSE\r\n\r\n", b"400", id="no HTTP"),
        pytest.param(
            b"POST / HTTP/1.1\r\nHost: a\r\nTransfer-Encoding: gzip, chunked\r\n\r\n",
            b"501",
            id="a coding not taken",
        ),
        pytest.param(
            b"POST / HTTP/1.1\r\nHost: a\r\nContent-Length: -5\r\n\r\n", b"400", id="a negative length"
        ),
    ],
)
def test_what_no_client_needs_is_refused_at_once(request_, status):
    with serving(echo) as server, connect(server) as client:
        client.sendall(request_)
        assert rest(client).split(b" ")[1] == status


def test_a_body_in_chunks_without_end_is_stopped_at_the_limit():
    with serving(echo) as server, connect(server) as client:
        client.sendall(b"POST / HTTP/1.1\r\nHost: a\r\nTransfer-Encoding: chunked\r\n\r\n")
        piece = b"100000\r\n" + b"a" * 0x100000 + b"\r\n"
        answer = b""
        try:
            for _ in range(64):
                client.sendall(piece)
        except OSError:
            pass
        try:
            answer = client.recv(100)
        except OSError:
            return
        assert answer == b"" or answer.split(b" ")[1] == b"413"


def test_answers_without_a_body_keep_the_connection():
    def nothing(environ, start_response):
        start_response("204 No Content", [])
        return []

    with serving(nothing) as server, connect(server) as client:
        for _ in range(3):
            client.sendall(post(b"chunk", close=b"keep-alive"))
            answer = client.recv(1000)
            assert answer.startswith(b"HTTP/1.1 204")
            assert b"close" not in answer.lower()
        client.sendall(post(b"chunk"))
        assert b"Connection: close" in rest(client)


def test_a_stop_takes_no_more_but_finishes_what_was_begun():
    begun, go_on = threading.Event(), threading.Event()

    def slow(environ, start_response):
        begun.set()
        go_on.wait(30)
        start_response("200 OK", [("Content-Length", "1000000")])
        return [b"a" * 1_000_000]

    server = Inner(slow, 0)
    stopping = threading.Event()
    thread = threading.Thread(target=server.run, args=(stopping.set,))
    thread.start()
    with connect(server) as client:
        client.sendall(post(b""))
        begun.wait(30)
        server.stop()
        stopping.wait(30)
        go_on.set()
        assert rest(client).endswith(b"a" * 1000)
    thread.join()
    with pytest.raises(OSError, match="refused"):
        connect(server)


def test_a_port_in_use_is_told():
    with serving(echo) as server, pytest.raises(OSError, match="in use"):
        Inner(echo, server.port)


def test_behind_the_door_a_request_has_the_phones_address_and_scheme():
    seen = []

    def app(environ, start_response):
        seen.append((environ["REMOTE_ADDR"], environ["wsgi.url_scheme"]))
        return []

    wrapped = Peers(app, {4711: "192.168.1.20"})
    wrapped({"REMOTE_PORT": "4711", "REMOTE_ADDR": "127.0.0.1", "wsgi.url_scheme": "http"}, None)
    wrapped({"REMOTE_PORT": "4712", "REMOTE_ADDR": "127.0.0.1", "wsgi.url_scheme": "http"}, None)
    assert seen == [("192.168.1.20", "https"), ("127.0.0.1", "http")]
