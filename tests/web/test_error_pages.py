"""Whoever follows a link or types an address that leads nowhere gets a page; programs get problem details."""

import pytest
from support.shops import TestShop

BROWSER = {"Accept": "text/html,application/xhtml+xml,*/*;q=0.8"}


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    opened = TestShop(tmp_path_factory.mktemp("shop"))
    yield opened
    opened.close()


@pytest.mark.parametrize(
    ("path", "status", "says"),
    [
        pytest.param("/nowhere", 404, "Nothing is at this address", id="404"),
        pytest.param("/api/desk/tables/entries", 401, "The desk is not signed in", id="401"),
        pytest.param("/api/pair", 405, "Method Not Allowed", id="405"),
    ],
)
def test_a_browser_is_shown_what_is_wrong_and_the_way_back(shop, path, status, says):
    answer = shop.nobody.get(path, headers=BROWSER)
    assert (answer.status_code, answer.mimetype) == (status, "text/html")
    assert says in answer.text
    assert 'href="/desk"' in answer.text
    assert "script" not in answer.headers["Content-Security-Policy"]


def test_what_stands_in_an_address_never_becomes_part_of_the_page(shop):
    answer = shop.nobody.get("/api/desk/days/<img src=x onerror=alert(1)>", headers=BROWSER)
    assert "<img" not in answer.text


def test_a_program_gets_problem_details_in_our_words(shop):
    answer = shop.nobody.get("/nowhere")
    assert answer.mimetype == "application/problem+json"
    assert answer.json["detail"].startswith("nothing is at this address")
