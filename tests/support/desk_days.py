"""The demo's day, made once and copied for each test; and a desk that asks for acts as its page does."""

import shutil
import time

from plytally.clock import fresh_id
from plytally.workshop.demo_day import make_day

DAY = "2026-03-21"


def made_day(tmp_path_factory):
    """The folder of a log with the demo's day, not to be changed."""
    folder = tmp_path_factory.mktemp("day") / "log"
    make_day(folder).close()
    return folder


def copied(made, target):
    """A copy of it to work on."""
    shutil.copytree(made, target, ignore=shutil.ignore_patterns("lock"))
    return target


class OwnProgram:
    """The desk by the local key: no passphrase has to be checked, which takes half a second each time."""

    def __init__(self, shop):
        self.shop = shop

    def ask(self, method, path, **how):
        headers = {"Authorization": f"Bearer {self.shop.shop.local_key}", **how.pop("headers", {})}
        self.shop.ticks.seconds += 1
        return self.shop.nobody.open(path, method=method, headers=headers, **how)


class DeskPage:
    """A signed-in browser's requests about days."""

    def __init__(self, browser):
        self.browser = browser

    def get(self, path):
        answer = self.browser.ask("GET", f"/api/desk/{path}")
        assert answer.status_code == 200, answer.text
        return answer.json

    def rows(self, day=DAY):
        return self.get(f"days/{day}")["entries"]

    def at(self, clock, day=DAY):
        """The whole entry of a time on the wall."""
        (row,) = [row for row in self.rows(day) if row["wall"][11:16] == clock]
        return self.get(f"entries/{row['id']}")

    def asks(self, act, *rows, key="", **more):
        body = {"key": key or fresh_id(), "act": act, **more}
        if rows:
            body["entries"] = [{"id": row["id"], "version": row["version"]} for row in rows]
        return self.browser.ask("POST", "/api/desk/acts", json=body)

    def does(self, act, *rows, **more):
        answer = self.asks(act, *rows, **more)
        assert answer.status_code == 200, answer.text
        return answer.json


def until(condition, seconds=60):
    """Wait until something holds."""
    end = time.monotonic() + seconds
    while not condition():
        assert time.monotonic() < end, "it never came"
        time.sleep(0.1)
