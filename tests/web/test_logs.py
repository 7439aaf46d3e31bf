"""The server's own log: events with fields, and nothing private in them."""

import io
import json
import logging

import pytest
import structlog
from support.shops import PASSPHRASE

from plytally.web import logs


@pytest.fixture
def events():
    out = io.StringIO()
    logs.configure(out)
    yield lambda: [json.loads(line) for line in out.getvalue().splitlines()]
    structlog.reset_defaults()
    logging.basicConfig(handlers=[logging.NullHandler()], force=True)


def test_each_answer_is_one_event_with_its_rule_not_its_path(shop, events):
    phone = shop.phone()
    phone.ask("GET", f"/api/media/{'0' * 64}?secret=1")
    last = events()[-1]
    assert (last["event"], last["method"], last["status"]) == ("answered", "GET", 404)
    assert (last["rule"], last["who"], last["problem"]) == ("/api/media/<address>", "phone", "not-found")
    assert len(last["request"]) == 36
    assert last["at"].endswith("Z")


def test_the_id_in_the_answer_finds_the_event(shop, events):
    answer = shop.nobody.get("/health")
    assert answer.headers["X-Request-Id"] in {event["request"] for event in events()}


def test_neither_words_nor_names_nor_secrets_come_into_the_log(shop, events):
    phone, desk = shop.phone("phone-1", "the blue one"), shop.desk()
    note = phone.maker.notes()
    phone.sync([note, note.as_json() | {"skew_ms": 5}, {"said": "laid two plies"}])
    shop.nobody.post("/api/desk/session", json={"passphrase": "a wrong passphrase"})
    told = json.dumps(events())
    code = shop.inside.codes.open()
    private = [
        phone.token,
        phone.token.split(".")[1],
        "blue",
        "elevator",
        "plies",
        PASSPHRASE,
        "a wrong",
        desk.csrf,
        code,
    ]
    assert [word for word in private if word in told] == []
    assert "synced" in told


def test_a_warning_of_another_library_becomes_an_event_without_its_words(events):
    logging.getLogger("waitress.queue").warning("Task queue depth is %d for %s", 3, "the right elevator")
    (event,) = events()
    assert (event["event"], event["library"]) == ("library_warned", "waitress.queue")
    assert "elevator" not in json.dumps(event)
