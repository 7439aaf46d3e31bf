"""A shop computer with the built app, and a phone: a real Chromium with a profile of its own.

Nothing is skipped: where Chromium, espeak-ng or the built app is missing, the tests fail and say so.
"""

import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from playwright.sync_api import sync_playwright
from support.browser_desk import DeskWindow
from support.browser_phone import FLAGS, Phone
from support.browser_voice import spoken_file
from support.desk_days import copied
from support.shop_computer import ShopComputer

LONGEST_S = 420
LONG = [
    *("test_whole_tour.py", "test_better_ear.py", "test_better_ear_that_fails.py", "test_your_voice.py"),
    *("test_nothing_is_lost.py", "test_calls.py", "test_screens.py", "test_network_that_fails.py"),
    *("test_storage_that_fails.py", "test_desk_handover.py", "test_desk_day.py", "test_hands_free.py"),
    *("test_speaking.py", "test_touch_and_microphone.py"),
]
"""Files that take minutes, the longest first. They are begun first, so that a run ends with short ones and no
worker waits long for the other."""
ROOT = Path(__file__).parents[2]


def pytest_collection_modifyitems(items):
    places = {name: place for place, name in enumerate(LONG)}
    items.sort(key=lambda item: places.get(item.path.name, len(LONG)))


@pytest.fixture(scope="session", autouse=True)
def built_app():
    """The app as the sources are now."""
    subprocess.run([sys.executable, str(ROOT / "hatch_build.py")], check=True, timeout=600)


@pytest.fixture
def longest():
    """How many seconds a test may take; a file may say otherwise."""
    return LONGEST_S


@pytest.fixture(autouse=True)
def ends_in_time(longest):
    """A browser that answers nothing any more must not stop the whole run."""

    def ring(*_):
        raise TimeoutError(f"the test is not done after {longest} seconds")

    before = signal.signal(signal.SIGALRM, ring)
    signal.alarm(longest)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


@pytest.fixture
def longer(ends_in_time):
    """For the one test that goes through everything."""
    signal.alarm(4 * LONGEST_S)


@pytest.fixture(scope="session")
def chromium():
    found = shutil.which("chromium")
    assert found, "chromium is not installed; on Debian: apt-get install chromium"
    return found


@pytest.fixture(scope="session")
def playwright():
    with sync_playwright() as running:
        yield running


@pytest.fixture
def shop(tmp_path):
    opened = ShopComputer(tmp_path / "shop")
    yield opened
    opened.close()


@pytest.fixture
def day_shop(made, tmp_path):
    """A shop computer with the demo's day, and with what that day knows of the print."""
    opened = ShopComputer(copied(made, tmp_path / "day"), with_print=False)
    yield opened
    opened.close()


@pytest.fixture
def phones(playwright, chromium, tmp_path):
    """Makes phones: `phones(says="laid two plies …")`; a profile named again is the same phone."""
    made = []

    def make(url, says="", profile="phone", sound=None, **how):
        flags = list(FLAGS)
        if sound := sound or (spoken_file(says, tmp_path) if says else None):
            flags.append(f"--use-file-for-fake-audio-capture={sound}%noloop")
        phone = Phone(playwright, chromium, tmp_path / profile, url, flags, **how)
        made.append(phone)
        return phone

    yield make
    for phone in made:
        phone.close()


@pytest.fixture(scope="session")
def desk_browser(playwright, chromium):
    browser = playwright.chromium.launch(executable_path=chromium, args=list(FLAGS))
    yield browser
    browser.close()


@pytest.fixture
def desks(desk_browser):
    """Makes windows at the desk: `desks(shop)`."""
    made = []

    def make(shop, **how):
        made.append(DeskWindow(desk_browser, shop, **how))
        return made[-1]

    yield make
    for window in made:
        window.close()
