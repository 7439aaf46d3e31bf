"""Which phone a browser was before its storage was cleared, and what of that phone never came here.

Browsers clear the storage of a site that is not used for a week, and leave the cookies that a server set. So
pairing leaves a cookie with the phone's own name, which opens nothing; when the same browser pairs anew under
another name, it is told what this computer has of it as it was.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from flask import Response, request

from plytally.core.history import Attachment
from plytally.store.log import BuildLog
from plytally.web.phones import Phones

COOKIE, SECURE_COOKIE = "plytally-phone", "__Host-plytally-phone"
KEPT_S = 400 * 24 * 3600
"""The longest that browsers keep a cookie."""


def earlier(log: BuildLog, phones: Phones, device: str) -> dict[str, Any] | None:
    """What is here of the phone that this browser was; None if it was none, or still is the same.

    `last` is the highest number of its operations here and `gaps` the runs below it that never came;
    `media` counts sounds and photos that its notes tell of and that are not here.
    """
    known = request.cookies.get(_name(), "")
    phone = next((phone for phone in phones if phone.device == known != device), None)
    if phone is None:
        return None
    tally = log.state.devices.get(known)
    return {
        "device": known,
        "name": phone.name,
        "last_seen": phone.last_seen,
        "last": tally.last if tally else 0,
        "gaps": [list(gap) for gap in tally.gaps] if tally else [],
        "media": len({each.media for each in _attached_by(log, known) if each.media not in log.media}),
    }


def remember(response: Response, device: str) -> None:
    """Leave the phone's name in the browser."""
    response.set_cookie(
        _name(), device, max_age=KEPT_S, httponly=True, samesite="Strict", secure=request.is_secure
    )


def _name() -> str:
    return SECURE_COOKIE if request.is_secure else COOKIE


def _attached_by(log: BuildLog, device: str) -> Iterator[Attachment]:
    for logged in log.state.order:
        yield from (each for each in logged.attachments if each.device == device)
