"""The whole story, no shortcuts: from an empty folder to a record that outlives the loss of the computer.

Install, pair by what the code to scan holds, work offline in gloves, come back, sync, settle at the desk,
be called by a clock, print, back up, lose the folder, restore, verify. Each step's time is printed.
"""

import signal
import subprocess
import time
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from support.browser_mouth import MOUTH, Mouth
from support.serving import Server, run

QUILLWING = Path(__file__).parents[2] / "demo_entries/quillwing.yaml"
TRIES = 4

# What is said at the bench, with its kind and the fields that must come out.
LAYUP = [
    ("started work on the right elevator spar", "started", {"part": "elevator spar"}),
    ("shop air seventy two degrees and fifty five percent", "shop_air", {}),
    ("mixed eighty grams of epoxy at four to one", "mixed", {}),
    ("laid three plies of bid on the right elevator spar fore face", "laid", {"plies": 3, "face": "fore"}),
    ("laid two plies of bid on the right elevator spar aft face", "laid", {"plies": 2, "face": "aft"}),
    ("bagged the right elevator spar", "bagged", {"part": "elevator spar"}),
    ("vacuum twenty two inches on the right elevator spar", "vacuum", {}),
    ("laid one ply of bid on the left elevator spar aft face", "laid", {"plies": 1, "side": "left"}),
    ("peel ply off the left elevator spar", "peeled", {"side": "left"}),
    ("sanded the left elevator spar", "sanded", {"side": "left"}),
    ("stopped work", "stopped", {}),
]


@pytest.fixture
def times():
    taken = []

    @contextmanager
    def step(name):
        begun = time.monotonic()
        yield
        taken.append((name, time.monotonic() - begun))

    yield step
    print("\n" + "\n".join(f"{seconds:7.1f} s  {name}" for name, seconds in taken))


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "shop"


@pytest.fixture
def server(folder):
    assert run("schedule", str(QUILLWING), folder=folder).exit_code == 0
    assert run("desk", "--passphrase", "wet layup before lunch", folder=folder).exit_code == 0
    serving = Server(folder)
    yield serving
    if serving.process.poll() is None:
        serving.end(signal.SIGKILL)


def trusting(home, authority):
    """A home folder whose browser trusts the shop's authority, as the install page tells a builder to."""
    store = home / ".pki/nssdb"
    store.mkdir(parents=True)
    for words in (["-N", "--empty-password"], ["-A", "-n", "shop", "-t", "C,,", "-i", str(authority)]):
        subprocess.run(["certutil", "-d", f"sql:{store}", *words], check=True, timeout=60)
    return {"HOME": str(home)}


def said_until(phone, mouth, text, kind, fields):
    """Say it; where it comes out otherwise, scratch it and say it again, as a builder would."""
    for _ in range(TRIES):
        before = len(phone.kept("operations"))
        mouth.say(phone, text)
        phone.until_gone_through()
        made = [row["operation"] for row in phone.kept("operations")]
        made = sorted(made, key=lambda each: each["number"])[before:]
        entries = [each["body"]["entry"] for each in made if each["act"] == "note"]
        if entries and entries[0]["kind"] == kind and fields.items() <= entries[0]["fields"].items():
            return made
        phone.leave_doubts()
        if entries:
            phone.write("scratch that")
            phone.until_operations(before + len(made) + 1)
    raise AssertionError(f"{text!r} never came out as {kind}: {made}")


@pytest.mark.usefixtures("longer")
def test_the_whole_story(server, folder, tmp_path, phones, times):
    invitation = urlsplit(server.invitation)
    app = f"{invitation.scheme}://{invitation.netloc}"
    mouth = Mouth(tmp_path)

    with times("install, and pair by what the code holds"):
        env = trusting(tmp_path / "home", server.authority)
        phone = phones(app, env=env, faults=[MOUTH])
        code = parse_qs(invitation.fragment)["code"][0]
        phone.page.goto(f"{app}/install#{invitation.fragment}")
        assert phone.page.locator("#code").inner_text() == code
        assert phone.page.locator("#differs").is_hidden()
        phone.page.goto(app)
        phone.pair(code)
        phone.until("document.querySelector('.beside, .pages')?.textContent.includes('print revision')", 150)
        phone.until_it_understands()
        phone.until_offline_ready()

    with times("offline: a layup is spoken"):
        phone.context.set_offline(True)
        for text, kind, fields in LAYUP:
            said_until(phone, mouth, text, kind, fields)
            phone.leave_doubts()
