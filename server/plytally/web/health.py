"""Whether this server can do its work: real checks, each asked when the page is.

Everybody may know whether it is well; numbers are for phones and the desk.
"""

from __future__ import annotations

import shutil
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from flask import Blueprint, Response, jsonify

from plytally.core.operation import GENESIS
from plytally.remind.subscriptions import Subscriptions
from plytally.store.errors import StoreError
from plytally.web.access import NOBODY, caller
from plytally.web.allowance import FLOOR_BYTES
from plytally.web.shop import Shop
from plytally.web.uploads import Uploads

Found = tuple[bool, dict[str, Any]]


@dataclass(frozen=True)
class Health:
    """The route of health."""

    shop: Shop
    uploads: Uploads

    def health(self) -> tuple[Response, int]:
        """200 and `well`, or 503 and `ailing`, with every check."""
        found = {name: check(self) for name, check in CHECKS.items()}
        well = all(good for good, _ in found.values())
        checks: dict[str, Any] = {
            name: {"well": good} | ({} if caller() == NOBODY else told)
            for name, (good, told) in found.items()
        }
        return jsonify(status="well" if well else "ailing", checks=checks), 200 if well else 503

    def log(self) -> Found:
        """The log takes operations, and its last line is still what was written."""
        journal = self.shop.log.journal
        head = journal.head
        try:
            last = next(journal.read(head.seq - 1, 1), None) if head.seq else None
        except (StoreError, OSError):
            last = None
        sound = head.hash == (last.hash if last else GENESIS)
        return sound and not journal.broken, {"epoch": journal.epoch, "seq": head.seq, "head": head.hash}

    def disk(self) -> Found:
        """There is room for more."""
        free = shutil.disk_usage(self.shop.log.folder).free
        return free > FLOOR_BYTES, {"free_bytes": free, "reserve_bytes": FLOOR_BYTES}

    def queues(self) -> Found:
        """How much waits to be finished: uploads, and what else the server works through.

        Not counted for strangers, who are not told: a count looks at every entry.
        """
        if caller() == NOBODY:
            return True, {}
        lengths = {name: length() for name, length in self.shop.queues.items()}
        return True, {"uploads": len(self.uploads), "quarantined": self.uploads.quarantined, **lengths}

    def calls(self) -> Found:
        """No push service refuses this shop's calls; which phone that concerns is for the desk."""
        alarms = Subscriptions(self.shop.log.documents).alarms()
        return not alarms, {"alarms": alarms}


CHECKS: Mapping[str, Callable[[Health], Found]] = {
    "log": Health.log,
    "disk": Health.disk,
    "queues": Health.queues,
    "calls": Health.calls,
}


def blueprint(shop: Shop, uploads: Uploads) -> Blueprint:
    """The route, bound to one shop."""
    pages = Blueprint("health", __name__)
    pages.add_url_rule("/health", "health", Health(shop, uploads).health)
    return pages
