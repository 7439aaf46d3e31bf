"""The print at the desk: read part by part, changed with its mistakes beside their lines, made to count."""

import pytest
from support.browser_desk import SMALL, WIDE

from plytally.core.hearing import typed

FIVE = "step: E3, face: aft, plies: 5"


def at_the_print(desks, shop, size=WIDE, **how):
    desk = desks(shop, size=size, **how).sign_in()
    desk.press("P")
    desk.page.get_by_role("heading", name="The print: Quillwing, revision C").wait_for()
    return desk


def text_of(page):
    return page.get_by_label("The print as text, YAML")


def test_a_change_is_shown_with_what_it_changes_in_what_is_laid_before_it_counts(shop, desks):
    shop.inside.bench.take(typed("laid four plies of bid on the left elevator spar aft face"))
    desk = at_the_print(desks, shop)
    page = desk.page
    page.get_by_text("elevator spar", exact=True).click()
    assert page.get_by_role("row", name="E2 7 BID at 45 on the fore face").is_visible()
    assert page.get_by_text("left and right, mirrored").first.is_visible()

    page.get_by_role("button", name="Change it").click()
    count = page.get_by_role("button", name="Make this the print that counts")
    page.get_by_text("This is the print that counts, word for word.").wait_for()
    assert count.is_disabled()
    was = text_of(page).input_value()
    text_of(page).fill(was.replace("step: E3, face: aft, plies: 4", "step: E3, face: aft, plys: 5"))
    page.get_by_role("button", name="line 1", exact=False).first.wait_for()
    assert page.get_by_text("did you mean 'plies'").first.is_visible()
    assert page.locator(".gutter .bad").count() >= 1
    page.locator(".problems button").first.click()
    assert "plys" in page.evaluate(
        "document.activeElement.value.slice(document.activeElement.selectionStart, "
        "document.activeElement.selectionEnd)"
    )
    assert count.is_disabled()

    text_of(page).fill(
        was.replace("step: E3, face: aft, plies: 4", FIVE).replace("revision: C", "revision: D", 1)
    )
    page.get_by_text("now owed: left elevator spar, aft face: 1 BID at 45 more").wait_for()
    assert page.get_by_text("step E3 of the elevator spar: 4 plies become 5").is_visible()
    page.reload()
    page.get_by_text("now owed: left elevator spar, aft face: 1 BID at 45 more").wait_for()
    assert "revision: C" in shop_text(shop)

    count.click()
    page.get_by_role("heading", name="revision D").wait_for()
    assert FIVE in shop_text(shop)
    assert page.get_by_text("Look at what going back would change").is_visible()
    with page.expect_download() as saved:
        page.get_by_role("link", name="Checklist to print").click()
    assert "revision D" in saved.value.path().read_text()
    assert desk.wrong == []


def shop_text(shop):
    """The text of the print that counts, as it lies in the data folder."""
    shelf = shop.inside.bench.shelf
    return shelf.text(shelf.rows()[-1])


@pytest.mark.parametrize(("size", "scheme"), [(WIDE, "light"), (SMALL, "dark")], ids=["desk", "phone"])
def test_the_print_has_no_serious_finding_and_fits_the_window(shop, desks, size, scheme):
    desk = at_the_print(desks, shop, size, color_scheme=scheme)
    found = {"parts": desk.findings()}
    desk.page.get_by_role("button", name="Change it").click()
    text_of(desk.page).fill("aircraft: Quillwing\n\tparts:\n")
    desk.page.get_by_text("a tab in the indent").wait_for()
    found["a mistake"] = desk.findings()
    assert not desk.overflows()
    assert {screen: rows for screen, rows in found.items() if rows} == {}
