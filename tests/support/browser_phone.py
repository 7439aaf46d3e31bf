"""One phone: a Chromium with its own profile, touched and read as a builder would."""

import contextlib
import os
import re
import signal
import time
from pathlib import Path

from playwright.sync_api import Error

FLAGS = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--use-fake-ui-for-media-stream",
    "--use-fake-device-for-media-stream",
    "--autoplay-policy=no-user-gesture-required",
)
SIZE = {"width": 390, "height": 780}
NOT_ASKED_YET = "navigator.permissions.query = async () => ({ state: 'prompt' });"


class Phone:
    """Opens the app at `url`. `page` is Playwright's; `wrong` are the errors that the page threw.

    The microphone is allowed when it is asked for, at the first touch, and what it hears begins then;
    a `warm` one was allowed before, so that the app opens it at the start.
    """

    def __init__(self, playwright, chromium, profile, url, flags, size=None, warm=False, deny=False, **how):
        self.url, self.profile, self.wrong = url, profile, []
        self.context = playwright.chromium.launch_persistent_context(
            str(profile),
            executable_path=chromium,
            headless=True,
            args=[flag for flag in flags if not (deny and "use-fake-ui" in flag)],
            viewport=size or SIZE,
            **how,
        )
        self.context.set_default_timeout(20_000)
        self.page = self.context.pages[0]
        if not warm:
            self.context.add_init_script(NOT_ASKED_YET)
        self.page.on("pageerror", lambda problem: self.wrong.append(str(problem)))
        self.page.on("console", lambda m: m.type == "error" and self.wrong.append(m.text))
        self.page.goto(url)

    @property
    def sheet(self):
        return self.page.locator("[data-record]")

    @property
    def said(self):
        return self.page.locator(".said")

    def open(self, tab):
        self.page.get_by_role("button", name=tab, exact=True).click()

    def pair(self, code):
        self.open("Shop")
        self.page.get_by_label("Code from the desk").fill(code)
        self.page.get_by_role("button", name="Pair", exact=True).click()
        self.page.get_by_text("Paired.").wait_for()
        self.open("Bench")

    def until_it_understands(self, seconds=60):
        """Wait until hearing and meaning are loaded."""
        self.until("performance.getEntriesByName('ear ready').length > 0", seconds)

    def until(self, condition, seconds=30):
        """Ask until a JavaScript condition holds (wait_for_function needs eval, which the CSP denies)."""
        end = time.monotonic() + seconds
        while not self.page.evaluate(f"Promise.resolve({condition}).then(Boolean)"):
            assert time.monotonic() < end, f"never came: {condition}; errors: {self.wrong}"
            time.sleep(0.1)

    def until_offline_ready(self):
        """Wait until the service worker has all that an offline start needs."""
        self.page.evaluate("navigator.serviceWorker.ready.then(() => true)")
        self.until("caches.open('plytally-heavy').then((c) => c.keys()).then((k) => k.length >= 14)", 90)

    def speak(self, for_seconds):
        """Touch, let the voice speak, touch again."""
        self.sheet.click()
        self.page.locator(".sheet.recording").wait_for()
        time.sleep(for_seconds)
        self.sheet.click()
        self.page.locator(".sheet.ready").wait_for()

    def until_gone_through(self, seconds=40):
        """Wait until every sound and photo that was kept has been noted."""
        end = time.monotonic() + seconds
        while not (media := self.kept("media")) or any(m["stage"] != "noted" for m in media):
            assert time.monotonic() < end, f"not gone through: {media}; errors: {self.wrong}"
            time.sleep(0.2)

    def write(self, text):
        self.page.get_by_role("button", name="Write").click()
        self.page.get_by_label("Write a note").fill(text)
        self.page.get_by_role("button", name="Keep").click()

    def measured(self, name):
        """Milliseconds of the last measure of that name."""
        found = self.page.evaluate(f"performance.getEntriesByName('{name}').map((entry) => entry.duration)")
        return found[-1] if found else None

    def new_page(self):
        """Another tab of the same phone, or the next after a crash; it becomes the phone's page."""
        self.page = self.context.new_page()
        self.page.goto(self.url)
        return self.page

    def kill_renderer(self):
        """The pages' processes end at once, as when the phone runs out of memory."""
        own = self._browser()
        for pid, parent, words in _processes():
            if "--type=renderer" in words and own in _above(parent):
                os.kill(pid, signal.SIGKILL)
        time.sleep(0.5)

    def kill_browser(self):
        """The whole browser ends at once, by SIGKILL, as when the battery is pulled."""
        os.kill(self._browser(), signal.SIGKILL)
        time.sleep(0.5)

    def _browser(self):
        mark = f"--user-data-dir={self.profile}"
        (pid,) = [pid for pid, _, words in _processes() if mark in words and "--type=" not in words]
        return pid

    def storage_of(self, more):
        """Leave only so many bytes of storage."""
        session = self.context.new_cdp_session(self.page)
        used = self.page.evaluate("navigator.storage.estimate().then((found) => found.usage)")
        session.send("Storage.overrideQuotaForOrigin", {"origin": self.url, "quotaSize": int(used + more)})
        self._quota = session

    def many_notes(self, count):
        """So many written notes, kept but not gone through, as a battery that ran empty leaves them."""
        self.page.evaluate(
            """(count) => new Promise((done, fail) => {
              const opening = indexedDB.open("plytally");
              opening.onsuccess = () => {
                const tx = opening.result.transaction("facts", "readwrite");
                for (let at = 0; at < count; at++) {
                  const id = `0000-${String(at).padStart(6, "0")}`;
                  const text = `note that this is number ${at}`;
                  tx.objectStore("facts").put({ id, text, millis: Date.now() }, `written ${id}`);
                }
                tx.oncomplete = () => { opening.result.close(); done(); };
                tx.onabort = () => fail(tx.error);
              };
            })""",
            count,
        )
        self.page.reload()
        self.until_operations(count)

    def until_operations(self, count, seconds=60):
        """Wait until so many operations are kept."""
        end = time.monotonic() + seconds
        while len(self.kept("operations")) < count:
            assert time.monotonic() < end, f"{len(self.kept('operations'))} of {count}; {self.wrong}"
            time.sleep(0.2)

    def kept(self, table):
        """All rows of one of the phone's tables."""
        return self.page.evaluate(
            """(table) => new Promise((done, fail) => {
              const opening = indexedDB.open("plytally");
              opening.onerror = () => fail(opening.error);
              opening.onsuccess = () => {
                const rows = opening.result.transaction(table).objectStore(table).getAll();
                rows.onsuccess = () => {
                  opening.result.close();
                  done(JSON.parse(JSON.stringify(rows.result)));
                };
              };
            })""",
            table,
        )

    def stored_bytes(self, medium):
        """How many bytes lie in the pieces of one sound or photo."""
        return self.page.evaluate(
            """(id) => new Promise((done, fail) => {
              const opening = indexedDB.open("plytally");
              opening.onerror = () => fail(opening.error);
              opening.onsuccess = () => {
                const range = IDBKeyRange.bound([id, 0], [id, 1e6]);
                const rows = opening.result.transaction("pieces").objectStore("pieces").getAll(range);
                rows.onsuccess = () => {
                  opening.result.close();
                  done(rows.result.reduce((sum, piece) => sum + piece.byteLength, 0));
                };
              };
            })""",
            medium,
        )

    def unsent(self):
        text = self.page.locator(".unsent").inner_text()
        found = re.match(r"\d+", text)
        return int(found[0]) if found else 0

    def close(self):
        with contextlib.suppress(Error):
            self.context.close()


def _processes():
    """Every process as (pid, its parent's pid, its command line)."""
    for entry in Path("/proc").iterdir():
        if entry.name.isdecimal():
            with contextlib.suppress(OSError):
                words = (entry / "cmdline").read_bytes().replace(b"\0", b" ").decode("utf-8", "replace")
                parent = (entry / "stat").read_text().rpartition(")")[2].split()[1]
                yield int(entry.name), int(parent), words


def _above(pid):
    """A process and all above it."""
    while pid > 1:
        yield pid
        try:
            pid = int(Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[1])
        except OSError:
            return
