"""Each picture in docs/screens is shown by a doc; each that a doc shows is there, and can be taken anew."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
SCREENS = ROOT / "docs/screens"
PAGES = [ROOT / "README.md", *sorted((ROOT / "docs").glob("*.md")), *sorted(ROOT.glob("*/README.md"))]
SHOWN = {name for page in PAGES for name in re.findall(r"screens/([a-z0-9-]+)\.png", page.read_text())}
TAKERS = [ROOT / "tests/bench" / name for name in ("take_screens.py", "take_desk_screens.py")]


def test_every_picture_is_shown_by_a_page_and_every_one_shown_is_there():
    assert {picture.stem for picture in SCREENS.iterdir()} == SHOWN


def test_every_picture_is_one_that_the_command_takes_anew():
    text = "".join(taker.read_text() for taker in TAKERS)
    taken = {name for name in re.findall(r'take\("([a-z-]+)"', text)} | {"log", "sums", "shop"}
    assert {re.sub(r"-(phone|desk)-(light|dark)$", "", name) for name in SHOWN} <= taken
