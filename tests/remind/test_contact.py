"""The address that push services are told: given, asked for once, kept, or the placeholder, and said so."""

import sys

import click
import pytest
from click.testing import CliRunner
from support.push_service import PushService
from support.shops import TestShop

from plytally.core.clock_kinds import OWN
from plytally.remind.contact import PLACEHOLDER, contact, contact_of, keep_contact, kept_contact
from plytally.remind.keys import push_key
from plytally.remind.sender import WebPushSender
from plytally.remind.subscriptions import Subscription
from plytally.serve_commands import ask_contact


@pytest.fixture
def documents(tmp_path):
    shop = TestShop(tmp_path / "data")
    yield shop.log.documents
    shop.close()


@pytest.mark.parametrize(
    ("given", "kept"),
    [
        ("mailto:builder@shop.example", "mailto:builder@shop.example"),
        ("  builder@shop.example ", "mailto:builder@shop.example"),
        ("https://shop.example/about", "https://shop.example/about"),
    ],
)
def test_an_address_is_kept_as_rfc_8292_wants_it(given, kept):
    assert contact_of(given) == kept


@pytest.mark.parametrize(
    "given", ["builder", "mailto:builder", "http://shop.example", "mailto:a@b", "mailto:a@b.c d", "https://x"]
)
def test_what_nobody_can_be_reached_at_is_refused(given):
    with pytest.raises(ValueError, match="write it like"):
        contact_of(given)


def test_without_one_the_placeholder_goes_out_and_a_given_one_from_the_next_call_on(tmp_path, documents):
    with PushService() as service:
        given = service.subscription()
        to = Subscription("phone", given["endpoint"], **given["keys"], key="", since=0)
        sender = WebPushSender(push_key(tmp_path), lambda: contact(documents))
        sender.send(to, b"{}", OWN, "one")
        keep_contact(documents, "builder@shop.example")
        sender.send(to, b"{}", OWN, "two")
        assert [pushed.claims["sub"] for pushed in service.got] == [
            PLACEHOLDER,
            "mailto:builder@shop.example",
        ]


def asked(documents, given, words, monkeypatch, terminal=True):
    monkeypatch.setattr(sys, "stdin", sys.stdin)

    @click.command()
    def start():
        sys.stdin.isatty = lambda: terminal
        ask_contact(documents, given)

    return CliRunner().invoke(start, input=words)


def test_at_the_first_start_it_is_asked_for_and_then_not_again(documents, monkeypatch):
    first = asked(documents, None, "nonsense\nbuilder@shop.example\n", monkeypatch)
    assert "write it like" in first.output
    assert kept_contact(documents) == "mailto:builder@shop.example"
    assert asked(documents, None, "", monkeypatch).output == ""


def test_who_gives_none_is_told_each_time_what_that_means_and_not_asked_again(documents, monkeypatch):
    first = asked(documents, None, "\n", monkeypatch)
    again = asked(documents, None, "", monkeypatch)
    assert kept_contact(documents) == ""
    assert "reach you" in first.output
    assert "reach you" not in again.output
    assert PLACEHOLDER in again.output


def test_where_nobody_can_answer_it_is_only_said(documents, monkeypatch):
    told = asked(documents, None, "", monkeypatch, terminal=False)
    assert PLACEHOLDER in told.output
    assert kept_contact(documents) is None


def test_one_on_the_command_line_is_kept(documents, monkeypatch):
    assert asked(documents, "mailto:builder@shop.example", "", monkeypatch).output == ""
    assert contact(documents) == "mailto:builder@shop.example"
