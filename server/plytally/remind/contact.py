"""The address that push services may complain to (RFC 8292, 2.1: it SHOULD be given): asked for once, kept.

Without one a placeholder goes out: example.org is reserved (RFC 2606), nobody reads it. Some push services
refuse such an address; the phones that this concerns are then named on the desk and in /health.
"""

from __future__ import annotations

import re

from tinydb import where

from plytally.store.documents import Documents

PLACEHOLDER = "mailto:plytally@example.org"
WITHOUT = (
    f"push services are told the placeholder {PLACEHOLDER}, which nobody reads; some refuse "
    "it, and none can tell you of trouble. Give yours with: plytally serve --contact mailto:you@…"
)
WANTED = "write it like mailto:you@your.domain or https://your.page"
MOST = 200
TABLE, NAME = "shop", "contact"
_MAIL = re.compile(r"mailto:[^\s@<>,;?]+@[^\s@<>,;?]+\.[^\s@<>,;?]+", re.IGNORECASE | re.ASCII)
_PAGE = re.compile(r"https://[^\s/<>\"]+\.[^\s<>\"]+", re.IGNORECASE | re.ASCII)


def contact_of(text: str) -> str:
    """An address as it is kept: a bare mail address gets its mailto:. ValueError says what is wrong."""
    text = text.strip()
    if re.fullmatch(r"[^\s:/]+@[^\s:/]+", text):
        text = f"mailto:{text}"
    if len(text) > MOST or not (_MAIL.fullmatch(text) or _PAGE.fullmatch(text)):
        raise ValueError(f"{text[:MOST]!r} is no address to be reached at; {WANTED}")
    return text


def kept_contact(documents: Documents) -> str | None:
    """What the builder gave: an address, "" where none was wanted, None where nobody was asked yet."""
    with documents.table(TABLE) as table:
        row = table.get(where("name") == NAME)
    return str(row["value"]) if isinstance(row, dict) else None


def keep_contact(documents: Documents, text: str) -> str:
    """Keep an address, or "" for none, durably; as it was kept. ValueError says what is wrong with it."""
    value = contact_of(text) if text.strip() else ""
    with documents.table(TABLE) as table:
        table.upsert({"name": NAME, "value": value}, where("name") == NAME)
    return value


def contact(documents: Documents) -> str:
    """What push services are told."""
    return kept_contact(documents) or PLACEHOLDER
