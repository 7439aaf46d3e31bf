"""How a doubt is answered on the phone: which changes that makes, and which value some words have there."""

from __future__ import annotations

from collections.abc import Sequence

from plytally.core.clock_acts import due_again, due_meant, due_said, zone_then
from plytally.core.correcting import CorrectionError, correction
from plytally.core.doubting import KIND
from plytally.core.entry import Doubt, Entry, FieldValue
from plytally.core.hearing import typed
from plytally.core.history import Logged
from plytally.core.replies import Json, acts, change
from plytally.core.understand import understand
from plytally.core.vocabulary import Vocabulary


def settled(
    logged: Logged, field: str, choice: str, vocabulary: Vocabulary, changes: Sequence[Sequence[int]] = ()
) -> Json:
    """The acts by which a doubt is answered: `choice` is "heard", "runner_up", or words in its place."""
    none = Doubt(field, "", "", "")
    doubt = next((each for each in logged.entry.doubts if each.field == field), none)
    if choice == "heard":
        return acts([change(logged, "resolve", field, logged.shown(field))])
    text = doubt.runner_up if choice == "runner_up" else choice
    zone = zone_then(logged, changes)[1]
    value = (
        due_meant(logged, text, zone) or due_said(logged, text, zone)
        if field == "due"
        else value_said(logged.entry, doubt, text, vocabulary)
    )
    if value is None:
        why = "scratch it and say it again" if field == KIND else f"{text!r} does not fit {field}"
        return {"acts": [], "lines": [f"{why}; nothing is changed"]}
    made = [change(logged, "resolve", field, value, text)]
    if field == "at":
        made.append(change(logged, "resolve", "due", due_again(logged, value, zone), text))
    return acts(made)


def value_said(entry: Entry, doubt: Doubt, text: str, vocabulary: Vocabulary) -> FieldValue | None:
    """The value of the doubted field had `text` been said there; None where it fits nothing."""
    if doubt.heard and doubt.heard in entry.said:
        meant = understand(typed(entry.said.replace(doubt.heard, text, 1)), vocabulary)
        if meant.name == entry.kind and doubt.field in meant.fields:
            return meant.fields[doubt.field]
    meant = understand(typed(f"make it {text}"), vocabulary)
    try:
        return correction(entry, [doubt.field], meant.fields).get(doubt.field)
    except CorrectionError:
        return None
