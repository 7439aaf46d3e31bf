"""How quick the phone's app is, with the processor slowed down four times by Chromium itself.

python tests/bench/phone_bench.py [SLOWER]
"""

from __future__ import annotations

import gzip
import json
import shutil
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1]))

from support.browser_phone import FLAGS, Phone
from support.browser_voice import seconds, spoken_file
from support.shop_computer import ShopComputer

SAYS = "laid two plies bid on the right elevator spar aft face"
APP = Path(__file__).parents[2] / "server/plytally/web/app"
MEASURES = (
    "ready to record",
    "tap to recording",
    "stop to kept",
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


def main() -> None:
    """Print the figures of one cold offline start and one spoken note as JSON."""
    slower = float(sys.argv[1]) if len(sys.argv) > 1 else 4.0
    folder = Path(tempfile.mkdtemp())
    shop = ShopComputer(folder / "shop")
    flags = [*FLAGS, f"--use-file-for-fake-audio-capture={spoken_file(SAYS, folder)}%noloop"]
    with sync_playwright() as playwright:
        chromium = shutil.which("chromium") or "chromium"
        phone = Phone(playwright, chromium, folder / "phone", shop.url, flags)
        phone.pair(shop.code())
        phone.until_it_understands()
        phone.until_offline_ready()
        shop.stop()
        session = phone.context.new_cdp_session(phone.page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": slower})
        phone.page.reload()
        phone.until_it_understands(120)
        phone.speak(1.6 + seconds(SAYS, folder))
        phone.until_gone_through(120)
        figures = {name: phone.measured(name) for name in MEASURES} | {
            "slower": slower,
            "shell bytes, gzip": shell_bytes(),
            "sound, s": phone.kept("media")[0]["bytes"] / 32_000,
        }
        phone.close()
    shop.close()
    print(json.dumps(figures, indent=1))


if __name__ == "__main__":
    main()
