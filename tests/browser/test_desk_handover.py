"""At the desk: the build in pictures, the record on paper, a link for an inspector; by the keyboard alone."""

import re
from pathlib import Path

import pytest
from support.browser_desk import SMALL, WIDE, tab_to
from support.shop_computer import ShopComputer

from plytally.core.entry import Entry, Place

SIZES = pytest.mark.parametrize("size", [WIDE, SMALL], ids=["desk", "phone"])
SPAR = Place("elevator spar", "right")
HOSTILE = '<img src=x onerror="window.hit=1"><script>window.hit=1</script>\'"&'


@pytest.fixture
def shop(day_shop):
    return day_shop


def heading(desk, name):
    return desk.page.get_by_role("heading", name=name, exact=True)


def fine(window):
    """No serious finding, nothing sticks out, and no error was told."""
    assert window.findings() == []
    assert not window.overflows()
    assert window.wrong == []


@SIZES
def test_the_build_can_be_looked_through_by_keys(shop, desks, size):
    desk = desks(shop, size=size).sign_in()
    desk.press("B")
    heading(desk, "the whole build").wait_for()
    fine(desk)
    desk.press("n")
    heading(desk, "tailplane front spar, fore face").wait_for()
    for _ in range(4):  # each wait is for the next part's own heading
        before = desk.page.locator("h2").first.inner_text()
        desk.press("n")
        desk.page.wait_for_function("was => document.querySelector('h2')?.innerText !== was", arg=before)
        desk.page.locator("h2").first.wait_for()
    desk.press("t")
    heading(desk, "days worked").wait_for()
    fine(desk)
    desk.press("r")
    heading(desk, "resin mixed").wait_for()
    fine(desk)


@SIZES
def test_a_part_is_drawn_and_the_table_beside_it_says_the_same(shop, desks, size):
    desk = desks(shop, size=size).sign_in()
    desk.press("B")
    desk.page.get_by_label("One part").select_option(label="right elevator spar")
    heading(desk, "right elevator spar, fore face").wait_for()
    drawn = desk.page.locator(".drawn svg").first.get_attribute("aria-label")
    rows = desk.page.locator("table").first.locator("tbody tr").all_inner_texts()
    cells = {row.split("\t")[0]: row.split("\t")[2:4] for row in rows}
    for name, (asked, laid) in cells.items():
        assert f"{name}: {laid} of {asked}" in drawn
    assert desk.page.locator("table").first.is_visible()
    fine(desk)


@SIZES
def test_the_record_is_made_with_the_keyboard_and_shows_how_far_it_is(shop, desks, size):
    desk = desks(shop, size=size).sign_in()
    desk.press("O")
    heading(desk, "The record on paper").wait_for()
    tab_to(desk, "Make the record")
    desk.press("Enter")
    with desk.page.expect_download() as coming:
        desk.page.get_by_role("link", name="save the PDF").wait_for()
        tab_to(desk, "save the PDF")
        desk.press("Enter")
    content = Path(coming.value.path()).read_bytes()
    assert (coming.value.suggested_filename, content[:4]) == ("build-record.pdf", b"%PDF")
    fine(desk)


def test_a_table_is_saved(shop, desks):
    desk = desks(shop).sign_in()
    desk.press("O")
    with desk.page.expect_download() as coming:
        desk.page.get_by_role("link", name="entries.csv").click()
    assert Path(coming.value.path()).read_bytes().count(b"\r\n") > len(shop.lines())


@SIZES
def test_an_inspector_gets_a_link_looks_and_is_shown_out(shop, desks, size):
    desk = desks(shop, size=size).sign_in()
    desk.press("O")
    heading(desk, "An inspector's look").wait_for()
    tab_to(desk, "For whom")
    desk.page.keyboard.type("the inspector")
    tab_to(desk, "Choose the parts")
    desk.press("Enter")
    tab_to(desk, "right elevator spar")
    desk.press(" ")
    tab_to(desk, "Open a link")
    desk.press("Enter")
    url = desk.page.get_by_label("The link for the inspector").input_value()
    fine(desk)

    visitor = desk.context.browser.new_context(viewport=size, java_script_enabled=False).new_page()
    visitor.goto(url)
    assert "right elevator spar, fore face" in visitor.content()
    assert "rudder" not in visitor.content()
    visitor.context.close()

    tab_to(desk, "End it")
    desk.press("Enter")
    desk.page.get_by_text(re.compile("^ended")).wait_for()
    assert desk.page.request.get(url).status == 401


@SIZES
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_the_visitors_page_has_no_serious_finding(shop, desks, size, scheme):
    desk = desks(shop, size=size, color_scheme=scheme)
    secret, _ = shop.inside.visits.open("the inspector", [SPAR], 7)
    desk.page.goto(f"{shop.url}/visit/{secret}")
    heading(desk, "Entries").wait_for()
    fine(desk)
    desk.page.goto(f"{shop.url}/visit/nothing")
    heading(desk, "This link opens nothing").wait_for()
    fine(desk)


def test_what_is_spoken_or_typed_never_becomes_part_of_a_page(shop, desks):
    typed = {"note": ("text",), "photo": ("item", "part"), "laid": ("material",), "started": ("category",)}
    for kind, name in ((kind, name) for kind, names in typed.items() for name in names):
        shop.log.record(Entry(kind, {name: HOSTILE}, HOSTILE), author=HOSTILE)
    spar = {"part": "elevator spar", "side": "right"}
    laid = spar | {"plies": 1, "material": HOSTILE, "face": "fore"}
    shop.log.record(Entry("laid", laid, HOSTILE), author=HOSTILE)
    shop.log.record(Entry("mixed", {"resin": HOSTILE, "batch": HOSTILE}), author=HOSTILE)
    desk = desks(shop).sign_in()
    for key, name in (
        ("B", "the whole build"),
        ("t", "days worked"),
        ("r", "resin mixed"),
        ("O", "Hand over"),
    ):
        desk.press(key)
        heading(desk, name).wait_for()
    desk.press("B")
    desk.page.get_by_label("One part").select_option(label="right elevator spar")
    desk.page.get_by_text("onerror").first.wait_for()
    secret, _ = shop.inside.visits.open(HOSTILE[:60], [SPAR], 7)
    desk.page.goto(f"{shop.url}/visit/{secret}")
    heading(desk, "Entries").wait_for()
    assert "onerror" in desk.page.inner_text("body")
    assert desk.page.evaluate("window.hit") is None
    assert desk.wrong == []


def test_an_empty_shop_says_what_to_do_next(desks, tmp_path):
    empty = ShopComputer(tmp_path / "empty", with_print=False)
    try:
        desk = desks(empty).sign_in()
        desk.press("B")
        desk.page.get_by_text("plytally schedule FILE.yaml").wait_for()
        desk.press("t")
        desk.page.get_by_text("started work on").wait_for()
        desk.press("r")
        desk.page.get_by_text("plytally stock FILE.yaml").first.wait_for()
        desk.press("O")
        desk.page.get_by_text("plytally schedule my-print.yaml").wait_for()
        fine(desk)
    finally:
        empty.close()
