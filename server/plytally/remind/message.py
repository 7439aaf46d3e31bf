"""What a call carries to the phone: which clock, for when, how late, and no private word unless allowed."""

from __future__ import annotations

import json

from plytally.core.clock_lines import PLAIN_CALL, call_told, span_told
from plytally.core.clocks import LATE_MS, Running

MOST_TEXT = 200


def message(clock: Running, now: int, *, detail: bool, again: bool) -> bytes:
    """The JSON that the phone's service worker reads; it is encrypted on its way, and shown on a lock screen.

    `again`: nobody knows whether this call was sent before. `over` lets the phone answer "done" or "later"
    without its log at hand.
    """
    late = max(0, now - (clock.due or now))
    told = {
        "call": clock.call,
        "entry": clock.id,
        "due": clock.due,
        "sent": now,
        "title": call_told(clock)[:MOST_TEXT] if detail else PLAIN_CALL,
        "body": f"{span_told(late)} late" if late >= LATE_MS else "",
        "late": late if late >= LATE_MS else 0,
        "again": again,
        "over": {name: list(heads) for name, heads in clock.over.items()},
    }
    return json.dumps(told, separators=(",", ":")).encode("utf-8")
