"""How a phone asks to be called: what is kept, what is refused, what others may see."""

import pytest
from support.push_service import PushService
from support.shops import TestShop

from plytally.remind.keys import push_key
from plytally.remind.subscriptions import EVERY_KIND, Subscriptions


@pytest.fixture
def given():
    with PushService() as service:
        return service.subscription() | {"endpoint": "https://push.example.net/send/one"}


def test_a_phone_gets_the_shops_key_and_has_chosen_nothing_yet(shop):
    told = shop.phone().ask("GET", "/api/calls").json
    assert told == {
        "key": push_key(shop.folder).public,
        "kinds": list(EVERY_KIND),
        "contact": False,
        "mine": None,
    }


def test_a_choice_is_kept_over_a_restart_and_secrets_are_not_told(shop, given):
    phone = shop.phone()
    choice = {"kinds": ["pot life", "cure"], "quiet": [1320, 390], "detail": True}
    assert phone.ask("PUT", "/api/calls", json=given | choice).status_code == 200
    shop.reopen()
    mine = phone.ask("GET", "/api/calls").json["mine"]
    assert mine == {"device": phone.device, "active": True, "alarm": "", "renew": False, **choice}
    assert Subscriptions(shop.log.documents).of(phone.device).endpoint == given["endpoint"]


def test_without_more_words_every_kind_calls_and_the_lock_screen_shows_nothing(shop, given):
    mine = shop.phone().ask("PUT", "/api/calls", json=given).json["mine"]
    assert (mine["kinds"], mine["quiet"], mine["detail"]) == (list(EVERY_KIND), None, False)


def test_one_phones_choice_is_no_matter_of_anothers(shop, given):
    one, other = shop.phone("one"), shop.phone("other")
    one.ask("PUT", "/api/calls", json=given)
    assert other.ask("GET", "/api/calls").json["mine"] is None


def test_a_phone_that_leaves_is_forgotten(shop, given):
    phone = shop.phone()
    phone.ask("PUT", "/api/calls", json=given)
    assert phone.ask("DELETE", "/api/calls").status_code == 204
    assert phone.ask("GET", "/api/calls").json["mine"] is None


def test_a_phone_that_is_revoked_is_called_no_more(shop, given):
    phone = shop.phone()
    phone.ask("PUT", "/api/calls", json=given)
    shop.inside.phones.revoke(phone.device)
    assert shop.desk().ask("GET", "/api/desk/clocks").json["phones"] == []


def test_a_subscription_made_with_another_key_is_to_be_renewed(shop, given):
    phone = shop.phone()
    phone.ask("PUT", "/api/calls", json=given)
    (shop.folder / "keys/push.pem").unlink()
    shop.reopen()
    assert phone.ask("GET", "/api/calls").json["mine"]["renew"] is True


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"endpoint": "http://push.example.net/a"}, "https"),
        ({"endpoint": "https://192.168.1.1/admin"}, "no push service"),
        ({"keys": {"p256dh": "A" * 87, "auth": "A" * 22}}, "no point"),
        ({"keys": {"p256dh": "short", "auth": "A" * 22}}, "keys.p256dh"),
        ({"kinds": ["tea"]}, "kinds"),
        ({"quiet": [1]}, "quiet"),
        ({"quiet": [0, 1440]}, "quiet"),
        ({"detail": "yes"}, "detail"),
        ({"more": 1}, "more"),
    ],
)
def test_what_cannot_be_is_refused_and_says_why(shop, given, wrong, says):
    answer = shop.phone().ask("PUT", "/api/calls", json=given | wrong)
    assert answer.status_code == 422
    assert says in answer.json["detail"]


def test_the_desk_sees_whom_is_called_and_what_runs(shop, given):
    phone = shop.phone()
    phone.ask("PUT", "/api/calls", json=given)
    cup = {"kind": "mixed", "fields": {"mass": {"amount": "80", "unit": "g"}}, "said": "", "unused": []}
    phone.sync([phone.maker.notes(cup)])
    shop.clock.millis = phone.maker.now
    told = shop.desk().ask("GET", "/api/desk/clocks").json
    assert [row["device"] for row in told["phones"]] == [phone.device]
    assert [(clock["kind"], clock["line"][:8]) for clock in told["running"]] == [("pot life", "pot life")]


def test_a_refused_key_makes_the_server_ail_and_says_for_which_phone(tmp_path, given):
    shop = TestShop(tmp_path / "data")
    phone = shop.phone()
    phone.ask("PUT", "/api/calls", json=given)
    Subscriptions(shop.log.documents).alarm(phone.device, "the push service refuses this shop's key")
    assert shop.nobody.get("/health").status_code == 503
    calls = phone.ask("GET", "/health").json["checks"]["calls"]
    assert calls == {"well": False, "alarms": {phone.device: "the push service refuses this shop's key"}}
    shop.close()
