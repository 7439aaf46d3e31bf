"""The whole story, no shortcuts: from an empty folder to a record that outlives the loss of the computer.

Install, pair by what the code to scan holds, work offline in gloves, come back, sync, settle at the desk,
be called by a clock, print, back up, lose the folder, restore, verify. Each step's time is printed.
"""

import shutil
import signal
import subprocess
import time
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import parse_qs, urlsplit

import pytest
from support import patience
from support.browser_calls import CallablePhone
from support.browser_mouth import MOUTH, Mouth
from support.push_service import PushService
from support.serving import Server, run
from support.shop_asked import changes_of, trusting, waiting_to_be_heard

QUILLWING = Path(__file__).parents[2] / "demo_entries/quillwing.yaml"
PASSPHRASE = "wet layup before lunch"
TRIES = 4
NOT_HEARD = "laid three plies of bid on the rudder post aft face"
MEANT = "laid: 3 plies BID, rudder post, aft"
FORGET_THE_EAR = """caches.open("plytally-heavy").then(async (kept) => {
  for (const each of await kept.keys()) if (each.url.includes("/engine/ear-")) await kept.delete(each);
})"""  # as a browser does that runs out of room

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
def service():
    """A push service of the builder's own: no other can be reached from here."""
    with PushService() as running:
        yield running


@pytest.fixture
def relay(service):
    """The words by which the server is told of it."""
    return ("--push-relay", service.origin, "--contact", "mailto:builder@shop.example")


@pytest.fixture
def server(folder, relay):
    assert run("schedule", str(QUILLWING), folder=folder).exit_code == 0
    assert run("desk", "--passphrase", PASSPHRASE, folder=folder).exit_code == 0
    serving = Server(folder, more=relay)
    yield serving
    if serving.process.poll() is None:
        serving.end(signal.SIGKILL)


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


def photographed(phone, *names):
    """Take photos, one after the other; each is kept with the entry before it."""
    for name in names:
        before = len(phone.kept("media"))
        phone.page.get_by_label("Take a photo").set_input_files(QUILLWING.parent / "day" / name)
        patience.until(lambda before=before: len(phone.kept("media")) > before, f"{name} kept")
        phone.until_gone_through()


def answered(phone, mouth, question, words):
    """Ask until it is heard as that question; the answer is on the screen."""
    for _ in range(TRIES):
        before = len(phone.kept("operations"))
        mouth.say(phone, question)
        phone.until_gone_through()
        if words in phone.said.inner_text() and len(phone.kept("operations")) == before:
            return
        phone.leave_doubts()
    raise AssertionError(f"{question!r} was never answered: {phone.said.inner_text()}")


def settled_by_voice(phone, mouth, words, field, value):
    """Say the correction until the phone has it as one of the last entry's field."""
    for _ in range(TRIES):
        mouth.say(phone, words)
        phone.until_gone_through()
        for row in phone.kept("operations"):
            operation = row["operation"]
            if operation["act"] == "amend" and operation["body"].get("field") == field:
                assert operation["body"]["value"] == value
                return
        phone.leave_doubts()
    raise AssertionError(f"{words!r} was never taken: {phone.said.inner_text()}")


def lose_the_ear(phone):
    """Have the engine's files gone; again, where the service worker was quick enough to fetch them back."""
    told = phone.page.locator(".pages p", has_text="Hearing ").first

    def lost():
        phone.page.evaluate(FORGET_THE_EAR)
        phone.context.new_cdp_session(phone.page).send("Network.clearBrowserCache")
        phone.page.reload()
        phone.open("Shop")
        patience.until(lambda: "being loaded" not in told.inner_text(), "the engine, or why not")
        return "cannot work here" in told.inner_text()

    patience.until(lost, lambda: f"a phone that cannot hear; {told.inner_text()}", 240)


def changed(phone):
    """The fields that this phone's operations changed."""
    return {row["operation"]["body"].get("field") for row in phone.kept("operations")}


@pytest.mark.usefixtures("longer")
def test_the_whole_story(server, folder, tmp_path, phones, desk_browser, times, service, relay):
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
        assert "pot life" in phone.page.locator(".ticking").inner_text(), "the spoken cup runs its clock"

    with times("offline: two photos"):
        photographed(phone, "gauge.jpg", "hinge.jpg")

    with times("offline: two questions"):
        answered(phone, mouth, "where did i leave off", "last:")
        answered(phone, mouth, "what is still owed on the right elevator spar", "owed")

    with times("offline: one doubt settled by voice, one left"):
        doubtful = "laid nineteen plies of bid on the left elevator spar fore face"
        said_until(phone, mouth, doubtful, "laid", {"part": "elevator spar", "face": "fore"})
        settled_by_voice(phone, mouth, "make it three", "plies", 3)
        phone.leave_doubts()

    with times("offline: a clock calls, and is answered"):
        phone.leave_doubts()
        phone.write("start a timer for five seconds")
        phone.page.get_by_role("button", name="Done", exact=True).click()
        patience.until(lambda: "done" in changed(phone), "the clock's answer")

    with times("offline: the tab is closed, the engine is gone, a note is kept all the same"):
        phone.page.close()
        phone.new_page()
        lose_the_ear(phone)
        phone.open("Bench")
        mouth.say(phone, NOT_HEARD)
        phone.until_gone_through()
        assert phone.page.get_by_text("kept, not understood").is_visible()

    with times("back in the shop: everything is sent"):
        phone.context.set_offline(False)
        phone.open("Shop")
        phone.page.get_by_role("button", name="Send now").click()
        phone.until_all_there()

    with times("heard a second time, and one note differs"):
        patience.until(lambda: waiting_to_be_heard(server) == 0, "the second hearing", 600)

    with times("the app is closed: it is called by Web Push, and answered from the notification"):
        mine = CallablePhone(phone, service)
        mine.ask_to_be_called()
        phone.until("performance.getEntriesByName('mind ready').length > 0", 150)
        phone.write("start a timer for thirty seconds")
        phone.page.locator(".ticking").wait_for()
        phone.until_all_there()
        mine.close_the_app()
        (pushed,) = patience.until(lambda: service.got, lambda: f"the call; {service.wrong}", 120)
        assert service.wrong == []
        assert pushed.told["title"] == "A plytally clock is due", "the lock screen is told no more"
        entry = pushed.told["entry"]
        mine.deliver(pushed.told)
        mine.shown()
        mine.click(entry, "done")
        patience.until(lambda: ("done", "builder") in changes_of(server, entry), "the answer at the shop")
        assert ("called", "shop computer") in changes_of(server, entry)
        phone.new_page()

    with times("at the desk: that one is settled"):
        desk = desk_browser.new_page()
        desk.goto(f"{server.desk}/desk")
        desk.get_by_label("Passphrase").fill(PASSPHRASE)
        desk.keyboard.press("Enter")
        desk.set_default_timeout(90_000)
        desk.locator(".entry").filter(has_text="plain note").filter(has_text="in doubt").last.click()
        desk.get_by_role("button", name=MEANT).click()
        desk.locator(".detail h2", has_text=MEANT).wait_for()

    with times("the record on paper"):
        desk.keyboard.press("O")
        desk.get_by_role("button", name="Make the record").click()
        with desk.expect_download() as coming:
            desk.get_by_role("link", name="save the PDF").click(timeout=180_000)
        paper = coming.value.path()
        text = subprocess.run(["pdftotext", paper, "-"], capture_output=True, text=True, check=True).stdout
        assert MEANT in " ".join(text.split())
        desk.close()

    with times("a backup, and the computer is lost"):
        assert run("backup", str(tmp_path / "stick"), folder=folder).exit_code == 0
        server.end(signal.SIGKILL)
        before = run("log", folder=folder).output
        keys = shutil.copytree(folder / "keys", tmp_path / "safe")
        shutil.rmtree(folder)

    with times("restored, verified, and the phone finds it again"):
        assert run("restore", str(tmp_path / "stick"), folder=folder).exit_code == 0
        shutil.copytree(keys, folder / "keys")
        assert run("verify", folder=folder).exit_code == 0
        assert run("log", folder=folder).output == before
        again = Server(folder, ports=server.ports, more=relay)
        phone.page.reload()
        phone.open("Shop")
        phone.page.get_by_role("button", name="Send now").click()
        phone.until_all_there()
        assert again.end(signal.SIGTERM) == 0
        assert run("log", folder=folder).output == before
        assert run("verify", folder=folder).exit_code == 0
