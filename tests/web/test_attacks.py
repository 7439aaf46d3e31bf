"""Tried as somebody would who means harm: what each gets, and that the log and the others notice nothing."""

import json
import socket
import threading

import pytest
from support.devices import Device, note_body

from plytally.remind.sender import endpoint_problem
from plytally.store.aside import ASIDE_NAME, AsideFile
from plytally.web.inner import Inner

PLAIN = {"kind": "note", "fields": {"text": "plain"}, "said": "plain", "unused": []}


@pytest.mark.parametrize(
    "endpoint",
    [
        pytest.param("https://127.1/a", id="a short form of an address"),
        pytest.param("https://0x7f.1/a", id="a hexadecimal one"),
        pytest.param("https://0177.0.0.1/a", id="an octal one"),
        pytest.param("https://localhost./a", id="a dot at the end"),
        pytest.param("https://shop.local./a", id="a dot behind .local"),
        pytest.param("https://192.168.1.10./a", id="a dot behind an address"),
        pytest.param("https://[::ffff:127.0.0.1]/a", id="an old address in a new one"),
        pytest.param("https://①②⑦.0.0.1/a", id="other digits"),
        pytest.param("https://127。0。0。1/a", id="other dots"),
        pytest.param("https://push.example.net\\@127.0.0.1/a", id="a name in front"),
        pytest.param("https://169.254.169.254/latest", id="a machine's own notes"),
    ],
)
def test_no_spelling_of_an_own_address_makes_the_server_call_there(endpoint):
    assert endpoint_problem(endpoint)


def test_a_phone_cannot_be_paired_under_the_shop_computers_own_name(shop):
    code = shop.inside.codes.open()
    asked = {"code": code, "device": shop.log.device, "name": "the blue one"}

    refused = shop.nobody.post("/api/pair", json=asked)

    assert (refused.status_code, refused.json["errors"][0]["field"]) == (422, "device")
    assert shop.nobody.post("/api/pair", json=asked | {"device": "phone-1"}).status_code == 201


@pytest.mark.parametrize("header", ["X-Forwarded-For", "X-Real-IP", "Forwarded", "Client-IP"])
def test_who_guesses_is_not_somebody_else_by_a_header(shop, header):
    guesses = [
        shop.nobody.post(
            "/api/desk/session", json={"passphrase": "guess"}, headers={header: f"for=10.0.0.{number}"}
        ).status_code
        for number in range(12)
    ]

    assert guesses[-1] == 429


@pytest.mark.parametrize(
    "path",
    [
        "/assets/../app_shell.py",
        "/assets/%2e%2e/%2e%2e/app_shell.py",
        "/engine/..%2f..%2fapp_shell.py",
        "/icons/..%5c..%5capp_shell.py",
        "/icons/%00",
        "/static/../app_shell.py",
        "/assets//etc/passwd",
        "/licences.txt/../../app_shell.py",
    ],
)
def test_no_path_of_the_app_leads_out_of_it(shop, path):
    answer = shop.nobody.get(path, follow_redirects=True)

    assert answer.status_code == 404
    assert b"import" not in answer.data


@pytest.mark.parametrize("place", ['"said": "plain"', '"hearing": null', '"number": 1'])
@pytest.mark.parametrize(
    "nonsense",
    [
        pytest.param("9" * 5000, id="five thousand digits"),
        pytest.param("1e999", id="more than any number"),
        pytest.param("-0.0", id="less than nothing"),
        pytest.param('"\\ud800"', id="half a character"),
        pytest.param('{"x": "\\udfff\\u0000"}', id="half a character inside"),
        pytest.param("[" * 50_000 + "]" * 50_000, id="fifty thousand brackets"),
        pytest.param("NaN", id="no number"),
    ],
)
def test_nonsense_from_a_phone_is_refused_or_put_aside_and_the_log_goes_on(shop, place, nonsense):
    phone = shop.phone()
    good = phone.maker.does("note", None, note_body(PLAIN))
    text = json.dumps(phone.body([good]))
    assert place in text
    sent = text.replace(place, place.partition(":")[0] + ": " + nonsense)

    answer = phone.ask("POST", "/api/sync", data=sent, content_type="application/json")

    assert answer.status_code in (200, 400)
    assert answer.status_code == 400 or answer.json["refused"]
    shop.reopen()
    assert all(one.sender == "phone-1" for one in AsideFile(shop.folder / ASIDE_NAME))
    kept = phone.ask("POST", "/api/sync", json=phone.body([good]))
    assert kept.json["kept"] == [good.id]


def test_a_request_hidden_in_anothers_body_is_never_answered():
    """Two ways of telling a body's end in one request: a proxy and a server may read it differently."""
    asked = []

    def app(environ, start_response):
        asked.append(environ["PATH_INFO"])
        environ["wsgi.input"].read()
        start_response("200 OK", [("Content-Length", "0")])
        return []

    server = Inner(app, 0)
    hidden = b"GET /hidden HTTP/1.1\r\nHost: localhost\r\n\r\n"
    head = (
        b"POST /seen HTTP/1.1\r\nHost: localhost\r\nContent-Length: %d\r\nTransfer-Encoding: chunked\r\n\r\n"
    )
    thread = threading.Thread(target=server.run)
    thread.start()
    try:
        with socket.create_connection(("127.0.0.1", server.port), timeout=30) as connection:
            connection.sendall(head % (5 + len(hidden)) + b"0\r\n\r\n" + hidden)
            connection.shutdown(socket.SHUT_WR)
            while connection.recv(65536):
                pass
    finally:
        server.stop()
        thread.join()

    assert "/hidden" not in asked


def test_an_operation_in_the_shops_own_name_is_refused(shop):
    phone, posing = shop.phone(), Device(shop.log.device)
    raw = posing.does("note", None, note_body(PLAIN))

    answer = phone.ask("POST", "/api/sync", json=phone.body([raw]))

    assert [row["id"] for row in answer.json["refused"]] == [raw.id]
    assert raw.id not in shop.ids()
