"""The desk: its passphrase, its sessions, and requests forged by other sites."""

import pytest
from support.shops import PASSPHRASE

from plytally.web.desk import IDLE_MS, MOST_SESSIONS, WHOLE_MS, PassphraseError

HTTPS, HTTP = "https://localhost", "http://localhost"


def sign_in(shop, passphrase, base=HTTPS, **how):
    return shop.app.test_client().post(
        "/api/desk/session", json={"passphrase": passphrase}, base_url=base, **how
    )


def test_without_a_passphrase_nobody_signs_in(shop):
    answer = sign_in(shop, "anything at all")
    assert answer.status_code == 409
    assert "plytally desk" in answer.json["detail"]


def test_a_wrong_passphrase_is_refused(shop):
    shop.inside.desk.set_passphrase(PASSPHRASE)
    answer = sign_in(shop, PASSPHRASE + " ")
    assert (answer.status_code, answer.json["type"].rpartition(":")[2]) == (401, "wrong-passphrase")
    assert "Set-Cookie" not in answer.headers


def test_guessing_is_slowed_down(shop):
    shop.inside.desk.set_passphrase(PASSPHRASE)
    tried = [sign_in(shop, "wrong").status_code for _ in range(11)]
    assert tried == [401] * 10 + [429]
    assert sign_in(shop, PASSPHRASE).status_code == 429


def test_the_passphrase_is_kept_as_argon2_only(shop):
    shop.inside.desk.set_passphrase(PASSPHRASE)
    kept = (shop.folder / "documents.json").read_text()
    assert PASSPHRASE not in kept
    assert "$argon2id$" in kept


def test_over_tls_the_cookie_is_bound_to_host_tls_and_this_site(shop):
    shop.inside.desk.set_passphrase(PASSPHRASE)
    cookie = sign_in(shop, PASSPHRASE).headers["Set-Cookie"]
    name, *rest = cookie.split("; ")
    assert name.startswith("__Host-plytally-desk=")
    assert {"Secure", "HttpOnly", "SameSite=Strict", "Path=/"} <= set(rest)
    assert not any(part.startswith("Domain") for part in rest)


def test_on_loopback_without_tls_the_cookie_is_plain_but_as_strict(shop):
    shop.inside.desk.set_passphrase(PASSPHRASE)
    cookie = sign_in(shop, PASSPHRASE, HTTP).headers["Set-Cookie"]
    assert cookie.startswith("plytally-desk=")
    assert {"HttpOnly", "SameSite=Strict"} <= set(cookie.split("; "))


def test_a_cookie_of_the_plain_kind_opens_nothing_over_tls(shop):
    desk = shop.desk(base=HTTP)
    desk.base = HTTPS
    assert desk.ask("GET", "/api/phones").status_code == 401


def test_the_session_gives_its_token_to_our_own_page(shop):
    desk = shop.desk()
    assert desk.ask("GET", "/api/desk/session").json == {"csrf": desk.csrf}


def test_a_session_is_kept_over_a_restart(shop):
    desk = shop.desk()
    cookie = desk.client.get_cookie("__Host-plytally-desk")
    shop.reopen()
    desk.client = shop.app.test_client()
    desk.client.set_cookie("__Host-plytally-desk", cookie.value)
    assert desk.ask("GET", "/api/phones").status_code == 200


def test_signing_out_ends_the_session_on_the_server_too(shop):
    desk = shop.desk()
    cookie = desk.client.get_cookie("__Host-plytally-desk").value
    assert desk.ask("DELETE", "/api/desk/session").status_code == 204
    desk.client.set_cookie("__Host-plytally-desk", cookie)
    assert desk.ask("GET", "/api/phones").status_code == 401


def test_an_idle_session_ends(shop):
    desk = shop.desk()
    shop.clock.millis += IDLE_MS + 1
    assert desk.ask("GET", "/api/phones").status_code == 401


def test_a_session_in_use_lives_on_but_not_for_ever(shop):
    desk, begun = shop.desk(), shop.clock.millis
    while shop.clock.millis < begun + WHOLE_MS - IDLE_MS:
        shop.clock.millis += IDLE_MS - 1
        assert desk.ask("GET", "/api/phones").status_code == 200
    shop.clock.millis = begun + WHOLE_MS + 1
    assert desk.ask("GET", "/api/phones").status_code == 401


def test_the_longest_unused_sessions_make_room(shop):
    first = shop.desk()
    for _ in range(MOST_SESSIONS):
        shop.clock.millis += 1000
        shop.ticks.seconds += 60
        shop.desk()
    assert first.ask("GET", "/api/phones").status_code == 401


def test_changing_the_passphrase_ends_every_session(shop):
    desk, other = shop.desk(), shop.desk()
    changed = {"current": PASSPHRASE, "fresh": "another four words here"}
    assert desk.ask("PUT", "/api/desk/passphrase", json=changed).status_code == 204
    assert other.ask("GET", "/api/phones").status_code == 401
    assert sign_in(shop, "another four words here").status_code == 201
    assert sign_in(shop, PASSPHRASE).status_code == 401


def test_the_passphrase_is_not_changed_by_who_does_not_know_it(shop):
    desk = shop.desk()
    changed = {"current": "some other words", "fresh": "another four words here"}
    assert desk.ask("PUT", "/api/desk/passphrase", json=changed).status_code == 401
    assert sign_in(shop, PASSPHRASE).status_code == 201


def test_this_users_own_programs_set_a_passphrase_without_knowing_the_last(shop):
    key = {"Authorization": f"Bearer {shop.shop.local_key}"}
    fresh = {"fresh": "the first four words"}
    assert shop.nobody.put("/api/desk/passphrase", json=fresh, headers=key).status_code == 204
    assert sign_in(shop, "the first four words").status_code == 201


def test_a_browser_changes_nothing_without_the_present_passphrase(shop):
    answer = shop.desk().ask("PUT", "/api/desk/passphrase", json={"fresh": "another four words here"})
    assert answer.status_code == 401
    assert sign_in(shop, PASSPHRASE).status_code == 201


def test_a_short_passphrase_is_refused_with_why(shop):
    answer = shop.desk().ask("PUT", "/api/desk/passphrase", json={"current": PASSPHRASE, "fresh": "short"})
    assert answer.status_code == 422
    assert "12 to 256" in answer.json["errors"][0]["why"]
    with pytest.raises(PassphraseError, match="four or five words"):
        shop.inside.desk.set_passphrase("x" * 257)


def test_settings_have_defaults_and_are_kept(shop):
    desk = shop.desk()
    told = desk.ask("GET", "/api/desk/settings").json
    assert (told["photo_places"], told["person"]) == (False, "builder")
    changed = {"photo_places": True, "person": "helper"}
    assert desk.ask("PATCH", "/api/desk/settings", json=changed).json == told | changed
    shop.reopen()
    assert shop.inside.desk.settings == told | changed


@pytest.mark.parametrize("wrong", [{"photo_places": "yes"}, {"photo_places": 1}, {"colour": True}])
def test_a_setting_that_cannot_be_is_refused(shop, wrong):
    assert shop.desk().ask("PATCH", "/api/desk/settings", json=wrong).status_code == 422


def test_a_change_without_the_sessions_token_is_refused(shop):
    desk = shop.desk()
    refusal = desk.client.post("/api/pairings", base_url=HTTPS)
    assert (refusal.status_code, refusal.json["type"].rpartition(":")[2]) == (403, "cross-site")


def test_the_token_of_one_session_does_not_serve_another(shop):
    one, other = shop.desk(), shop.desk()
    one.csrf = other.csrf
    assert one.ask("POST", "/api/pairings").status_code == 403


@pytest.mark.parametrize(
    "header",
    [
        pytest.param({"Sec-Fetch-Site": "cross-site"}, id="cross-site"),
        pytest.param({"Sec-Fetch-Site": "same-site"}, id="another port of this host"),
        pytest.param({"Origin": "https://example.com"}, id="foreign origin"),
        pytest.param({"Origin": "http://localhost"}, id="same host without TLS"),
        pytest.param({"Origin": "https://localhost:9999"}, id="same host, other port"),
        pytest.param({"Origin": "null"}, id="opaque origin"),
    ],
)
def test_a_change_sent_by_a_page_of_another_site_is_refused(shop, header):
    refusal = shop.desk().ask("POST", "/api/pairings", headers=header)
    assert (refusal.status_code, refusal.json["type"].rpartition(":")[2]) == (403, "cross-site")


def test_a_change_sent_by_our_own_page_is_taken(shop):
    own = {"Sec-Fetch-Site": "same-origin", "Origin": "https://localhost"}
    assert shop.desk().ask("POST", "/api/pairings", headers=own).status_code == 201


def test_signing_in_from_another_site_is_refused_too(shop):
    shop.inside.desk.set_passphrase(PASSPHRASE)
    assert sign_in(shop, PASSPHRASE, headers={"Sec-Fetch-Site": "cross-site"}).status_code == 403
