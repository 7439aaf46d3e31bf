"""What follows from a push service's answer, and how long to wait before the next try. Pure."""

from __future__ import annotations

from dataclasses import dataclass

from plytally.remind.record import GONE, LATER, REFUSED, SENT
from plytally.remind.sender import Answer

FIRST_WAIT_S, LONGEST_WAIT_S = 20.0, 3600.0
MOST_RETRY_AFTER_S = 6 * 3600.0
KEY_REFUSED = "the push service refuses this shop's key: see docs/clocks.md"
ENDED = "the push service ended the subscription; the phone renews it when the app is opened"


@dataclass(frozen=True)
class Follows:
    """What is written down, and what someone has to look at ("" for nothing)."""

    what: str
    alarm: str = ""


def follows(answer: Answer) -> Follows:
    """The meaning of an answer (RFC 8030 8.4, RFC 8292 4.2): only a 2xx counts as sent."""
    status = answer.status
    if status in (200, 201, 202):
        return Follows(SENT)
    if status in (404, 410):
        return Follows(GONE, ENDED)
    if status in (401, 403):
        return Follows(LATER, KEY_REFUSED)
    if status == 0 or status in (408, 425, 429) or status >= 500:
        return Follows(LATER)
    return Follows(REFUSED, f"the push service refused a call with {status}")


def wait_s(answer: Answer, tries: int, chance: float) -> float:
    """Seconds until the next try: as asked for, else doubling, with a jitter of half; `chance` is 0 to 1."""
    doubled = min(FIRST_WAIT_S * 2.0 ** min(max(tries - 1, 0), 20), LONGEST_WAIT_S)
    if answer.status in (401, 403):
        doubled = LONGEST_WAIT_S
    asked = min(answer.retry_after_s or 0.0, MOST_RETRY_AFTER_S)
    return max(asked, doubled / 2) + chance * doubled / 2
