"""Every screen, light and dark, on a phone and at a desk: nothing serious for axe-core, room for gloves."""

import pytest
from support.axe import FINGER, GLOVE, serious


def with_a_doubt(phone):
    phone.until_it_understands()
    phone.write("laid nineteen plies of bid on the elevator spar aft face")
    phone.page.locator(".asking").wait_for()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_no_screen_has_a_serious_finding(shop, phones, scheme, width):
    phone = phones(shop.url, size={"width": width, "height": 800}, color_scheme=scheme)
    phone.pair(shop.code())
    found = {}
    for tab in ("Shop", "Log", "Sums", "Bench"):
        phone.open(tab)
        found[tab] = serious(phone.page)
    phone.until_it_understands()
    phone.write("start a timer for one second")
    phone.page.locator(".clock-answers").wait_for()
    found["a clock that is due"] = serious(phone.page)
    phone.page.get_by_role("button", name="Close", exact=True).click()
    with_a_doubt(phone)
    found["a doubt"] = serious(phone.page)
    phone.page.get_by_role("button", name="Leave it for the desk").click()
    phone.sheet.click()
    phone.page.locator(".sheet.recording").wait_for()
    found["recording"] = serious(phone.page)
    assert {screen: rows for screen, rows in found.items() if rows} == {}


@pytest.mark.parametrize(("width", "height"), [(360, 640), (390, 780), (430, 932)])
def test_the_sheet_takes_three_fifths_of_a_phone_and_targets_fit_a_glove(shop, phones, width, height):
    phone = phones(shop.url, size={"width": width, "height": height})
    sheet = phone.sheet.bounding_box()
    assert sheet["height"] >= 0.6 * height
    assert sheet["width"] >= 0.9 * width
    for tool in phone.page.locator(".tool").all():
        box = tool.bounding_box()
        assert min(box["width"], box["height"]) >= GLOVE
        assert box["y"] + box["height"] <= height, "gloves do not scroll"
    for button in phone.page.locator(".strip button").all():
        box = button.bounding_box()
        assert min(box["width"], box["height"]) >= FINGER


def test_the_answers_to_a_doubt_fit_a_glove_and_settle_it(shop, phones):
    phone = phones(shop.url, size={"width": 360, "height": 640})
    phone.pair(shop.code())
    with_a_doubt(phone)
    for answer in phone.page.locator(".answer").all():
        box = answer.bounding_box()
        assert min(box["width"], box["height"]) >= GLOVE
        assert box["y"] + box["height"] <= 640
    phone.page.get_by_role("button", name="right", exact=True).click()
    phone.until_operations(2)
    assert phone.kept("operations")[1]["operation"]["body"]["value"] == "right"


def test_with_reduced_motion_nothing_moves(shop, phones):
    phone = phones(shop.url, reduced_motion="reduce")
    phone.sheet.click()
    phone.page.locator(".sheet.recording").wait_for()
    assert phone.page.evaluate("document.getAnimations().length") == 0


def test_the_page_runs_under_a_policy_without_inline_script_or_eval(shop, phones):
    phone = phones(shop.url)
    policy = phone.page.evaluate("fetch('/').then((a) => a.headers.get('Content-Security-Policy'))")
    assert "unsafe-inline" not in policy
    assert "'unsafe-eval'" not in policy
    phone.until_it_understands()
    assert [problem for problem in phone.wrong if "Content Security Policy" in problem] == []
