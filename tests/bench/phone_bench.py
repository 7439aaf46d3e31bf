"""How quick the phone's app is, with the processor slowed down four times by Chromium itself.

python tests/bench/phone_bench.py [SLOWER]

A touch is timed from the input event's own time stamp, which the browser sets before the page hears of it, to
the moment from which the first kept sample was taken (below nought: before the touch), to the recording being
under way, and to the screen having shown it; once with the microphone not opened yet, then with it at hand.
"""

from __future__ import annotations

import gzip
import json
import shutil
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Playwright, sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.browser_phone import FLAGS, Phone
from support.browser_voice import seconds, spoken_file
from support.shop_computer import ShopComputer

SAYS = "laid two plies bid on the right elevator spar aft face"
APP = Path(__file__).parents[2] / "server/plytally/web/app"
TOUCHES = 12
AT_A_TOUCH = ("tap to recording", "tap to shown", "tap to first sample", "stop to kept")
MEASURES = (
    "ready to record",
    "mind ready",
    "ear ready",
    "hearing",
    "hearing and weighing",
    "words to entry",
)


def shell_bytes() -> int:
    """What the first screen needs, gzipped: page, style, script, icon, audio tap."""
    files = [APP / "index.html", *(APP / "assets").glob("index-*"), *(APP / "assets").glob("tap-*")]
    return sum(len(gzip.compress(file.read_bytes())) for file in files)


def all_of(phone: Phone, name: str) -> list[int]:
    """Every measure of that name, in whole milliseconds, as they came."""
    found = phone.ask(f"performance.getEntriesByName('{name}').map((entry) => entry.duration)")
    return [round(each) for each in found]


def touches(phone: Phone, count: int, record_s: float) -> dict[str, list[int]]:
    """So many short recordings, and what they measured."""
    for _ in range(count):
        phone.speak(record_s)
        phone.page.wait_for_timeout(1000)
    return {name: all_of(phone, name) for name in AT_A_TOUCH}


def once(shop: ShopComputer, playwright: Playwright, folder: Path, slower: float, at_hand: bool) -> dict:
    """A cold offline start and its touches, on a phone that has or has not allowed the microphone before."""
    chromium = shutil.which("chromium") or "chromium"
    flags = [*FLAGS, f"--use-file-for-fake-audio-capture={spoken_file(SAYS, folder)}%noloop"]
    phone = Phone(playwright, chromium, folder / f"phone-{at_hand}", shop.url, flags, warm=at_hand)
    phone.pair(shop.code())
    phone.until_it_understands()
    phone.until_offline_ready()
    shop.stop()
    session = phone.context.new_cdp_session(phone.page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": slower})
    phone.page.reload()
    phone.until_it_understands(120)
    if at_hand:
        found = touches(phone, TOUCHES, 1)
    else:
        found = touches(phone, 1, 1.6 + seconds(SAYS, folder))
        phone.until_gone_through(120)
        found |= {name: phone.measured(name) for name in MEASURES}
    phone.close()
    shop.start()
    return found


def main() -> None:
    """Print the figures as JSON, all times in milliseconds."""
    slower = float(sys.argv[1]) if len(sys.argv) > 1 else 4.0
    folder = Path(tempfile.mkdtemp())
    shop = ShopComputer(folder / "shop")
    with sync_playwright() as playwright:
        figures = {
            "microphone not opened yet": once(shop, playwright, folder, slower, at_hand=False),
            "microphone at hand": once(shop, playwright, folder, slower, at_hand=True),
            "slower": slower,
            "shell bytes, gzip": shell_bytes(),
        }
    shop.close()
    print(json.dumps(figures, indent=1))


if __name__ == "__main__":
    main()
