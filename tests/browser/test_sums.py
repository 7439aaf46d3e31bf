"""The page of sums: worked out and kept without a network, large enough for gloves, clean for axe-core."""

import pytest
from support.axe import GLOVE, serious

READINGS = [("0", "25"), ("1", "24.2"), ("2", "23.6")]


def opened(phone, title):
    """The card of that title, with the page of sums opened."""
    phone.open("Sums")
    phone.page.get_by_role("button", name=title).click()


def a_drop_test(phone):
    """A drop test written in and worked out, as a builder does it beside the pump."""
    opened(phone, "Drop test of a bag")
    page = phone.page
    page.get_by_label("Published limit").select_option("bag")
    for at, (after, gauge) in enumerate(READINGS, 1):
        if at > 2:
            page.get_by_role("button", name="One more").click()
        page.get_by_label(f"After, {at}").fill(after)
        page.get_by_label(f"Gauge, {at}").fill(gauge)
    page.get_by_role("button", name="Work it out").click()
    page.get_by_text("the bag PASSES").wait_for()


def test_a_drop_test_is_worked_out_drawn_and_kept_at_a_part_without_a_network(shop, phones):
    phone = phones(shop.url)
    phone.pair(shop.code())
    phone.until_offline_ready()
    phone.until_it_understands()
    shop.stop()
    phone.page.reload()
    phone.until_it_understands()
    a_drop_test(phone)
    page = phone.page
    assert page.get_by_text("0.8 inHg (2.709 kPa)").is_visible()
    assert page.locator(".curve .mark").count() == len(READINGS) + 1
    assert page.get_by_text("greatest gauge(t) − gauge(t + time)").is_visible()
    assert page.get_by_text("your inspector decide").first.is_visible()

    page.get_by_label("Where, if it is about a part").select_option(label="right elevator spar")
    page.get_by_role("button", name="Keep it in the log").click()
    page.get_by_text("Kept in the log.").wait_for()

    entry = phone.kept("operations")[0]["operation"]["body"]["entry"]
    assert entry["kind"] == "worked"
    assert entry["fields"]["part"] == "elevator spar"
    assert "0 min 25 inHg and 1 min 24.2 inHg and 2 min 23.6 inHg" in entry["fields"]["text"]
    phone.until("document.querySelector('.unsent b')?.dataset.unsent === '1'")
    phone.open("Log")
    page.get_by_text("worked out: Drop test of a bag").wait_for()


def test_nonsense_is_refused_an_old_answer_goes_and_what_was_written_in_outlives_a_reload(shop, phones):
    phone = phones(shop.url)
    phone.pair(shop.code())
    phone.until_it_understands()
    opened(phone, "Plies for a build-up")
    page = phone.page
    own = page.get_by_label("Thickness of a ply: from the print")
    own.select_option(label="BID, 9.6 mil")
    page.get_by_label("Build-up").first.fill("-80")
    page.get_by_role("button", name="Work it out").click()
    page.get_by_text("give more than nothing").wait_for()

    page.get_by_label("Build-up").first.fill("80")
    assert page.locator(".refused").count() == 0
    page.get_by_role("button", name="Work it out").click()
    page.locator(".figure", has_text="8").first.wait_for()
    page.get_by_label("Build-up").first.fill("90")
    assert page.locator(".figure").count() == 0

    page.reload()
    phone.until_it_understands()
    opened(phone, "Plies for a build-up")
    assert page.get_by_label("Build-up").first.input_value() == "90"
    assert page.get_by_label("Thickness of a ply").first.input_value() == "9.6"


@pytest.mark.parametrize(("width", "scheme"), [(360, "light"), (1366, "dark")])
def test_cards_have_no_serious_finding_and_fit_a_glove(shop, phones, scheme, width):
    phone = phones(shop.url, size={"width": width, "height": 780}, color_scheme=scheme)
    phone.until_it_understands()
    phone.open("Sums")
    phone.page.get_by_role("button", name="Drop test of a bag").wait_for()
    found = {"list": serious(phone.page)}
    a_drop_test(phone)
    found["drop test"] = serious(phone.page)
    for title in ("Balance of a control surface", "Thickness and resin of a stack"):
        phone.page.get_by_role("button", name="All sums").click()
        opened(phone, title)
        found[title] = serious(phone.page)
        for target in phone.page.locator(".pages button, .pages select, .pages input, .pages summary").all():
            box = target.bounding_box()
            small = target.get_attribute("type") == "checkbox" or box is None
            assert small or box["height"] >= GLOVE, target.evaluate("(each) => each.outerHTML")
    assert phone.page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert {screen: rows for screen, rows in found.items() if rows} == {}
