"""What a phone needs to understand its builder without the network: the print and the builder's own words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plytally.store.documents import Documents
from plytally.store.log import BuildLog
from plytally.workshop.print_shelf import PrintShelf


def print_copy(log: BuildLog) -> Mapping[str, Any]:
    """The schedule that counts now as plain JSON (None while there is none), and the words by list."""
    schedule = PrintShelf(log.folder, log.documents).current()
    return {"print": schedule.as_json() if schedule.parts else None, "words": own_words(log.documents)}


def own_words(documents: Documents) -> dict[str, dict[str, list[str]]]:
    """The builder's own words by list, as `Vocabulary.with_words` takes them."""
    words: dict[str, dict[str, list[str]]] = {}
    with documents.table("words") as table:
        for row in table.all():
            words.setdefault(row["list"], {})[row["name"]] = row["said_as"]
    return words
