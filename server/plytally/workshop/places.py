"""A place on the print by the words a builder uses for it."""

from __future__ import annotations

from difflib import get_close_matches

from plytally.core.entry import PLACE, Place
from plytally.core.hearing import typed
from plytally.core.schedule import Schedule
from plytally.core.understand import understand
from plytally.core.vocabulary import Vocabulary


class UnknownPlace(ValueError):
    """A place that the layup schedule does not have; the message names near ones."""


def place_named(text: str, vocabulary: Vocabulary, schedule: Schedule) -> Place:
    """The place that some words name; all of the aeroplane for none. UnknownPlace names near ones."""
    if not text.strip():
        return Place()
    meant = understand(typed(f"what is owed on {text}"), vocabulary)
    if meant.name == "owed" and "part" in meant.fields and not meant.unused:
        return Place(**{name: str(meant.fields.get(name, "")) for name in PLACE})
    if not schedule.parts:
        raise UnknownPlace("there is no layup schedule yet; give one with: plytally schedule FILE.yaml")
    parts = [words.part.name for words in vocabulary.parts]
    near = get_close_matches(text.lower(), parts, n=3, cutoff=0.4) or parts[:5]
    raise UnknownPlace(f"{text!r} is no place on the print; parts are called: {', '.join(near)}")
