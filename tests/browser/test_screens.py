"""Every screen, light and dark, on a phone and at a desk: nothing serious for axe-core, room for gloves."""

import pytest
from support import patience
from support.axe import FINGER, GLOVE, wanting


def with_a_doubt(phone):
    phone.until_it_understands()
    phone.write("laid nineteen plies of bid on the elevator spar aft face")
    phone.page.locator(".asking").wait_for()


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
def test_no_screen_is_wanting_to_those_who_see_or_hear_it_otherwise(shop, phones, scheme, width):
    phone = phones(shop.url, size={"width": width, "height": 800}, color_scheme=scheme)
    phone.pair(shop.code())
    found = {}
    for tab in ("Shop", "Log", "Sums", "Bench"):
        phone.open(tab)
        found[tab] = wanting(phone.page)
    phone.until_it_understands()
    phone.write("start a timer for one second")
    phone.page.locator(".clock-answers").wait_for()
    found["a clock that is due"] = wanting(phone.page)
    phone.page.get_by_role("button", name="Close", exact=True).click()
    with_a_doubt(phone)
    found["a doubt"] = wanting(phone.page)
    phone.leave_doubts()
    phone.page.get_by_role("button", name="Write", exact=True).click()
    found["writing"] = wanting(phone.page)
    phone.page.get_by_role("button", name="By touch").click()
    phone.page.get_by_text("What was done?").wait_for()
    found["by touch"] = wanting(phone.page)
    phone.page.get_by_role("button", name="Close", exact=True).click()
    phone.sheet.click()
    phone.page.locator(".sheet.recording").wait_for()
    found["recording"] = wanting(phone.page)
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


def test_on_a_narrow_phone_the_strip_says_what_waits_in_one_line(shop, phones):
    phone = phones(shop.url, size={"width": 360, "height": 640})
    phone.pair(shop.code())
    shop.stop()
    phone.page.clock.set_fixed_time("2026-03-01T10:00:00Z")
    phone.write("mixed eighty grams at four to one")
    phone.until_operations(1)
    phone.page.clock.set_fixed_time("2026-03-05T10:00:00Z")
    phone.page.reload()
    phone.page.get_by_text("only here since 1 March").wait_for()
    strip = phone.page.locator(".unsent")
    assert strip.bounding_box()["height"] <= 30
    assert strip.evaluate("(line) => line.scrollWidth <= line.clientWidth")


@pytest.mark.parametrize("hand", ["right", "left"])
def test_an_answer_longer_than_its_place_is_gone_through_by_touches(shop, phones, hand):
    chosen = f"localStorage.setItem('plytally-settings', JSON.stringify({{ hand: '{hand}' }}));"
    phone = phones(shop.url, size={"width": 360, "height": 640}, faults=[chosen])
    phone.pair(shop.code())
    phone.until_it_understands()
    phone.until("document.querySelector('.beside').textContent.includes('print revision')")
    phone.write("what is owed on the right elevator spar")
    phone.said.get_by_text("of 4 BID laid").first.wait_for()
    phone.said.get_by_text("more", exact=True).wait_for()
    last = phone.said.locator("p").last

    def seen():
        box, place = last.bounding_box(), phone.said.bounding_box()
        return box["y"] + box["height"] <= place["y"] + place["height"] + 4

    assert not seen()
    phone.said.click()
    phone.page.locator(".said.wide").wait_for()
    assert phone.sheet.bounding_box()["height"] >= GLOVE
    patience.until(lambda: seen() or phone.said.click(), "the last line, by touches alone")
    phone.said.get_by_text("less", exact=True).click()
    phone.page.locator(".said:not(.wide)").wait_for()
    photo = phone.page.get_by_text("Photo").bounding_box()
    assert (photo["x"] > 180) == (hand == "right"), "what is taken most is under the thumb"
