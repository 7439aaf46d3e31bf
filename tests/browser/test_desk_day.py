"""A day gone over at the desk with the keyboard alone, at a desk's width and on a phone's."""

import pytest
from support.browser_desk import SMALL, WIDE
from support.desk_days import DAY, until

LOOKS = pytest.mark.parametrize(
    ("size", "scheme"), [(WIDE, "light"), (SMALL, "dark")], ids=["desk, light", "phone, dark"]
)
SIZES = pytest.mark.parametrize("size", [WIDE, SMALL], ids=["desk", "phone"])


class Reader:
    """Somebody who goes over the day and touches nothing but keys."""

    def __init__(self, desk):
        self.desk, self.page = desk, desk.page

    def go_to(self, clock):
        """Up or down the list until the entry of this time is read."""
        self.page.locator(".asksheet").wait_for(state="detached")
        for _ in range(40):
            at = self._clock()
            if at == clock:
                return self
            before = self._entry()
            self.desk.press("ArrowDown" if at < clock else "ArrowUp")
            until(lambda before=before: self._read() and self._entry() != before)
        raise AssertionError(f"no entry of {clock}")

    def _clock(self):
        head = self.page.locator(".detail header .small")
        return head.first.inner_text()[:5] if head.count() else ""

    def _entry(self):
        shown = self.page.locator(".detail")
        return shown.get_attribute("data-of") if shown.count() else ""

    def _read(self):
        """Whether the entry that is shown is the one that the address names."""
        entry = self.page.url.rpartition("/")[2]
        return self.page.locator(f'.detail[data-of="{entry}"]').count() == 1

    def types(self, *texts):
        """Into the form that has the focus, field after field."""
        self.page.locator(".asksheet").wait_for()
        for number, text in enumerate(texts):
            if number:
                self.desk.press("Tab")
            self.desk.press("Control+a")
            self.page.keyboard.type(text)
        self.desk.press("Enter")

    def told(self, text):
        """Wait until the page says so."""
        self.page.locator(".told", has_text=text).wait_for()


@SIZES
def test_the_demos_day_is_cleared_with_the_keyboard_alone(day_shop, desks, size):
    desk = desks(day_shop, size=size).sign_in()
    desk.page.locator(".strips").wait_for()
    reader = Reader(desk)

    for clock, key, told in (
        ("09:02", "1", "batch: 714"),
        ("09:41", "1", "it was done in this order"),
        ("09:41", "2", "station: hinge 3"),
        ("10:03", "2", "plies: 3"),
        ("10:26", "2", "station: nothing"),
        ("10:34", "2", "mass: 50 g"),
        ("11:02", "2", "plies: 8"),
    ):
        reader.go_to(clock)
        desk.press(key)
        reader.told(told)

    reader.go_to("11:31")
    desk.press("t")
    reader.types("outside")
    reader.told("face is outside now")

    reader.go_to("14:05")
    desk.press("t")
    reader.types("aramid tape")
    reader.told("material is aramid tape now")
    desk.page.get_by_role("form", name="A new word").wait_for()
    desk.press("Enter")
    reader.told("is in the vocabulary")

    reader.go_to("14:21")
    desk.press("s")
    reader.types("trimmed the right trim tab", "peel ply is off the left elevator spar aft face")
    reader.told("Split into two")

    reader.go_to("14:40")
    desk.press("m")
    reader.told("One entry is marked")
    reader.go_to("14:41")
    desk.press("m", "j")
    reader.types("weighed the right trim tab at one hundred and forty grams")
    reader.told("Joined into one")

    reader.go_to("08:51")
    desk.press("t")
    reader.types("the selvage of the new roll is frayed")
    reader.told("text is the selvage")

    desk.press("u")
    reader.told("entries accepted")
    desk.press("n")
    reader.told("Nothing on this day waits for you any more")

    day = [each for each in day_shop.log.state.order if each.wall[:10] == DAY]
    assert [each.entry.doubts for each in day if each.withdrawn is None and each.entry.doubts] == []
    assert len([each for each in day if each.withdrawn is None]) == 28
    lines = {str(each.entry.place): each.entry.fields for each in day if each.withdrawn is None}
    assert lines["right elevator spar, fore, hinge 3"]["plies"] == 7
    assert lines["left elevator rib 2, outboard"]["plies"] == 3
    assert day_shop.log.state.put_aside == ()
    assert desk.wrong == []


@LOOKS
def test_the_day_and_finding_have_no_serious_finding(day_shop, desks, size, scheme):
    desk = desks(day_shop, size=size, color_scheme=scheme).sign_in()
    desk.page.locator(".strips").wait_for()
    found = {"list": desk.findings()}
    Reader(desk).go_to("09:41")
    found["entry"] = desk.findings()
    desk.press("r")
    desk.page.locator(".asksheet .reads b").wait_for()
    found["form"] = desk.findings()
    assert not desk.overflows()
    desk.press("Escape", "F")
    desk.page.locator(".foundlist").wait_for()
    found["find"] = desk.findings()
    assert {name: rows for name, rows in found.items() if rows} == {}
    assert not desk.overflows()
    assert desk.wrong == []


def test_a_word_is_heard_from_its_own_time(day_shop, desks):
    desk = desks(day_shop).sign_in()
    Reader(desk).go_to("09:41")
    word = desk.page.locator(".word.doubtful")
    assert word.inner_text().startswith("two")
    start = float(word.get_attribute("title").split(" s")[0])
    word.focus()
    desk.press("Enter")
    playing = "document.querySelector('audio').currentTime"
    desk.page.locator(".word.now").first.wait_for()
    assert desk.page.evaluate(playing) >= start - 0.3
    desk.press("ArrowLeft")
    assert desk.focused().startswith("hinge")


@SIZES
def test_what_is_found_is_opened_with_the_keyboard(day_shop, desks, size):
    desk = desks(day_shop, size=size).sign_in()
    desk.page.locator(".strips").wait_for()
    desk.press("F")
    desk.page.get_by_label("Words, anywhere").wait_for()
    desk.page.keyboard.type("flox")
    desk.page.get_by_text("One entry.").wait_for()
    desk.press("ArrowDown", "Enter")
    desk.page.locator(".detail", has_text="15 g flox").wait_for()
    assert f"#day/{DAY}/" in desk.page.url
    desk.page.go_back()
    desk.page.get_by_text("One entry.").wait_for()


def test_an_entry_that_was_not_noted_is_added_to_the_day_that_is_read(day_shop, desks):
    desk = desks(day_shop).sign_in()
    desk.page.locator(".strips").wait_for()
    desk.press("+")
    reader = Reader(desk)
    reader.types("bagged the rudder post")
    reader.told("Noted, at that time")
    desk.page.locator(".entry", has_text="bagged: rudder post").wait_for()
    (made,) = [each for each in day_shop.log.state.order if each.entry.said == "bagged the rudder post"]
    assert made.wall[:16] == f"{DAY}T16:30"


def test_a_day_without_entries_says_what_to_do_next(shop, desks):
    desk = desks(shop).sign_in()
    desk.page.get_by_text("Nothing is noted yet").wait_for()
    assert "plytally serve --lan" in desk.page.inner_text("main")


def test_two_windows_do_not_judge_over_each_other(day_shop, desks):
    one, other = desks(day_shop).sign_in(), desks(day_shop).sign_in()
    for desk in (one, other):
        Reader(desk).go_to("10:34")
    one.press("2")
    Reader(one).told("mass: 50 g")
    other.press("1")
    Reader(other).told("something came to this entry since you looked at it")
    other.page.locator(".detail", has_text="50 g flox").wait_for()


@SIZES
def test_an_entry_is_corrected_reworded_withdrawn_and_brought_back_by_keys_and_nothing_is_erased(
    day_shop, desks, size
):
    desk = desks(day_shop, size=size).sign_in()
    desk.page.locator(".strips").wait_for()
    reader = Reader(desk).go_to("09:20")
    desk.press("c")
    for _ in range(12):
        if desk.page.evaluate("document.activeElement.dataset.fix") == "plies":
            break
        desk.press("Tab")
    desk.press("Enter")
    reader.types("six")
    reader.told("plies is six now")
    desk.press("r")
    reader.types("laid five plies bid on the right elevator spar fore face at hinge one")
    reader.told("says something else now")
    desk.press("w")
    reader.types("noted twice")
    reader.told("Withdrawn")
    desk.press("b")
    reader.told("It counts again")
    desk.press("a")
    (entry,) = [each for each in day_shop.log.state.order if each.wall[:16] == f"{DAY}T09:20"]
    assert (entry.withdrawn, entry.entry.fields["plies"]) == (None, 5)
    told = desk.page.locator(".history")
    told.wait_for()
    assert told.get_by_text("noted twice").count() > 0
    assert [str(each.value) for each in entry.history("plies")] == ["7", "6", "5"]
    assert desk.wrong == []


@SIZES
def test_days_times_and_amounts_are_shown_as_one_likes_them_with_the_offset_kept(day_shop, desks, size):
    desk = desks(day_shop, size=size).sign_in()
    desk.page.locator(".strips").wait_for()
    desk.press("H")
    desk.page.get_by_label("A day is written").select_option("month_day")
    desk.page.get_by_label("A time of day is written").select_option("12")
    desk.page.get_by_label("Masses").select_option("oz")
    day_shop.until(lambda: day_shop.inside.desk.settings["unit_mass"] == "oz")
    assert (desk.findings(), desk.overflows()) == ([], False)
    desk.press("D")
    desk.page.get_by_role("heading", name="Saturday March 21, 2026").wait_for()
    desk.page.locator(".entry", has_text="15 g (0.5291 oz) flox").click()
    head = desk.page.locator(".detail header")
    head.get_by_text("10:34 am UTC-04:00").wait_for()
    assert "15 g (0.5291 oz) flox" in head.inner_text()
    choices = desk.page.locator(".question button").all_inner_texts()
    assert any("50 g (1.764 oz)" in each for each in choices)
    desk.press("F")
    desk.page.get_by_label("Words, anywhere").fill("flox")
    desk.page.locator(".found", has_text="15 g (0.5291 oz) flox").wait_for()
    assert "March 21, 2026 10:34 am" in desk.page.locator(".found").first.inner_text()
    desk.press("Tab")
    desk.page.locator("body").press("B")
    desk.page.get_by_role("heading", name="the whole build", exact=True).wait_for()
    desk.press("r")
    desk.page.get_by_text(" oz").first.wait_for()
    kept = {
        str(each.entry.fields["mass"]) for each in day_shop.log.state.order if "mass" in each.entry.fields
    }
    assert "15 g" in kept
    assert desk.wrong == []
