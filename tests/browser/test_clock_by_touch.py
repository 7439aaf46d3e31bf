"""A clock started in gloves, with no network: every button fits, and what was touched is what runs."""

from support import patience
from support.touching import begin, choose, fits

SIZE = {"width": 390, "height": 844}


def a_phone_without_network(shop, phones):
    """It has the print, and lost the shop computer."""
    phone = phones(shop.url, size=SIZE)
    phone.pair(shop.code())
    phone.until("document.querySelector('.beside').textContent.includes('print revision')")
    phone.until_it_understands()
    phone.until_offline_ready()
    shop.stop()
    phone.context.set_offline(True)
    phone.page.reload()
    phone.until_it_understands()
    return phone


def touch(phone, *names):
    for name in names:
        phone.page.locator(".span").get_by_role("button", name=name, exact=True).click()


def the_entry(phone, count):
    phone.until_operations(count)
    notes = [row["operation"] for row in phone.kept("operations") if row["operation"]["act"] == "note"]
    return max(notes, key=lambda each: each["number"])["body"]["entry"]


def bag_off_in_125_minutes(phone):
    phone.write("sanded the rudder post")
    begin(phone)
    choose(phone, "clock")
    phone.page.get_by_text("Which clock?").wait_for()
    fits(phone, SIZE["height"])
    choose(phone, "bag off")
    phone.page.get_by_text("How long, or until when?").wait_for()
    fits(phone, SIZE["height"])
    assert phone.page.locator(".span").get_by_role("button", name="That long").is_disabled()
    touch(phone, "+6 h", "+15 min", "+15 min")
    phone.page.locator(".number", has_text="6 h 30").wait_for()
    touch(phone, "Back to 0", "+1 h", "+1 h", "+5 min", "That long")
    phone.page.get_by_text("start the bag off timer for 125 minutes").wait_for()
    assert phone.page.locator(".choices .tool").first.inner_text() == "rudder post", "the part at work"
    choose(phone, "rudder post")
    phone.page.get_by_text("Which face?").wait_for()
    phone.page.get_by_role("button", name="Keep", exact=True).click()


def a_timer_until(phone):
    """Its time as the button showed it."""
    phone.open("Log")
    phone.page.get_by_role("button", name="Start a clock").click()
    choose(phone, "plain timer")
    touch(phone, "Until")
    fits(phone, SIZE["height"])
    shown = phone.page.locator(".number")
    first = shown.inner_text()
    touch(phone, "+1 h")
    patience.until(lambda: shown.inner_text() != first, "a later time")
    touch(phone, "−1 h")
    patience.until(lambda: shown.inner_text() == first, "the time before")
    touch(phone, "+1 h", "+5 min")
    told = shown.inner_text()
    touch(phone, "At that time")
    phone.page.get_by_role("button", name="Leave out").click()
    phone.page.get_by_role("button", name="Keep", exact=True).click()
    return told


def test_with_no_network_a_clock_is_started_in_gloves_for_so_long_or_until_then(shop, phones):
    phone = a_phone_without_network(shop, phones)
    bag_off_in_125_minutes(phone)
    fields = the_entry(phone, 2)["fields"]
    assert (fields["clock"], fields["part"]) == ("bag off", "rudder post")
    assert fields["duration"] == {"amount": "125", "unit": "min"}
    phone.page.locator(".ticking", has_text="bag off").wait_for()

    clock, day = a_timer_until(phone).split()
    fields = the_entry(phone, 3)["fields"]
    assert fields["due"][11:16] == clock
    assert day in ("today", "tomorrow")
    assert "clock" not in fields
    phone.page.locator(".ticking", has_text="1 more").wait_for()
    assert phone.page.locator(".asked").count() == 0, "no question is left"
