"""Who may call what: every route of the app against every kind of caller."""

import pytest
from flask import Flask
from support.shops import TestShop

from plytally.web.access import check_rows

IN, OUT, NOT_YOURS = "let in", 401, 403
EVERYONE = (IN, IN, IN, IN)
PHONES = (OUT, OUT, IN, NOT_YOURS)
DESK = (OUT, OUT, NOT_YOURS, IN)
PAIRED = (OUT, OUT, IN, IN)
VISITORS = (OUT, OUT, OUT, OUT)  # the link alone lets in, see test_visits
ASKERS = ("nobody", "revoked phone", "phone", "desk")

MATRIX = {
    ("GET", "/"): EVERYONE,
    ("GET", "/desk"): EVERYONE,
    ("GET", "/sw.js"): EVERYONE,
    ("GET", "/manifest.webmanifest"): EVERYONE,
    ("GET", "/licences.txt"): EVERYONE,
    ("GET", "/<any(assets, engine, icons):folder>/<path:rest>"): EVERYONE,
    ("GET", "/api/print"): PHONES,
    ("GET", "/api/model"): PHONES,
    ("GET", "/model/<address>.tar.gz"): PHONES,
    ("GET", "/api/calls"): PHONES,
    ("PUT", "/api/calls"): PHONES,
    ("DELETE", "/api/calls"): PHONES,
    ("GET", "/api/voice"): PHONES,
    ("PATCH", "/api/voice"): PHONES,
    ("DELETE", "/api/voice"): PHONES,
    ("PUT", "/api/voice/readings"): PHONES,
    ("POST", "/api/voice/learn"): PHONES,
    ("GET", "/api/voice/means"): PHONES,
    ("GET", "/api/desk/voices"): DESK,
    ("PATCH", "/api/desk/voices/<device>"): DESK,
    ("DELETE", "/api/desk/voices/<device>"): DESK,
    ("POST", "/api/desk/voices/<device>/learn"): DESK,
    ("GET", "/api/desk/entries/<entry_id>/ways"): DESK,
    ("GET", "/api/desk/clocks"): DESK,
    ("POST", "/api/desk/clocks"): DESK,
    ("PUT", "/api/desk/contact"): DESK,
    ("GET", "/health"): EVERYONE,
    ("GET", "/install"): EVERYONE,
    ("GET", "/install/shop.crt"): EVERYONE,
    ("GET", "/static/<path:filename>"): EVERYONE,
    ("GET", "/api/openapi.yaml"): EVERYONE,
    ("OPTIONS", "/api/uploads"): EVERYONE,
    ("OPTIONS", "/api/uploads/<upload_id>"): EVERYONE,
    ("POST", "/api/pair"): EVERYONE,
    ("POST", "/api/desk/session"): EVERYONE,
    ("GET", "/api/desk/session"): DESK,
    ("DELETE", "/api/desk/session"): DESK,
    ("PUT", "/api/desk/passphrase"): DESK,
    ("GET", "/api/desk/settings"): DESK,
    ("PATCH", "/api/desk/settings"): DESK,
    ("GET", "/api/desk/find"): DESK,
    ("GET", "/api/desk/days"): DESK,
    ("GET", "/api/desk/days/<day>"): DESK,
    ("GET", "/api/desk/entries/<entry_id>"): DESK,
    ("POST", "/api/desk/acts"): DESK,
    ("POST", "/api/desk/meaning"): DESK,
    ("GET", "/api/desk/words"): DESK,
    ("POST", "/api/desk/words"): DESK,
    ("GET", "/api/desk/words/taught"): DESK,
    ("PATCH", "/api/desk/words/taught"): DESK,
    ("GET", "/api/desk/pictures"): DESK,
    ("GET", "/api/desk/pictures/part"): DESK,
    ("GET", "/api/desk/pictures/work"): DESK,
    ("GET", "/api/desk/pictures/stores"): DESK,
    ("POST", "/api/desk/records"): DESK,
    ("GET", "/api/desk/records/<record_id>"): DESK,
    ("GET", "/api/desk/records/<record_id>/pdf"): DESK,
    ("GET", "/api/desk/tables/<any(entries, changes, plies):name>"): DESK,
    ("POST", "/api/desk/exports"): DESK,
    ("GET", "/api/desk/exports/<export_id>"): DESK,
    ("GET", "/api/desk/exports/<export_id>/zip"): DESK,
    ("POST", "/api/desk/imports"): DESK,
    ("PATCH", "/api/desk/imports/<import_id>"): DESK,
    ("POST", "/api/desk/imports/<import_id>"): DESK,
    ("GET", "/api/desk/imports/<import_id>"): DESK,
    ("GET", "/api/desk/visits"): DESK,
    ("POST", "/api/desk/visits"): DESK,
    ("DELETE", "/api/desk/visits/<visit_id>"): DESK,
    ("GET", "/visit/<token>"): VISITORS,
    ("GET", "/visit/<token>/photo/<address>"): VISITORS,
    ("GET", "/visit/<token>/record.pdf"): VISITORS,
    ("GET", "/api/desk/print"): DESK,
    ("PUT", "/api/desk/print"): DESK,
    ("POST", "/api/desk/print/compare"): DESK,
    ("GET", "/api/desk/print/texts/<address>"): DESK,
    ("GET", "/api/desk/print/table"): DESK,
    ("GET", "/api/desk/print/checklist"): DESK,
    ("POST", "/api/pairings"): DESK,
    ("GET", "/api/phones"): DESK,
    ("DELETE", "/api/phones/<device>"): DESK,
    ("GET", "/api/phone"): PHONES,
    ("POST", "/api/sync"): PHONES,
    ("POST", "/api/uploads"): PAIRED,
    ("HEAD", "/api/uploads/<upload_id>"): PAIRED,
    ("PATCH", "/api/uploads/<upload_id>"): PAIRED,
    ("DELETE", "/api/uploads/<upload_id>"): PAIRED,
    ("POST", "/api/uploads/<upload_id>"): PAIRED,
    ("GET", "/api/media/<address>"): PAIRED,
    ("GET", "/api/media/<address>/small"): PAIRED,
    ("GET", "/api/media/<address>/about"): PAIRED,
}
CELLS = [
    pytest.param(method, rule, asker, expected, id=f"{method} {rule} by {asker}")
    for (method, rule), row in MATRIX.items()
    for asker, expected in zip(ASKERS, row, strict=True)
]
FILLED = {
    "<any(assets, engine, icons):folder>/<path:rest>": "assets/none.js",
    "<path:filename>": "shop.css",
    "<any(assets, engine, icons):folder>": "icons",
    "<path:rest>": "sheet.svg",
    "<day>": "2026-03-21",
    "<entry_id>": "019d10a0-b1e0-7bdf-a4ea-43364136a416",
    "<device>": "no-such-phone",
    "<record_id>": "no-such-record",
    "<visit_id>": "no-such-visit",
    "<export_id>": "no-such-export",
    "<import_id>": "no-such-import",
    "<any(entries, changes, plies):name>": "entries",
    "<token>": "no-such-link",
    "<upload_id>": "0" * 32,
    "<address>": "0" * 64,
}


@pytest.fixture(scope="module")
def house(tmp_path_factory):
    """One shop with a caller of each kind; they only knock, so that cells do not disturb each other."""
    shop = TestShop(tmp_path_factory.mktemp("access") / "data")
    revoked, phone = shop.phone("phone-old"), shop.phone("phone-1")
    shop.inside.phones.revoke("phone-old")
    yield {"nobody": shop.nobody, "revoked phone": revoked, "phone": phone, "desk": shop.desk(), "shop": shop}
    shop.close()


def knock(house, asker, method, path):
    house["shop"].ticks.seconds += 60  # the rate is not what is asked here
    if asker == "desk" and (method, path) == ("DELETE", "/api/desk/session"):
        return house["shop"].desk().ask(method, path)
    if asker == "nobody":
        return house["nobody"].open(path, method=method, buffered=True)
    return house[asker].ask(method, path, buffered=True)


def rules_of(app):
    """Every method and rule, but the HEAD and OPTIONS that Flask answers along with a GET."""
    for rule in app.url_map.iter_rules():
        beside = {"HEAD", "OPTIONS"} if "GET" in rule.methods else set()
        yield from ((method, rule.rule) for method in rule.methods - beside)


def test_every_route_of_the_app_stands_in_the_matrix(shop):
    assert set(rules_of(shop.app)) == set(MATRIX)


@pytest.mark.parametrize(("method", "rule", "asker", "expected"), CELLS)
def test_access(house, method, rule, asker, expected):
    path = rule
    for part, value in FILLED.items():
        path = path.replace(part, value)
    status = knock(house, asker, method, path).status_code
    assert (status if status in {401, 403} else IN) == expected
    assert status < 500


def test_a_new_route_without_a_row_stops_the_app(shop):
    app = Flask("plytally.web")
    app.add_url_rule("/new", "new", lambda: "")
    with pytest.raises(LookupError, match=r"routes without a row: \['new'\]"):
        check_rows(app)


def test_a_revoked_phone_hears_that_it_was_revoked_and_that_nothing_is_lost(shop):
    phone = shop.phone()
    shop.inside.phones.revoke(phone.device)
    answer = phone.sync()
    assert answer.status_code == 401
    assert answer.json["type"].endswith(":revoked")
    assert "nothing on it is lost" in answer.json["detail"]
    assert answer.headers["WWW-Authenticate"].startswith("Bearer")


@pytest.mark.parametrize(
    "token",
    [
        pytest.param("", id="empty"),
        pytest.param("phone-1", id="no secret"),
        pytest.param("phone-1.", id="empty secret"),
        pytest.param("phone-1.AAAA", id="wrong secret"),
        pytest.param("other.AAAA", id="unknown phone"),
        pytest.param("phone-1.\u00e9\u00e9", id="not ASCII"),
        pytest.param("x" * 5000, id="very long"),
    ],
)
def test_a_token_that_is_not_ours_opens_nothing(shop, token):
    shop.phone("phone-1")
    header = f"Bearer {token}".encode().decode("latin-1")
    answer = shop.nobody.get("/api/phone", headers={"Authorization": header})
    assert answer.status_code == 401


def test_the_local_key_opens_the_desk_for_this_users_own_programs(shop):
    header = {"Authorization": f"Bearer {shop.shop.local_key}"}
    assert shop.nobody.get("/api/phones", headers=header).status_code == 200
    assert shop.nobody.post("/api/pairings", headers=header).status_code == 201


def test_too_many_requests_are_told_to_wait_and_then_let_in_again(shop):
    phone = shop.phone()
    answers = [phone.sync().status_code for _ in range(130)]
    assert answers.index(429) == 120
    refusal = phone.sync()
    assert refusal.json["type"].endswith(":too-often")
    shop.ticks.seconds += int(refusal.headers["Retry-After"])
    assert phone.sync().status_code == 200


def test_one_phone_that_asks_too_often_does_not_slow_another(shop):
    loud, quiet = shop.phone("loud"), shop.phone("quiet")
    for _ in range(125):
        loud.sync()
    assert quiet.sync().status_code == 200
