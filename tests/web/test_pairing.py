"""Bringing a phone in, and putting it out."""

from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from urllib.parse import parse_qs, urlsplit

import pytest
from support.shops import TestShop

from plytally.web.names import Names
from plytally.web.pairing import invite, qr_svg, qr_text
from plytally.web.secret import CODE_LETTERS, fresh_code, plain_code
from plytally.web.tls import authority

NOW = datetime(2026, 11, 3, tzinfo=UTC)


def pair(shop, code, device="phone-1", name="the blue one"):
    return shop.nobody.post("/api/pair", json={"code": code, "device": device, "name": name})


def test_a_code_gives_a_phone_its_token_once(shop):
    code = shop.inside.codes.open()
    first, second = pair(shop, code), pair(shop, code, "phone-2")
    assert first.status_code == 201
    assert first.json["epoch"] == shop.log.journal.epoch
    assert (second.status_code, second.json["type"].rpartition(":")[2]) == (403, "no-code")


def test_a_code_may_be_typed_as_people_type(shop):
    shop.inside.codes.open()
    shop.inside.codes._open.code = "K0QM-2W1F"
    assert pair(shop, " koqm 2wlf ").status_code == 201


def test_a_code_ends_after_five_minutes(shop):
    code = shop.inside.codes.open()
    shop.ticks.seconds += 301
    answer = pair(shop, code)
    assert (answer.status_code, answer.json["type"].rpartition(":")[2]) == (403, "no-code")


def test_a_code_is_good_until_the_fifth_minute_is_over(shop):
    code = shop.inside.codes.open()
    shop.ticks.seconds += 299
    assert pair(shop, code).status_code == 201


def test_the_fifth_wrong_try_voids_the_code(shop):
    code = shop.inside.codes.open()
    left = [pair(shop, "0000-0000").json["tries_left"] for _ in range(5)]
    assert left == [4, 3, 2, 1, 0]
    assert pair(shop, code).json["type"].endswith(":no-code")


def test_four_wrong_tries_leave_the_right_one(shop):
    code = shop.inside.codes.open()
    for _ in range(4):
        pair(shop, "0000-0000")
    assert pair(shop, code).status_code == 201


def test_a_new_code_closes_the_last(shop):
    old = shop.inside.codes.open()
    shop.inside.codes.open()
    assert pair(shop, old).status_code == 403


def test_a_restart_closes_the_code_but_keeps_the_phones(shop):
    phone, code = shop.phone(), shop.inside.codes.open()
    shop.reopen()
    assert pair(shop, code, "phone-2").status_code == 403
    assert phone.sync().status_code == 200


def test_of_many_phones_with_one_code_at_once_one_is_paired(shop):
    code = shop.inside.codes.open()
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda n: pair(shop, code, f"phone-{n}").status_code, range(8)))
    assert sorted(answers) == [201] + [403] * 7
    assert len(list(shop.inside.phones)) == 1


def test_a_phone_that_lost_its_token_pairs_again_and_the_old_token_is_void(shop):
    before = shop.phone("phone-1")
    after = shop.phone("phone-1")
    assert before.sync().status_code == 401
    assert after.sync().status_code == 200


def test_a_revoked_phone_may_be_paired_again_by_the_desk(shop):
    shop.phone("phone-1")
    shop.inside.phones.revoke("phone-1")
    assert shop.phone("phone-1").sync().status_code == 200


def test_the_desk_sees_every_phone_but_no_token(shop):
    phone = shop.phone("phone-1", "the blue one")
    phone.maker.now = shop.clock.millis + 42_000
    phone.sync()
    (row,) = shop.desk().ask("GET", "/api/phones").json["phones"]
    assert (row["device"], row["name"], row["skew_ms"], row["revoked"]) == (
        "phone-1",
        "the blue one",
        42_000,
        None,
    )
    assert row["paired"] == "2026-11-03T08:20:00.000+01:00"
    assert "token_sha256" not in row


def test_the_desk_revokes_and_it_holds_over_a_restart(shop):
    phone, desk = shop.phone(), shop.desk()
    assert desk.ask("DELETE", f"/api/phones/{phone.device}").status_code == 204
    shop.reopen()
    assert phone.sync().status_code == 401


def test_revoking_a_phone_that_is_not_there_is_told(shop):
    answer = shop.desk().ask("DELETE", "/api/phones/phone-9")
    assert answer.status_code == 404
    assert "phone-9" in answer.json["detail"]


def test_tokens_are_kept_as_digests_only(shop):
    phone = shop.phone()
    kept = (shop.folder / "documents.json").read_text() + (shop.folder / "documents.copy.json").read_text()
    assert phone.token not in kept
    assert phone.token.partition(".")[2] not in kept


def test_a_phone_learns_which_of_its_numbers_are_here(shop):
    phone = shop.phone()
    first, _, third = (phone.maker.notes() for _ in range(3))
    phone.sync([first, third])
    told = phone.ask("GET", "/api/phone").json
    assert told["device"] == phone.device
    assert told["numbers"] == shop.log.state.devices[phone.device].as_json()


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        pytest.param({"device": "Phone 1"}, "device", id="device name"),
        pytest.param({"device": "phone-1\n"}, "device", id="newline behind the name"),
        pytest.param({"device": 7}, "device", id="device is a number"),
        pytest.param({"name": ""}, "name", id="empty name"),
        pytest.param({"name": "a\u0007b"}, "name", id="control character"),
        pytest.param({"name": "\ud800"}, "name", id="half a character"),
        pytest.param({"name": "x" * 61}, "name", id="long name"),
        pytest.param({"code": None}, "code", id="no code"),
        pytest.param({"colour": "blue"}, "colour", id="unknown field"),
    ],
)
def test_a_wrong_field_is_told_and_costs_no_try(shop, changes, field):
    code = shop.inside.codes.open()
    asked = {"code": code, "device": "phone-1", "name": "blue"} | changes
    answer = shop.nobody.post("/api/pair", json=asked)
    assert answer.status_code == 422
    assert [wrong["field"] for wrong in answer.json["errors"]] == [field]
    assert pair(shop, code).status_code == 201


def test_every_wrong_field_is_told_at_once(shop):
    answer = shop.nobody.post("/api/pair", json={"device": "!", "name": "", "extra": 1})
    assert {wrong["field"] for wrong in answer.json["errors"]} == {"device", "name", "extra", "code"}


def test_a_code_is_forty_bits_without_letters_that_look_alike():
    codes = {fresh_code() for _ in range(500)}
    assert len(codes) == 500
    assert all(len(code) == 9 and set(code.replace("-", "")) <= set(CODE_LETTERS) for code in codes)
    assert len(CODE_LETTERS) ** 8 == 2**40
    assert all(plain_code(code.lower()) == code.replace("-", "") for code in codes)


def test_the_invitation_holds_address_code_and_fingerprint_behind_the_hash(tmp_path):
    signer = authority(tmp_path / "keys", Names(("shop.local",), ()), NOW)
    shop = TestShop(tmp_path / "data", url="https://shop.local:8443", authority=signer)
    invitation = invite(shop.shop, shop.inside.codes)
    url = urlsplit(invitation["url"])
    assert (url.scheme, url.netloc, url.path, url.query) == ("https", "shop.local:8443", "/install", "")
    assert parse_qs(url.fragment) == {"code": [invitation["code"]], "ca": [signer.fingerprint]}
    assert (invitation["seconds"], invitation["tries"]) == (300, 5)
    shop.close()


def test_the_qr_code_is_an_image_without_script_or_style(shop):
    svg = qr_svg("https://shop.local:8443/install#code=K7QM-2W9F")
    assert svg.startswith("<svg")
    assert "script" not in svg
    assert "style" not in svg


def test_the_qr_code_for_a_terminal_is_square_with_a_quiet_zone():
    lines = qr_text("https://shop.local:8443/install#code=K7QM-2W9F").split("\n")
    assert {len(line) for line in lines} == {len(lines[0])}
    assert abs(len(lines) * 2 - len(lines[0])) <= 1
    assert set(lines[0]) == {"█"}


def test_the_install_page_shows_the_fingerprint_and_no_inline_script(tmp_path):
    signer = authority(tmp_path / "keys", Names(("shop.local",), ()), NOW)
    shop = TestShop(tmp_path / "data", authority=signer)
    page = shop.nobody.get("/install")
    assert page.status_code == 200
    groups = " ".join(signer.fingerprint[at : at + 8] for at in range(0, 64, 8))
    assert groups in page.text
    assert "<script>" not in page.text
    assert "unsafe" not in page.headers["Content-Security-Policy"]
    certificate = shop.nobody.get("/install/shop.crt")
    assert certificate.data == signer.pem
    assert certificate.content_type == "application/x-x509-ca-cert"
    shop.close()


def test_without_a_network_the_install_page_has_no_certificate_to_give(shop):
    assert "certificate" not in shop.nobody.get("/install").text
    assert shop.nobody.get("/install/shop.crt").status_code == 404
