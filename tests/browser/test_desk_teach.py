"""After a correction the desk proposes what it teaches, beside the entry; one key takes it."""

import pytest
from support.browser_desk import SMALL, WIDE
from support.desk_days import copied
from support.shop_computer import ShopComputer

from plytally.speech.ways_said import WaySaid
from plytally.workshop.print_copy import own_words

SIZES = pytest.mark.parametrize("size", [WIDE, SMALL], ids=["desk", "phone"])


class Holds:
    """Holds a sound against pronunciations: here it finds the one that the test wants to see."""

    def ways_said(self, recording, name, texts, heard, vocabulary):
        assert recording
        assert texts
        return (WaySaid("three", "TH R IH", 61.2),)


@pytest.fixture
def shop(made, tmp_path):
    opened = ShopComputer(copied(made, tmp_path / "shop"), with_print=False, ways_said=Holds())
    yield opened
    opened.close()


def form(desk):
    found = desk.page.get_by_role("form", name="A new word")
    found.wait_for()
    return found


def opened(desk, text):
    desk.page.locator(".entry", has_text=text).first.click()
    desk.page.locator(".detail", has_text=text).wait_for()


@SIZES
def test_a_pronunciation_that_the_sound_speaks_for_is_taught_with_one_key(shop, desks, size):
    desk = desks(shop, size=size).sign_in()
    opened(desk, "fore, hinge 2")
    desk.press("1")
    desk.page.locator(".told", has_text="it was done in this order").wait_for()
    desk.press("2")
    told = form(desk)
    told.get_by_role("heading", name="Teach how you say “three”?").wait_for()
    assert "TH R IH" in told.inner_text()
    assert not told.evaluate("form => form.contains(document.activeElement)"), "it took the focus"
    assert (desk.findings(), desk.overflows()) == ([], False)
    desk.press("y")
    desk.page.locator(".told", has_text="is in the vocabulary").wait_for()
    assert own_words(shop.log)["sounds"] == {"three": ["th r ih"]}

    desk.press("H")
    word = desk.page.locator(".taught", has_text="pronounced TH R IH")
    word.wait_for()
    assert "Learnt from" in word.inner_text()
    assert (desk.findings(), desk.overflows()) == ([], False)
    desk.press("x")
    desk.page.get_by_text("“three” is taken back.").wait_for()
    desk.page.locator(".taught.untaught").wait_for()
    assert own_words(shop.log) == {}
    assert (desk.findings(), desk.overflows()) == ([], False)
    desk.press("x")
    desk.page.get_by_text("“three” is taught again.").wait_for()
    assert own_words(shop.log)["sounds"] == {"three": ["th r ih"]}
    assert desk.wrong == []


@SIZES
def test_a_new_name_is_proposed_where_it_was_corrected_and_says_how_it_will_be_listened_for(
    shop, desks, size
):
    desk = desks(shop, size=size).sign_in()
    opened(desk, "right trim tab, lower")
    desk.press("t")
    desk.page.locator(".asksheet").wait_for()
    desk.press("Control+a")
    desk.page.keyboard.type("aramid tape")
    desk.press("Enter")
    told = form(desk)
    told.get_by_role("heading", name="Teach “aramid tape”?").wait_for()
    assert "aramid: " in told.inner_text()
    assert (desk.findings(), desk.overflows()) == ([], False)
    desk.press("Enter")
    desk.page.locator(".told", has_text="is in the vocabulary").wait_for()
    assert own_words(shop.log)["materials"] == {"aramid tape": ["aramid tape"]}


def test_what_is_proposed_can_be_left_with_one_key(shop, desks):
    desk = desks(shop).sign_in()
    opened(desk, "right trim tab, lower")
    desk.press("t")
    desk.page.locator(".asksheet").wait_for()
    desk.press("Control+a")
    desk.page.keyboard.type("aramid tape")
    desk.press("Enter")
    form(desk)
    desk.press("Escape")
    desk.page.locator(".asksheet").wait_for(state="detached")
    assert own_words(shop.log) == {}
