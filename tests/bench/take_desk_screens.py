"""The desk's pages for docs/screens, on the demo's day; `take_screens.py` runs this."""

import tempfile
from pathlib import Path

from support.browser_desk import SMALL, WIDE, DeskWindow
from support.desk_days import DAY, copied
from support.shop_computer import ShopComputer

from plytally.core.entry import Entry, Place
from plytally.core.quantities import parse_quantity
from plytally.workshop.demo_day import make_day
from plytally.workshop.taught import Lesson

SIZES = {"desk": WIDE, "phone": SMALL}
SPAR = "right elevator spar"
FOUR = "step: E3, face: aft, plies: 4"
TAUGHT = ("sounds", "three", ("th r ih",))


def heading(desk, name):
    desk.page.get_by_role("heading", name=name, exact=True).wait_for()


def at_the_entry(desk, words):
    desk.page.goto(f"{desk.shop.url}/desk#day/{DAY}")
    desk.page.locator(".entry", has_text=words).first.click()
    desk.page.locator(".detail", has_text=words).wait_for()


def print_text(desk):
    desk.press("P")
    desk.page.get_by_role("button", name="Change it").click()
    field = desk.page.locator("textarea")
    field.wait_for()
    return field, field.input_value()


def through(desk, take):
    """Every page in turn; `take(name)` keeps one, if the docs show it."""
    page, shop = desk.page, desk.shop
    at_the_entry(desk, "fore, hinge 2")
    take("day")
    desk.press("?")
    page.locator("dialog.keylist").wait_for()
    take("keys")
    desk.press("Escape", "F")
    heading(desk, "Find in all the years")
    if not page.get_by_label("Touched the place").is_visible():
        page.get_by_text("Filters").click()
    page.get_by_label("Touched the place").fill("left elevator spar")
    page.get_by_text("entries, the latest first").wait_for()
    page.locator(".found", has_text="left elevator spar").first.wait_for()
    take("find")
    page.locator("h1").click()
    field, text = print_text(desk)
    field.fill(text.replace(FOUR, FOUR.replace("4", "5"), 1))
    page.get_by_text("What this changes in what is already laid").wait_for()
    page.get_by_text("4 plies become 5").first.wait_for()
    take("print-change")
    field.fill(text.replace(FOUR, FOUR.replace("plies", "plys"), 1))
    page.get_by_text("did you mean").first.wait_for()
    page.locator(".problems button").first.click()
    take("print-mistake")
    page.get_by_role("button", name="Give it up").click()
    page.locator("h1").click()
    desk.press("B")
    heading(desk, "the whole build")
    take("build")
    page.get_by_label("One part").select_option(label=SPAR)
    heading(desk, f"{SPAR}, fore face")
    take("part")
    desk.press("O")
    heading(desk, "An inspector's look")
    page.get_by_label("For whom").fill("the inspector")
    page.get_by_text("Choose the parts that may be seen").click()
    page.get_by_role("group", name="Parts that may be seen").get_by_label(SPAR).check()
    page.get_by_role("button", name="Open a link").click()
    page.get_by_label("The link for the inspector").wait_for()
    page.get_by_role("heading", name="An inspector's look").evaluate("each => each.scrollIntoView()")
    take("handover")
    taught_from = next(
        each for each in shop.log.state.order if each.entry.said.endswith("fore face at hinge two")
    )
    shop.inside.bench.taught.teach(Lesson(*TAUGHT, taught_from.id, taught_from.entry.said), "builder")
    page.locator("h1").click()
    desk.press("H")
    page.locator(".taught").first.scroll_into_view_if_needed()
    take("taught")
    shop.log.record(Entry("clock", {"clock": "cure", "duration": parse_quantity("12 h")}))
    shop.log.record(Entry("clock", {"duration": parse_quantity("1 s"), "text": "turn the heater"}))
    page.locator("h1").click()
    desk.press("C")
    page.locator("li.clock.late").wait_for()
    take("clocks")
    secret, _ = shop.inside.visits.open("the inspector", [Place("elevator spar", "right")], 7)
    page.goto(f"{shop.url}/visit/{secret}")
    heading(desk, "Entries")
    take("visit")


def take_desk(browser, take, wanted):
    """Go through the desk in each size and scheme that the docs show; `take(page, name)` keeps a picture."""
    with tempfile.TemporaryDirectory() as folder:
        made = Path(folder) / "day"
        make_day(made).close()
        for where, size in SIZES.items():
            for scheme in ("light", "dark"):
                if not any(name.endswith(f"{where}-{scheme}") for name in wanted):
                    continue
                shop = ShopComputer(copied(made, Path(folder) / f"{where}-{scheme}"), with_print=False)
                desk = DeskWindow(browser, shop, size=size, color_scheme=scheme).sign_in()
                through(desk, lambda name, at=f"{where}-{scheme}", seen=desk: take(seen.page, f"{name}-{at}"))
                desk.close()
                shop.close()
                print("the desk:", where, scheme)
