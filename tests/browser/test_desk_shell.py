"""The frame of the desk: signing in and out, what a stranger sees, and the list of keys."""

import json
import re
import urllib.request

import pytest
from support.browser_desk import SMALL, WIDE

SIZES = pytest.mark.parametrize("size", [WIDE, SMALL], ids=["desk", "phone"])


def test_a_stranger_is_told_nothing_but_how_to_sign_in(shop, desks):
    asked = []
    desk = desks(shop)
    desk.page.on("request", lambda request: asked.append(request.url))
    desk.page.reload()
    desk.page.get_by_label("Passphrase").wait_for()

    assert "plytally desk" in desk.page.locator("main").inner_text()
    assert "Quillwing" not in desk.page.content()
    assert [url for url in asked if "/api/" in url] == [f"{shop.url}/api/desk/session"]


def test_without_a_passphrase_the_page_says_what_to_run(shop, desks):
    desk = desks(shop)
    desk.page.get_by_label("Passphrase").fill("anything at all")
    desk.press("Enter")
    desk.page.get_by_text("The desk has no passphrase yet").wait_for()

    assert "Open a terminal on the shop computer and run plytally desk" in desk.page.inner_text("main")


def test_a_wrong_passphrase_is_told_and_a_right_one_lets_in_and_signing_out_ends_it(shop, desks):
    shop.inside.desk.set_passphrase("wet layup before lunch")
    desk = desks(shop)
    desk.page.get_by_label("Passphrase").fill("wet layup after lunch")
    desk.press("Enter")
    desk.page.get_by_text("not the desk's passphrase").wait_for()

    desk.page.get_by_label("Passphrase").fill("wet layup before lunch")
    desk.press("Enter")
    desk.page.locator(".desk").wait_for()
    desk.page.reload()
    desk.page.locator(".desk").wait_for()
    desk.page.get_by_role("button", name="Sign out").click()
    desk.page.get_by_label("Passphrase").wait_for()
    desk.page.reload()
    desk.page.get_by_label("Passphrase").wait_for()
    assert desk.wrong == []


@SIZES
def test_a_question_mark_lists_the_keys_and_escape_closes_the_list(shop, desks, size):
    desk = desks(shop, size=size).sign_in()
    desk.press("?")
    listed = desk.page.locator("dialog.keylist")
    listed.wait_for()
    assert "Habits" in listed.inner_text()
    assert desk.findings() == []
    desk.press("Escape")
    listed.wait_for(state="detached")


def test_single_keys_can_be_switched_off(shop, desks):
    desk = desks(shop).sign_in()
    desk.press("?")
    desk.page.locator("dialog").get_by_role("checkbox").uncheck()
    desk.press("Escape")
    desk.page.locator("dialog").wait_for(state="detached")
    before = desk.page.url
    desk.press("H")
    assert desk.page.url == before
    desk.press("?")
    desk.page.locator("dialog").wait_for()


@pytest.mark.parametrize(("size", "scheme"), [(WIDE, "dark"), (SMALL, "light")], ids=["desk", "phone"])
def test_the_door_has_no_serious_finding(shop, desks, size, scheme):
    desk = desks(shop, size=size, color_scheme=scheme)
    desk.page.get_by_label("Passphrase").wait_for()
    assert desk.findings() == []
    assert not desk.overflows()


def test_the_phones_worker_leaves_the_desk_to_the_network(shop, phones, tmp_path):
    phone = phones(shop.url)
    phone.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
    phone.page.goto(f"{shop.url}/desk")
    phone.page.get_by_label("Passphrase").wait_for()
    assert ("GET", "/desk") in shop.asked


def pair(shop, code):
    """Pair as a phone does, from no browser that is signed in."""
    body = json.dumps({"code": code, "device": "phone-1", "name": "the blue one"}).encode()
    request = urllib.request.Request(
        f"{shop.url}/api/pair", body, {"Content-Type": "application/json"}, method="POST"
    )
    with urllib.request.urlopen(request, timeout=60) as answer:
        assert answer.status == 201


def test_a_phones_app_is_paired_in_a_browser_that_is_signed_in_at_the_desk(shop, phones):
    shop.inside.desk.set_passphrase("wet layup before lunch")
    phone = phones(f"{shop.url}/desk")
    phone.page.get_by_label("Passphrase").fill("wet layup before lunch")
    phone.page.keyboard.press("Enter")
    phone.page.locator(".desk").wait_for()
    phone.page.goto(shop.url)
    phone.pair(shop.code())


@SIZES
def test_a_phone_is_brought_in_by_a_code_and_put_out_again(shop, desks, size):
    desk = desks(shop, size=size).sign_in()
    desk.press("T")
    desk.page.get_by_text("No phone is paired yet").wait_for()
    desk.press("o")
    code = desk.page.locator(".codeword").inner_text()
    assert desk.findings() == []
    assert not desk.overflows()
    pair(shop, code)
    desk.press("l")
    desk.page.get_by_text("the blue one").wait_for()
    desk.page.get_by_role("button", name="Put it out").click()
    desk.page.get_by_role("button", name="Yes, it gets nothing more").click()
    desk.page.get_by_text(re.compile(r"put out [0-9]")).wait_for()
    assert desk.wrong == []
