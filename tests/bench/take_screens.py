"""Take the phone app's screens for docs/screens afresh: a phone and a desk's width, light and dark.

    .venv/bin/python tests/bench/take_screens.py

The app must be built (hatch_build.py). The desk's own pages are taken by the tests that walk through them,
see tests/browser/test_desk_handover.py.
"""

import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT / "tests"))

from playwright.sync_api import sync_playwright  # noqa: E402
from support.browser_phone import FLAGS, Phone  # noqa: E402
from support.shop_computer import ShopComputer  # noqa: E402

SCREENS = ROOT / "docs/screens"
SIZES = {"phone": {"width": 390, "height": 844}, "desk": {"width": 1366, "height": 768}}
ANSWERED = "what is owed on the right elevator spar"
ASKED = "laid nineteen plies of bid on the elevator spar aft face"
FIRST = {"Log": "Clocks", "Sums": "Laminate", "Shop": "To the shop computer"}
"""The first heading of each page, which is there once the page is."""
DAY = (
    "started work on the right elevator spar",
    "shop air seventy two degrees and fifty five percent",
    "mixed eighty grams of epoxy at four to one batch seven one four",
    "laid two plies bid on the right elevator spar aft face",
)


def ready(phone):
    phone.until_it_understands()
    phone.until("document.querySelector('.beside').textContent.includes('print revision')")


def quiet(phone):
    """Whatever is asked or due is answered, so that the page itself is seen."""
    phone.leave_doubts()


def through(phone, take):
    """Every screen in turn; `take(name)` keeps one."""
    ready(phone)
    take("ready")
    for count, text in enumerate(DAY, 1):
        phone.write(text)
        phone.until_operations(count)
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
    phone.page.get_by_role("button", name="Close", exact=True).click()
    for tab in ("Log", "Sums", "Shop"):
        phone.open(tab)
        phone.page.get_by_role("heading", name=FIRST[tab]).wait_for()
        take(tab.lower())
    phone.open("Bench")
    phone.write("start a timer for one second")
    phone.page.locator(".clock-answers").wait_for()
    take("clock-due")
    quiet(phone)
    phone.sheet.click()
    phone.until_recorded(2)
    take("recording")


def main():
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        for where, size in SIZES.items():
            for scheme in ("light", "dark"):
                home = Path(folder) / f"{where}-{scheme}"
                shop = ShopComputer(home / "shop")
                how = {"size": size, "color_scheme": scheme}
                phone = Phone(playwright, "/usr/bin/chromium", home / "phone", shop.url, list(FLAGS), **how)
                phone.pair(shop.code())
                wanted = lambda name, at=f"{where}-{scheme}": SCREENS / f"{name}-{at}.png"  # noqa: E731
                through(phone, lambda name, at=wanted, seen=phone: seen.page.screenshot(path=at(name)))
                phone.close()
                shop.close()
                print(where, scheme)


if __name__ == "__main__":
    main()
