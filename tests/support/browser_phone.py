"""One phone: a Chromium with its own profile, touched and read as a builder would."""

import contextlib
import math
import re
import time

from playwright.sync_api import Error
from support import patience, phone_tables
from support.processes import above, browser_of, kill, processes, renderers_of

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
PATIENCE_MS = 90_000
SIZE = {"width": 390, "height": 780}
NOT_ASKED_YET = "navigator.permissions.query = async () => ({ state: 'prompt' });"


class Phone:
    """Opens the app at `url`. `page` is Playwright's; `wrong` are the errors that the page threw.

    The microphone is allowed when it is asked for, at the first touch, and what it hears begins then;
    a `warm` one was allowed before, so that the app opens it at the start. `faults` are scripts that run
    before the app's own. `quota` is how many bytes the browser allows the app in all.
    """

    def __init__(
        self,
        playwright,
        chromium,
        profile,
        url,
        flags,
        size=None,
        warm=False,
        deny=False,
        faults=(),
        quota=None,
        **how,
    ):
        self.url, self.profile, self.wrong = url, profile, []
        self.context = playwright.chromium.launch_persistent_context(
            str(profile),
            executable_path=chromium,
            headless=True,
            args=[flag for flag in flags if not (deny and "use-fake-ui" in flag)],
            viewport=size or SIZE,
            **how,
        )
        self.context.set_default_timeout(PATIENCE_MS)
        self.page = self.context.pages[0]
        if not warm:
            self.context.add_init_script(NOT_ASKED_YET)
        for fault in faults:
            self.context.add_init_script(fault)
        if quota is not None:
            self._leave(quota)
        self.page.on("pageerror", lambda problem: self.wrong.append(str(problem)))
        self.page.on("console", lambda m: m.type == "error" and self.wrong.append(m.text))
        self.page.goto(url)

    @property
    def sheet(self):
        return self.page.locator("[data-record]")

    @property
    def said(self):
        return self.page.locator(".said")

    def _leave(self, quota):
        """Chromium looks at the quota when it opens a database, and then for thirty seconds not again."""
        self._session = self.context.new_cdp_session(self.page)
        self._session.send("Storage.overrideQuotaForOrigin", {"origin": self.url, "quotaSize": quota})

    def used(self):
        """How many bytes the app has in use."""
        return self.ask("navigator.storage.estimate().then((found) => found.usage)")

    def take_photos(self, *contents):
        """Photos as they come from the camera."""
        for at, content in enumerate(contents):
            file = {"name": f"{at}.jpg", "mimeType": "image/jpeg", "buffer": content}
            self.page.get_by_label("Take a photo").set_input_files(file)

    def set_fact(self, name, value):
        """Write one of the phone's facts past the app; None takes it away."""
        self.ask(phone_tables.SET_FACT, [name, value])

    def open(self, tab):
        self.page.get_by_role("button", name=tab, exact=True).click()

    def pair(self, code):
        self.open("Shop")
        self.page.get_by_label("Code from the desk").fill(code)
        self.page.get_by_role("button", name="Pair", exact=True).click()
        self.page.get_by_text("Paired.").wait_for()
        self.open("Bench")

    def ask(self, script, given=None):
        """What the page answers, also while it is on its way to another document."""
        return patience.answer(self.page, script, given)

    def until(self, condition, seconds=90):
        """Ask until a JavaScript condition holds (wait_for_function needs eval, which the CSP denies)."""
        script = f"Promise.resolve({condition}).then(Boolean)"
        told = lambda: f"{condition}; errors: {self.wrong}"  # noqa: E731
        patience.until(lambda: self.page.evaluate(script), told, seconds)

    def until_it_understands(self, seconds=150):
        """Wait until hearing and meaning are loaded."""
        self.until("performance.getEntriesByName('ear ready').length > 0", seconds)

    def until_offline_ready(self):
        """Wait until the service worker has all that an offline start needs."""
        self.until("navigator.serviceWorker.getRegistration().then((found) => found?.active)")
        self.until("caches.open('plytally-heavy').then((c) => c.keys()).then((k) => k.length >= 15)", 150)

    def speak(self, for_seconds):
        """Touch, let the voice speak, touch again. Time goes by what has been recorded, not by a watch."""
        self.sheet.click()
        self.page.locator(".sheet.recording").wait_for()
        self.until_recorded(math.ceil(for_seconds))
        self.sheet.click()
        self.page.locator(".sheet.ready").wait_for()

    def until_recorded(self, seconds):
        """Wait until the recording under way shows so many seconds, fewer than sixty."""
        self.until(f"document.querySelector('.sheet .time').textContent >= '0:{seconds:02}'")

    def until_written(self, seconds):
        """Wait until so many seconds of the recording under way are on the medium."""

        def written():
            return any(m["stage"] == "open" and m["bytes"] >= seconds * 32_000 for m in self.kept("media"))

        patience.until(written, lambda: f"{seconds} s of sound; {self.kept('media')}; {self.wrong}")

    def until_media(self, count):
        """Wait until so many sounds and photos are kept."""
        patience.until(lambda: len(self.kept("media")) >= count, f"{count} sounds and photos")

    def until_told(self, words):
        """Wait until the page has told of something as an error, also while it is too busy to be asked."""
        patience.until(lambda: words in self.wrong or self.page.wait_for_timeout(100), words)

    def knock(self):
        """What Background Sync does when the network is back: an event for the service worker."""
        session = self.context.new_cdp_session(self.page)
        found = []
        session.on(
            "ServiceWorker.workerRegistrationUpdated", lambda event: found.extend(event["registrations"])
        )
        session.send("ServiceWorker.enable")
        ours = lambda: [each for each in found if each["scopeURL"].startswith(self.url)]  # noqa: E731
        patience.until(lambda: ours() or self.page.wait_for_timeout(100), "the service worker's registration")
        told = {"origin": self.url, "registrationId": ours()[0]["registrationId"], "lastChance": False}
        session.send("ServiceWorker.dispatchSyncEvent", told | {"tag": "plytally-outbox"})

    def clear_storage(self):
        """What a browser does to a site that was not used for a week: all is gone, but for cookies."""
        self.page.goto("about:blank")
        kinds = "indexeddb,local_storage,service_workers,cache_storage"
        session = self.context.new_cdp_session(self.page)
        session.send("Storage.clearDataForOrigin", {"origin": self.url, "storageTypes": kinds})

    def until_gone_through(self, seconds=150):
        """Wait until all that was kept has been noted and said back."""

        def told():
            return f"gone through: {self.kept('media')}; errors: {self.wrong}"

        def through():
            media = self.kept("media")
            return media and all(medium["stage"] == "noted" for medium in media)

        patience.until(through, told, seconds)
        self.until("!document.querySelector('.said .small')", seconds)

    def leave_doubts(self):
        """Leave every doubt for the desk, and answer every clock, until nothing is asked."""
        leave = self.page.get_by_role("button", name="Leave it for the desk")
        done = self.page.get_by_role("button", name="Done", exact=True)

        def nothing_asked():
            for button in (leave, done):
                if button.is_visible():
                    button.click()
            return self.page.locator(".tools").is_visible()

        patience.until(nothing_asked, lambda: f"the tools; {self.page.locator('main').inner_text()}")

    def write(self, text, kept=True):
        """Type a note and touch Keep; `kept`: it leaves the field, and waits in line from then on."""
        self.page.get_by_role("button", name="Write").click()
        self.page.get_by_label("Write a note").fill(text)
        self.page.get_by_role("button", name="Keep", exact=True).click()
        if kept:
            self.page.get_by_label("Write a note").wait_for(state="detached")

    def measured(self, name):
        """Milliseconds of the last measure of that name."""
        found = self.ask(f"performance.getEntriesByName('{name}').map((entry) => entry.duration)")
        return found[-1] if found else None

    def new_page(self):
        """Another tab of the same phone, or the next after a crash; it becomes the phone's page."""
        self.page = self.context.new_page()
        self.page.goto(self.url)
        return self.page

    def kill_renderer(self):
        """The pages' processes end at once, as when the phone runs out of memory."""
        crashed = []
        self.page.on("crash", lambda _: crashed.append(True))
        kill(renderers_of(self.profile))
        patience.until(lambda: self.context.cookies() is None or crashed, "the browser's notice of the crash")
        time.sleep(1)  # it may hold a spare process, of which it tells nobody

    def kill_browser(self):
        """The whole browser ends at once, by SIGKILL, as when the battery is pulled."""
        own = browser_of(self.profile)
        kill([own, *(pid for pid, up, _ in processes() if own in above(up))])

    def many_notes(self, count):
        """So many written notes, kept but not gone through, as a battery that ran empty leaves them."""
        self.ask(phone_tables.MANY_NOTES, count)
        self.page.reload()
        self.until_operations(count)

    def until_operations(self, count, seconds=150):
        """Wait until so many operations are kept."""
        told = lambda: f"{count} operations; {len(self.kept('operations'))} came; {self.wrong}"  # noqa: E731
        patience.until(lambda: len(self.kept("operations")) >= count, told, seconds)

    def until_all_there(self, seconds=150):
        """Wait until everything is on the shop computer."""
        self.until(
            "document.querySelector('.unsent').textContent.includes('all on the shop computer')", seconds
        )

    def kept(self, table):
        """All rows of one of the phone's tables."""
        return self.ask(phone_tables.ROWS, table)

    def stored_bytes(self, medium):
        """How many bytes lie in the pieces of one sound or photo."""
        return self.ask(phone_tables.BYTES, medium)

    def samples(self, medium):
        """The samples of one sound."""
        return self.ask(phone_tables.SAMPLES, medium)

    def unsent(self):
        text = self.page.locator(".unsent").inner_text()
        found = re.match(r"\d+", text)
        return int(found[0]) if found else 0

    def close(self):
        with contextlib.suppress(Error):
            self.context.close()
