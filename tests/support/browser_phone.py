"""One phone: a Chromium with its own profile, touched and read as a builder would."""

import re
import time

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

    def __init__(self, playwright, chromium, profile, url, flags, size=None, warm=False, **how):
        self.url, self.wrong = url, []
        self.context = playwright.chromium.launch_persistent_context(
            str(profile),
            executable_path=chromium,
            headless=True,
            args=flags,
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

    def unsent(self):
        text = self.page.locator(".unsent").inner_text()
        found = re.match(r"\d+", text)
        return int(found[0]) if found else 0

    def close(self):
        self.context.close()
