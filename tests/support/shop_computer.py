"""A real shop computer on loopback: the app, the log and waitress, with the Quillwing's print."""

import hashlib
import threading
import time
from pathlib import Path

from support import patience

from plytally.clock import MachineClock
from plytally.core.wall import Wall
from plytally.store.log import BuildLog
from plytally.web.app import create_app, wired
from plytally.web.inner import Inner
from plytally.web.shop import Shop
from plytally.workshop.print_copy import print_copy
from plytally.workshop.print_shelf import PrintShelf

PRINT = Path(__file__).parents[2] / "demo_entries/quillwing.yaml"


class ShopComputer:
    """Serves until `stop`; `start` comes back on the same port. `bend` may answer in the app's place.

    `more` goes to `Shop`.
    """

    def __init__(self, folder, with_print=True, port=0, **more):
        self.more = more
        self.folder, self.port, self.bend, self.slow = folder, port, None, 0
        self.asked, self.model = [], more.get("phone_model")
        self.log = BuildLog(folder)
        if with_print:
            clock = MachineClock()
            PrintShelf(folder, self.log.documents).take(PRINT, Wall(clock.now_millis(), 0))
        self.start()

    def start(self):
        shop = Shop(self.log, print_copy=lambda: print_copy(self.log), **self.more)
        self.key = shop.local_key
        app = self.app = create_app(shop)
        self.inside = wired(app)
        self._inner = Inner(self._bent(app), self.port)
        self.port = self._inner.port
        self._thread = threading.Thread(target=self._inner.run, daemon=True)
        self._thread.start()

    def _bent(self, app):
        def answer(environ, start_response):
            self.asked.append((environ["REQUEST_METHOD"], environ["PATH_INFO"]))
            if self.slow and environ["PATH_INFO"].startswith("/api/"):
                time.sleep(self.slow)
            if self.bend and (bent := self.bend(environ, start_response, app)) is not None:
                return bent
            return app(environ, start_response)

        return answer

    @property
    def url(self):
        return f"http://127.0.0.1:{self.port}"

    def stop(self):
        self._inner.stop()
        self._thread.join()

    def close(self):
        if self._thread.is_alive():
            self.stop()
        self.log.close()

    def carrier(self):
        """What makes exports and takes imports."""
        return self.app.view_functions["carry.begin_export"].__self__.carrier

    def records(self):
        """What makes records on paper."""
        return self.app.view_functions["records.begin"].__self__.records

    def code(self):
        """A code for a phone to pair with."""
        return self.inside.codes.open()

    def lines(self):
        """The entries in the log, the first done first, as (kind, fields)."""
        return [(each.entry.kind, dict(each.entry.fields)) for each in self.log.state.order]

    def ids(self):
        """The ids in the log, in server order."""
        return [record.operation.id for record in self.log.journal.read()]

    def media(self):
        """The addresses of the sounds and photos that are here."""
        return [path.name for path in (self.folder / "media").rglob("*") if len(path.name) == 64]

    def address(self, content):
        """The address of some bytes."""
        return hashlib.sha256(content).hexdigest()

    def until(self, holds, seconds=150):
        """Wait until something is so on this side."""
        patience.until(holds, "what the shop computer waits for", seconds)

    def phone_skew(self):
        """How far the one phone's clock was ahead at its last sync, in milliseconds."""
        (phone,) = self.inside.phones
        return phone.skew_ms
