"""Voices over the network: read, told, learnt, switched, fetched."""

import hashlib

import numpy as np
import pytest
from support.shops import TestShop

from plytally.speech.sphinx_model import embedded_model, means_file
from plytally.speech.voice_fit import Fitted
from plytally.speech.voice_learning import Heard, Learnt
from plytally.workshop.voices import Voices


@pytest.fixture
def hearing_shop(tmp_path):
    asked = []
    shop = TestShop(tmp_path / "data", learn_voices=lambda: asked.append("learn"))
    shop.asked = asked
    yield shop
    shop.close()


def read_one(shop, phone):
    text = phone.ask("GET", "/api/voice").json["sentences"][0]["text"]
    media = shop.log.media.keep(b"a sound")
    return phone.ask("PUT", "/api/voice/readings", json={"text": text, "media": media})


def learn(shop, device="phone-1"):
    means = embedded_model().means
    heard = tuple(Heard(text, text, text) for text in "abcdefgh")
    Voices(shop.inside.bench).keep(device, Learnt(Fitted(means, 8, 60.0, 9.0, np.zeros(1)), heard))
    return means_file(means, from_notes=True)


def test_a_reading_is_kept_over_a_restart(shop):
    phone = shop.phone()
    answer = read_one(shop, phone)
    assert answer.status_code == 200
    assert answer.json["sentences"][0]["read"]
    shop.reopen()
    assert phone.ask("GET", "/api/voice").json["sentences"][0]["read"]


def test_a_reading_without_its_recording_is_refused(shop):
    phone = shop.phone()
    text = phone.ask("GET", "/api/voice").json["sentences"][0]["text"]
    answer = phone.ask("PUT", "/api/voice/readings", json={"text": text, "media": "0" * 64})
    assert (answer.status_code, answer.json["errors"][0]["field"]) == (422, "media")


def test_a_phone_asks_for_learning_and_the_thread_is_told(hearing_shop):
    phone = hearing_shop.phone()
    answer = phone.ask("POST", "/api/voice/learn", json={})
    assert (answer.status_code, answer.json["state"]) == (202, "learning")
    assert hearing_shop.asked == ["learn"]


def test_a_server_that_hears_nothing_says_that_it_learns_nothing(shop):
    answer = shop.phone().ask("POST", "/api/voice/learn", json={})
    assert answer.status_code == 409
    assert "--no-hear" in answer.json["detail"]


def test_a_phone_fetches_what_its_own_engine_hears_by_once(shop):
    phone = shop.phone()
    assert phone.ask("GET", "/api/voice/means").status_code == 404
    content = learn(shop)
    answer = phone.ask("GET", "/api/voice/means")
    assert hashlib.sha256(answer.data).digest() == hashlib.sha256(content).digest()
    again = phone.ask("GET", "/api/voice/means", headers={"If-None-Match": answer.headers["ETag"]})
    assert again.status_code == 304


def test_one_phones_voice_is_no_matter_of_anothers(shop):
    one, other = shop.phone("phone-1"), shop.phone("phone-2", "the red one")
    read_one(shop, one)
    learn(shop)
    assert other.ask("GET", "/api/voice").json["state"] == "none"
    assert other.ask("GET", "/api/voice/means").status_code == 404


def test_a_phone_switches_its_voice_off_and_forgets_it(shop):
    phone = shop.phone()
    learn(shop)
    assert phone.ask("PATCH", "/api/voice", json={"on": False}).json["state"] == "off"
    assert phone.ask("DELETE", "/api/voice").json["state"] == "none"


def test_the_desk_sees_all_voices_and_may_do_the_same(hearing_shop):
    read_one(hearing_shop, hearing_shop.phone("phone-1", "the blue one"))
    desk, of = hearing_shop.desk(), "/api/desk/voices/phone-1"
    (row,) = desk.ask("GET", "/api/desk/voices").json["voices"]
    assert (row["name"], row["state"]) == ("the blue one", "none")
    assert desk.ask("POST", f"{of}/learn", json={}).status_code == 202
    assert desk.ask("PATCH", of, json={"on": False}).json["on"] is False
    assert desk.ask("DELETE", of).status_code == 204
    assert desk.ask("DELETE", of).status_code == 404
