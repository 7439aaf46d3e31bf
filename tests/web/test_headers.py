"""What every answer carries, and which requests are turned away by their headers alone."""

import pytest
from support.shops import TestShop

from plytally.web.names import Names

ANSWERS = [
    ("GET", "/health"),
    ("GET", "/nothing-here"),
    ("GET", "/api/phones"),
    ("PUT", "/health"),
    ("GET", "/install"),
]


@pytest.mark.parametrize(("method", "path"), ANSWERS)
def test_every_answer_tells_the_browser_to_be_strict(shop, method, path):
    headers = shop.nobody.open(path, method=method).headers
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"
    assert headers["Cache-Control"] == "no-store"
    assert "default-src 'none'" in headers["Content-Security-Policy"]
    assert "frame-ancestors 'none'" in headers["Content-Security-Policy"]
    assert "unsafe" not in headers["Content-Security-Policy"]
    assert len(headers["X-Request-Id"]) == 36


def test_each_request_has_an_id_of_its_own(shop):
    first, second = (shop.nobody.get("/health").headers["X-Request-Id"] for _ in range(2))
    assert first != second


@pytest.mark.parametrize(
    "host", ["shop.local", "shop.local:8443", "192.168.1.7:8443", "[fd00::7]:8443", "SHOP.local"]
)
def test_the_server_answers_to_its_own_names(tmp_path, host):
    shop = TestShop(tmp_path / "data", names=Names(("shop.local",), ("192.168.1.7", "fd00::7")))
    assert shop.nobody.get("/health", headers={"Host": host}).status_code == 200
    shop.close()


@pytest.mark.parametrize(
    "host", ["example.com", "localhost.example.com", "127.0.0.1.nip.io", "", "[", "a@localhost@b"]
)
def test_a_foreign_name_pointed_at_this_machine_gets_nothing(shop, host):
    answer = shop.nobody.get("/install", headers={"Host": host})
    assert answer.status_code == 421
    assert answer.json["type"].endswith(":misdirected")
