"""How the doubts of an entry can be answered, and the value that each answer gives."""

from __future__ import annotations

from dataclasses import dataclass

from plytally.core.body import KIND
from plytally.core.desk.typed_value import TypedValueError, told, typed_value
from plytally.core.entry import FIELDS, KINDS, Doubt, Entry, FieldValue
from plytally.core.hearing import typed
from plytally.core.history import Change, Logged, same
from plytally.core.standing import SEVERAL
from plytally.core.understand import understand
from plytally.core.vocabulary import Vocabulary

HEARD, RUNNER_UP = "heard", "runner_up"
_AS_IT_STANDS = {"order": "it was done in this order", "unused": "leave these words out"}


class AnswerError(ValueError):
    """An answer that this doubt cannot have; the message says which it can."""


@dataclass(frozen=True)
class Choice:
    """One answer to a doubt: its name, and the value as a person reads it."""

    name: str
    told: str


@dataclass(frozen=True)
class Asked:
    """A doubt with the answers it can have. `in_words`: whether a value may also be typed."""

    doubt: Doubt
    choices: tuple[Choice, ...]
    in_words: bool


def doubts_asked(logged: Logged) -> tuple[Asked, ...]:
    """The open doubts of an entry, one for each field, the first that was raised."""
    first: dict[str, Doubt] = {}
    for doubt in sorted(logged.entry.doubts, key=lambda each: each.why != SEVERAL):
        first.setdefault(doubt.field, doubt)
    return tuple(
        Asked(doubt, tuple(_choices(logged, doubt)), _in_words(logged, doubt)) for doubt in first.values()
    )


def _choices(logged: Logged, doubt: Doubt) -> list[Choice]:
    name = doubt.field
    standing = name in logged.entry.fields or name not in FIELDS
    shown = told(logged.shown(name)) if name in FIELDS else _AS_IT_STANDS.get(name, doubt.heard)
    choices = [Choice(HEARD, shown)] if standing else []
    if doubt.runner_up and doubt.runner_up != doubt.heard and name != "order":
        choices.append(Choice(RUNNER_UP, doubt.runner_up))
    return choices


def _in_words(logged: Logged, doubt: Doubt) -> bool:
    return doubt.field in KINDS[logged.entry.kind].fields


def value_heard(logged: Logged, field: str) -> FieldValue | None:
    """The value that counts when a doubt is answered with "as it stands". AnswerError if there is none."""
    if field in FIELDS and field not in logged.entry.fields:
        raise AnswerError(f"{field} has no value that could be accepted; type the right one")
    return logged.shown(field)


def other_value(
    logged: Logged, doubt: Doubt, vocabulary: Vocabulary, again: Entry | None
) -> FieldValue | None:
    """The value of a doubt's runner-up: of the other change, of the second hearing, or as if it were said.

    `again` is the entry as the shop computer heard it. AnswerError if the runner-up gives no value.
    """
    if doubt.why == SEVERAL:
        return other_standing(logged, doubt.field).value
    if again is not None and again.kind == logged.entry.kind and doubt.field in again.fields:
        value = again.fields[doubt.field]
        if told(value) == doubt.runner_up:
            return value
    return _as_if_said(logged.entry, doubt, vocabulary)


def other_standing(logged: Logged, field: str) -> Change:
    """The latest standing value of a field that is not the one shown. AnswerError if there is none."""
    heads = logged.standing.get(field, ())
    other = next((head for head in reversed(heads) if not same(head, heads[-1])), None)
    if other is None:
        raise AnswerError(f"{field} has one value only; there is nothing to choose")
    return other


def _as_if_said(entry: Entry, doubt: Doubt, vocabulary: Vocabulary) -> FieldValue | None:
    if doubt.heard and doubt.heard in entry.said:
        meant = understand(typed(entry.said.replace(doubt.heard, doubt.runner_up, 1)), vocabulary)
        if meant.name == entry.kind and doubt.field in meant.fields:
            return meant.fields[doubt.field]
    if doubt.runner_up in {"nothing", "not said"} or doubt.field == KIND:
        return None
    try:
        return typed_value(doubt.field, doubt.runner_up, entry, vocabulary).value
    except TypedValueError as problem:
        raise AnswerError(
            f"{doubt.runner_up!r} gives no value for {doubt.field}; type it: {problem}"
        ) from problem
