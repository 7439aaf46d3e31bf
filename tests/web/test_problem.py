"""Refusals as problem details: RFC 9457."""

import io
import json

import pytest
import structlog
from flask import Flask

from plytally.store import errors
from plytally.web import logs
from plytally.web.problem import KINDS, STORE, Problem, register


def family(cls=errors.StoreError):
    yield cls
    for child in cls.__subclasses__():
        yield from family(child)


def answered(problem):
    """The answer of an app in which a route raises `problem`."""
    app = Flask("plytally.web")
    register(app)

    def fail():
        raise problem

    app.add_url_rule("/fail", "fail", fail)
    return app.test_client().get("/fail")


def test_every_error_of_the_store_has_its_counterpart():
    assert set(family()) == set(STORE)
    assert set(STORE.values()) <= set(KINDS)


def test_a_problem_carries_its_members():
    answer = answered(Problem("wrong-code", "try again", tries_left=2, headers={"X-Why": "test"}))
    assert answer.status_code == 403
    assert answer.content_type == "application/problem+json"
    assert answer.headers["X-Why"] == "test"
    assert answer.json | {"instance": ""} == {
        "type": "urn:plytally:problem:wrong-code",
        "title": "The pairing code is wrong",
        "status": 403,
        "detail": "try again",
        "instance": "",
        "tries_left": 2,
    }


@pytest.mark.parametrize(
    ("problem", "status", "kind", "words"),
    [
        pytest.param(errors.StoreFull("/secret: full"), 507, "disk-full", "make room", id="full"),
        pytest.param(errors.StoreUnwritable("/secret"), 503, "unavailable", "cannot write", id="read-only"),
        pytest.param(errors.StoreBroken("/secret"), 503, "unavailable", "keep it on the phone", id="broken"),
        pytest.param(
            errors.MediaMissing("abc is not here"), 404, "not-found", "abc is not here", id="no media"
        ),
        pytest.param(errors.MediaDamaged("/secret"), 500, "damaged", "verify", id="damaged media"),
        pytest.param(errors.MediaRefused("no address"), 400, "malformed", "no address", id="bad address"),
    ],
)
def test_what_the_store_refuses_is_told_without_its_paths(problem, status, kind, words):
    answer = answered(problem)
    assert (answer.status_code, answer.json["type"]) == (status, f"urn:plytally:problem:{kind}")
    assert words in answer.json["detail"]
    assert "/secret" not in answer.text


def test_a_fault_of_ours_says_nothing_of_what_was_said_but_where_it_was():
    out = io.StringIO()
    logs.configure(out)
    try:
        answer = answered(KeyError("the right elevator spar"))
    finally:
        structlog.reset_defaults()
    assert answer.status_code == 500
    event = json.loads(out.getvalue())
    assert event["event"] == "request_failed"
    assert event["error"] == "KeyError"
    assert event["where"].startswith("fail:")
    assert "elevator" not in answer.text + out.getvalue()


def test_an_unknown_path_and_a_wrong_method_are_problems_too(shop):
    missing, wrong = shop.nobody.get("/nothing"), shop.nobody.put("/health")
    assert (missing.status_code, missing.content_type) == (404, "application/problem+json")
    assert (wrong.status_code, wrong.json["title"], wrong.json["status"]) == (405, "Method Not Allowed", 405)
    assert set(wrong.headers["Allow"].split(", ")) == {"GET", "HEAD"}


def test_the_instance_of_a_problem_is_the_id_of_the_request(shop):
    answer = shop.nobody.get("/api/phones")
    assert answer.json["instance"] == f"urn:uuid:{answer.headers['X-Request-Id']}"
