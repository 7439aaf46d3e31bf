"""The phone's page Log: what waits is answered there, the last entry scratched, what is owed asked for."""

import re

ASKED = "laid three plies of bid at forty five on the elevator spar fore face"


def lines(phone):
    return phone.page.locator(".pages .lines > li > p:first-child").all_inner_texts()


def test_what_waits_stands_once_in_the_log_and_is_answered_from_there(shop, phones):
    shop.inside.desk.set("dates", "month_day")
    shop.inside.desk.set("clock", "12")
    phone = phones(shop.url)
    phone.pair(shop.code())
    phone.until_it_understands()
    phone.until("document.querySelector('.beside').textContent.includes('print revision')")
    phone.write(ASKED)
    phone.leave_doubts()
    phone.open("Log")
    phone.page.get_by_role("heading", name="Waiting for an answer").wait_for()
    assert sum("elevator spar" in line for line in lines(phone)) == 1
    when = phone.page.locator(".lines .small").all_inner_texts()
    assert any(re.fullmatch(r"[A-Z][a-z]+ \d+, \d{4}, \d+:\d\d (am|pm|noon|midnight)", each) for each in when)

    phone.page.get_by_role("button", name="Answer it").click()
    phone.page.get_by_text("Which side?").wait_for()
    phone.page.get_by_role("button", name="right", exact=True).click()
    phone.until_operations(2)
    phone.leave_doubts()

    phone.open("Log")
    phone.page.get_by_role("button", name="right elevator spar").click()
    phone.said.get_by_text("right elevator spar, fore face, at hinge 1: 0 of 7 BID laid").first.wait_for()

    phone.open("Log")
    phone.page.get_by_role("button", name="Scratch it").click()
    phone.page.get_by_role("button", name="Yes, scratch it").click()
    phone.page.locator(".lines .scratched").wait_for()
    assert phone.kept("operations")[-1]["operation"]["act"] == "withdraw"
