"""JSON in and out, within limits, compressed or not."""

import gzip
import json
import zlib

import pytest

from plytally.web.bodies import gunzip, parse_json
from plytally.web.problem import Problem


def sync_raw(phone, content, **headers):
    return phone.ask("POST", "/api/sync", data=content, content_type="application/json", headers=headers)


def plain(phone, **more):
    return json.dumps(phone.body([phone.maker.notes()], **more)).encode()


def test_a_compressed_request_is_the_same_request(shop):
    phone = shop.phone()
    content = plain(phone)
    assert sync_raw(phone, gzip.compress(content), **{"Content-Encoding": "gzip"}).status_code == 200
    assert len(shop.ids()) == 1


def test_a_large_answer_is_compressed_for_who_takes_it(shop):
    phone, other = shop.phone(), shop.phone("phone-2")
    phone.sync([phone.maker.notes() for _ in range(20)])
    packed = other.ask("POST", "/api/sync", json=other.body(), headers={"Accept-Encoding": "gzip"})
    assert packed.headers["Content-Encoding"] == "gzip"
    assert "Accept-Encoding" in packed.headers["Vary"]
    assert len(json.loads(gzip.decompress(packed.data))["operations"]) == 20


def test_a_small_answer_or_an_unwilling_client_gets_it_plain(shop):
    phone = shop.phone()
    small = phone.ask("POST", "/api/sync", json=phone.body(), headers={"Accept-Encoding": "gzip"})
    phone.sync([phone.maker.notes() for _ in range(20)])
    unwilling = phone.ask("POST", "/api/sync", json=phone.body(), headers={"Accept-Encoding": "gzip;q=0"})
    assert "Content-Encoding" not in small.headers
    assert "Content-Encoding" not in unwilling.headers


def test_a_few_bytes_that_open_to_gigabytes_are_stopped_at_the_limit(shop):
    phone = shop.phone()
    packer = zlib.compressobj(9, zlib.DEFLATED, 31)
    bomb = b"".join(packer.compress(b"[" * (1 << 20)) for _ in range(64)) + packer.flush()
    assert len(bomb) < 100_000
    answer = sync_raw(phone, bomb, **{"Content-Encoding": "gzip"})
    assert answer.status_code == 413
    assert "opens to more than 8388608 bytes" in answer.json["detail"]


def test_a_body_over_the_routes_limit_is_refused(shop):
    phone = shop.phone()
    assert sync_raw(phone, b" " * (4 * 1024 * 1024 + 1)).status_code == 413
    code = {"code": "x" * 20_000, "device": "phone-2", "name": "b"}
    assert shop.nobody.post("/api/pair", json=code).status_code == 413


@pytest.mark.parametrize(
    ("content", "headers", "status"),
    [
        pytest.param(b"", {}, 400, id="empty"),
        pytest.param(b"{", {}, 400, id="cut short"),
        pytest.param(b"\xff\xfe", {}, 400, id="not UTF-8"),
        pytest.param(b"[" * 100_000, {}, 400, id="nested without end"),
        pytest.param(b'{"a":NaN}', {}, 400, id="not a number"),
        pytest.param(b'{"now":1,"now":2}', {}, 400, id="a key twice"),
        pytest.param(b"9" * 5000, {}, 400, id="a number of 5000 digits"),
        pytest.param(b"[]", {}, 422, id="not an object"),
        pytest.param(b"null", {}, 422, id="null"),
        pytest.param(b"{}", {"Content-Encoding": "br"}, 415, id="an encoding that is not taken"),
        pytest.param(b"{}", {"Content-Encoding": "gzip"}, 400, id="not gzip"),
        pytest.param(gzip.compress(b"{}")[:-4], {"Content-Encoding": "gzip"}, 400, id="gzip cut short"),
        pytest.param(
            gzip.compress(b"{}") + b"x", {"Content-Encoding": "gzip"}, 400, id="something behind the gzip"
        ),
    ],
)
def test_a_body_that_cannot_be_read_is_told(shop, content, headers, status):
    answer = sync_raw(shop.phone(), content, **headers)
    assert (answer.status_code, answer.content_type) == (status, "application/problem+json")
    assert answer.json["detail"]


def test_another_content_type_is_told(shop):
    phone = shop.phone()
    answer = phone.ask("POST", "/api/sync", data=plain(phone), content_type="text/plain")
    assert answer.status_code == 415
    assert "application/json" in answer.json["detail"]


def test_gzip_of_exactly_the_limit_is_taken():
    assert gunzip(gzip.compress(b"a" * 100), 100) == b"a" * 100
    with pytest.raises(Problem, match="more than 99 bytes"):
        gunzip(gzip.compress(b"a" * 100), 99)


def test_json_is_read_as_rfc_8259_has_it():
    assert parse_json(b' {"a": [1, true, null, "\\u00e9", "\xc3\xa9"]} ') == {"a": [1, True, None, "é", "é"]}
