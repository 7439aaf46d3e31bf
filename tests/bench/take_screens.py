"""Take every screen that the docs show afresh, and none besides: the phone's and the desk's, light and dark.

    .venv/bin/python tests/bench/take_screens.py            all of them; three minutes
    .venv/bin/python tests/bench/take_screens.py desk       the desk's alone, or `phone` the phone's

The app must be built (hatch_build.py). A picture joins by being shown in a doc, as
docs/screens/NAME-WHERE-HOW.png with a NAME that is taken below or in `take_desk_screens.py`, WHERE phone or
desk, HOW light or dark.
"""

import re
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(Path(__file__).parent)]

from playwright.sync_api import sync_playwright  # noqa: E402
from support.browser_phone import FLAGS, Phone  # noqa: E402
from support.shop_computer import ShopComputer  # noqa: E402
from take_desk_screens import take_desk  # noqa: E402

SCREENS = ROOT / "docs/screens"
CHROMIUM = "/usr/bin/chromium"
SMALL = {"width": 390, "height": 844}
ANSWERED = "what is owed on the right elevator spar"
ASKED = "laid nineteen plies of bid on the elevator spar aft face"
FIRST = {"Log": "Clocks", "Sums": "Laminate", "Shop": "To the shop computer"}
"""The first heading of each page, which is there once the page is."""
DAY = (
    "started work on the right elevator spar",
    "shop air seventy two degrees and fifty five percent",
    "mixed eighty grams of epoxy at four to one batch seven one four",
)
LAID = "laid two plies bid on the right elevator spar aft face"


def shown_in_docs():
    """The names of the pictures that any doc shows."""
    files = (each for each in ROOT.rglob("*.md") if not {"node_modules", ".venv"} & set(each.parts))
    return {name for file in files for name in re.findall(r"screens/([a-z0-9-]+)\.png", file.read_text())}


def ready(phone):
    phone.until_it_understands()
    phone.until("document.querySelector('.beside').textContent.includes('print revision')")


def quiet(phone):
    """Whatever is asked or due is answered, so that the page itself is seen."""
    phone.leave_doubts()


def through(phone, take):
    """Every screen in turn; `take(name)` keeps one, if the docs show it; `part` is a piece of the page."""
    ready(phone)
    take("ready")
    for count, text in enumerate(DAY, 1):
        phone.write(text)
        phone.until_operations(count)
        quiet(phone)
    phone.page.locator(".ticking", has_text="pot life").wait_for()
    take("clock")
    phone.write(LAID)
    phone.until_operations(len(DAY) + 1)
    quiet(phone)
    phone.write(ANSWERED)
    phone.said.get_by_text("of 4 BID laid").first.wait_for()
    take("answer")
    phone.write(ASKED)
    phone.page.locator(".asking").wait_for()
    take("doubt")
    quiet(phone)
    phone.page.get_by_role("button", name="Write", exact=True).click()
    phone.page.get_by_role("button", name="By touch").click()
    phone.page.get_by_text("What was done?").wait_for()
    take("by-touch")
    choose(phone, "clock")
    choose(phone, "bag off")
    for name in ("+1 h", "+1 h", "+15 min"):
        phone.page.locator(".span").get_by_role("button", name=name, exact=True).click()
    phone.page.locator(".number", has_text="2 h 15").wait_for()
    take("clock-touch")
    for question in ("Which clock?", "What was done?"):
        phone.page.get_by_role("button", name="Back", exact=True).click()
        phone.page.get_by_text(question).wait_for()
    phone.page.get_by_role("button", name="Close", exact=True).click()
    for tab in ("Log", "Sums", "Shop"):
        phone.open(tab)
        phone.page.get_by_role("heading", name=FIRST[tab]).wait_for()
        take(tab.lower())
    calls = phone.page.get_by_role("heading", name="Clocks that call")
    take("calls", phone.page.locator("section", has=calls))
    phone.open("Bench")
    phone.write("start a timer for one second")
    phone.page.locator(".clock-answers").wait_for()
    take("clock-due")
    quiet(phone)
    phone.sheet.click()
    phone.until_recorded(2)
    take("recording")


def choose(phone, name):
    phone.page.locator(".choices").get_by_role("button", name=name, exact=True).click()


def take_phones(playwright, take):
    """Go through the phone, light and dark; `take(page, name)` keeps what the docs show."""
    with tempfile.TemporaryDirectory() as folder:
        for scheme in ("light", "dark"):
            home = Path(folder) / scheme
            shop = ShopComputer(home / "shop")
            how = {"size": SMALL, "color_scheme": scheme}
            phone = Phone(playwright, CHROMIUM, home / "phone", shop.url, list(FLAGS), **how)
            phone.pair(shop.code())
            named = lambda name, at=scheme: f"{name}-phone-{at}"  # noqa: E731
            through(phone, lambda name, part=None, at=named, seen=phone: take(part or seen.page, at(name)))
            phone.close()
            shop.close()
            print("the phone:", scheme)


def main(which=""):
    wanted, taken = shown_in_docs(), set()

    def take(seen, name):
        if name in wanted:
            seen.screenshot(path=SCREENS / f"{name}.png")
            taken.add(name)

    with sync_playwright() as playwright:
        if which in ("", "phone"):
            take_phones(playwright, take)
        if which in ("", "desk"):
            browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
            take_desk(browser, take, wanted)
            browser.close()
    if not which and wanted - taken:
        sys.exit(f"the docs show what is not taken: {', '.join(sorted(wanted - taken))}")


if __name__ == "__main__":
    main(*sys.argv[1:2])
