"""What the log must hold after a person at the desk has judged an entry: plans of operations, none made yet.

Each operation's id is worked out from the request and from what the operation is about, so that the same
request asked twice plans the same operations, and one that was cut short is finished by asking again.

    accepted    a resolve of no field: `over` names every operation that the person saw
    came_from   a resolve of no field: the ids of the entries that a split or joined one was made from
    taught      a resolve of no field: the list to which the word belongs that this note tells of
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace

from plytally.core.body import KIND, WITHDRAWN, change_body
from plytally.core.desk.answers import (
    HEARD,
    RUNNER_UP,
    AnswerError,
    Asked,
    doubts_asked,
    other_value,
    value_heard,
)
from plytally.core.desk.asker import ACCEPTED as ACCEPTED
from plytally.core.desk.asker import CAME_FROM as CAME_FROM
from plytally.core.desk.asker import Act as Act
from plytally.core.desk.asker import Asker as Asker
from plytally.core.desk.due_times import due_of, due_typed
from plytally.core.desk.typed_value import typed_value
from plytally.core.doubting import doubts_of_fields
from plytally.core.entry import FIELDS, Doubt, Entry, FieldValue
from plytally.core.history import Change, Logged
from plytally.core.standing import SEVERAL
from plytally.core.vocabulary import Vocabulary

YES = "yes"
SOURCE = "source"
"""The role of a sound that an entry was not spoken in, but made from by a split or join."""


class ActError(ValueError):
    """Something that cannot be done to this entry now; the message says why and what can."""


def version(logged: Logged) -> str:
    """What an entry is made of now, in 16 hex digits: another one says that something came since."""
    return hashlib.sha256("\n".join(_all_of(logged)).encode("ascii")).hexdigest()[:16]


def accepted(logged: Logged) -> Change | None:
    """The acceptance that holds: no change or photo came since that its giver had not seen."""
    for change in reversed(logged.standing.get(ACCEPTED, ())):
        unseen = set(_all_of(logged)) - set(change.over) - _acceptances(logged)
        if change.value == YES and not unseen:
            return change
    return None


def accept(asker: Asker, logged: Logged) -> list[Act]:
    """Say that an entry is right as it stands. ActError while a doubt is open, or where it is withdrawn."""
    if logged.withdrawn is not None:
        raise ActError("this entry is withdrawn; bring it back before you accept it")
    if logged.entry.doubts:
        raise ActError(f"{logged.entry.doubts[0].field} is still in doubt: answer that first")
    if accepted(logged) is not None:
        return []
    body = {"field": ACCEPTED, "value": YES, "over": _all_of(logged), "author": asker.author, "why": ""}
    return [Act(asker.id(logged.id, ACCEPTED), "resolve", logged.id, body)]


def answer(
    asker: Asker,
    logged: Logged,
    name: str,
    choice: str,
    words: str,
    vocabulary: Vocabulary,
    again: Entry | None,
) -> list[Act]:
    """Settle the doubt about a field: as it stands ("heard"), the runner-up, or what is typed ("words").

    ActError, AnswerError or TypedValueError say why that cannot be.
    """
    asked = next((each for each in doubts_asked(logged) if each.doubt.field == name), None)
    if asked is None:
        raise ActError(f"{name} of this entry is not in doubt any more; look at it again")
    if choice == HEARD:
        return [_change(asker, logged, "resolve", name, value_heard(logged, name))]
    if choice == RUNNER_UP:
        return _runner_up(asker, logged, asked, vocabulary, again)
    if name not in FIELDS:
        raise AnswerError(f"{name} is no field that a value could be typed for")
    return correct(asker, logged, name, words, vocabulary)


def _runner_up(
    asker: Asker, logged: Logged, asked: Asked, vocabulary: Vocabulary, again: Entry | None
) -> list[Act]:
    name = asked.doubt.field
    if RUNNER_UP not in [each.name for each in asked.choices]:
        raise AnswerError(f"the doubt about {name} has no second candidate; type the right value")
    if name == KIND:
        if again is None:
            raise AnswerError("the second hearing of this entry is not here any more; type what was said")
        return reword(asker, logged, again, "as the shop computer heard it")
    if name == "due" and asked.doubt.why != SEVERAL:
        return correct(asker, logged, name, asked.doubt.runner_up, vocabulary)
    value = other_value(logged, asked.doubt, vocabulary, again)
    return [_change(asker, logged, "resolve", name, value), *_due_anew(asker, logged, name, value)]


def settle(asker: Asker, logged: Logged, name: str, operation: str) -> list[Act]:
    """Choose one of the values that stand for a field. ActError if that is none of them."""
    chosen = next((c for c in logged.standing.get(name, ()) if c.operation == operation), None)
    if chosen is None:
        raise ActError(f"this is none of the values that stand for {name}; look at the entry again")
    return [_change(asker, logged, "resolve", name, chosen.value)]


def correct(asker: Asker, logged: Logged, name: str, words: str, vocabulary: Vocabulary) -> list[Act]:
    """Give a field the value that is typed, "" to take it out. An unusual amount is asked about once more."""
    if name == "due" and words.strip() and logged.entry.kind == "clock":
        return [_change(asker, logged, _act(logged, name), name, due_typed(logged, words, asker.changes))]
    value = typed_value(name, words, logged.entry, vocabulary).value
    fields = {each: was for each, was in logged.entry.fields.items() if each != name}
    if value is not None:
        fields[name] = value
    raised = doubts_of_fields(logged.entry.kind, fields, vocabulary)
    doubts = [doubt for doubt in raised if doubt.field == name and doubt.heard]
    changed = _change(asker, logged, _act(logged, name), name, value, doubts=doubts)
    return [changed, *_due_anew(asker, logged, name, value)]


def _act(logged: Logged, name: str) -> str:
    return "resolve" if any(doubt.field == name for doubt in logged.entry.doubts) else "amend"


def _due_anew(asker: Asker, logged: Logged, name: str, value: FieldValue | None) -> Iterator[Act]:
    """A clock with another time of day is due then."""
    if name == "at":
        due = due_of(logged, value, asker.changes)
        yield _change(asker, logged, _act(logged, "due"), "due", due)


def reword(asker: Asker, logged: Logged, meant: Entry, why: str) -> list[Act]:
    """Let an entry say something else altogether: kind, every field, and the doubts of the new words."""
    acts = [] if meant.kind == logged.entry.kind else [_change(asker, logged, "amend", KIND, meant.kind, why)]
    for name in dict.fromkeys((*logged.entry.fields, *meant.fields)):
        own = [doubt for doubt in meant.doubts if doubt.field == name]
        if meant.fields.get(name) != logged.entry.fields.get(name) or own:
            acts.append(_change(asker, logged, "amend", name, meant.fields.get(name), why, own))
    done = {act.body["field"] for act in acts}
    for doubt in meant.doubts:
        if doubt.field not in done:
            done.add(doubt.field)
            acts.append(
                _change(
                    asker,
                    logged,
                    "amend" if doubt.field in FIELDS else "resolve",
                    doubt.field,
                    None,
                    why,
                    [doubt],
                )
            )
    for doubt in logged.entry.doubts:
        if doubt.field not in done:
            done.add(doubt.field)
            acts.append(_change(asker, logged, "resolve", doubt.field, meant.fields.get(doubt.field), why))
    return acts


def withdraw(asker: Asker, logged: Logged, why: str) -> list[Act]:
    """Say that an entry should not count. ActError if it is withdrawn already."""
    if logged.withdrawn is not None:
        raise ActError("this entry is withdrawn already")
    over = list(logged.heads(WITHDRAWN))
    body = {"why": why, "over": over, "author": asker.author}
    return [Act(asker.id(logged.id, WITHDRAWN), "withdraw", logged.id, body)]


def bring_back(asker: Asker, logged: Logged, why: str) -> list[Act]:
    """Let a withdrawn entry count again. ActError if it counts."""
    if logged.withdrawn is None:
        raise ActError("this entry counts; there is nothing to bring back")
    return [_change(asker, logged, "amend", WITHDRAWN, None, why)]


def note(asker: Asker, meant: Entry, wall: str = "") -> list[Act]:
    """A new entry, typed at the desk; `wall` is when the work was, now if empty."""
    return [_note(asker, "note", meant, wall)]


def split(asker: Asker, logged: Logged, parts: Sequence[Entry]) -> list[Act]:
    """Make several entries of one, each at its time and with its sound and photos; the one is withdrawn."""
    lines = "; ".join(meant.said for meant in parts)
    return [*_made_from(asker, [logged], parts, "split"), *withdraw(asker, logged, f"split into: {lines}")]


def join(asker: Asker, several: Sequence[Logged], meant: Entry) -> list[Act]:
    """Make one entry of several, at the time of the first and with all their sounds and photos."""
    made = _made_from(asker, several, [meant], "joined")
    why = f"joined into: {meant.said}"
    return [*made, *(act for logged in several for act in withdraw(asker, logged, why))]


def _made_from(asker: Asker, several: Sequence[Logged], parts: Sequence[Entry], how: str) -> Iterator[Act]:
    for number, meant in enumerate(parts):
        made = _note(asker, f"note {number}", meant, several[0].wall)
        yield made
        origin = " ".join(logged.id for logged in several)
        body = {"field": CAME_FROM, "value": origin, "over": [], "author": asker.author, "why": how}
        yield Act(asker.id(made.id, CAME_FROM), "resolve", made.id, body)
        for logged in several:
            for attached in logged.attachments:
                yield Act(
                    asker.id(made.id, attached.operation),
                    "attach",
                    made.id,
                    {
                        "media": attached.media,
                        "mime": attached.mime,
                        "size": attached.size,
                        "role": SOURCE if attached.role == "sound" else attached.role,
                        "name": attached.name,
                        "author": asker.author,
                        "why": how,
                    },
                )


def _note(asker: Asker, about: str, meant: Entry, wall: str) -> Act:
    body = {
        "entry": replace(meant, doubts=()).as_json(),
        "doubts": [doubt.as_json() for doubt in meant.doubts],
        "hearing": None,
        "author": asker.author,
    }
    return Act(asker.id(about), "note", None, body, wall)


def _change(
    asker: Asker,
    logged: Logged,
    act: str,
    name: str,
    value: FieldValue | None,
    why: str = "",
    doubts: Iterable[Doubt] = (),
) -> Act:
    body = change_body(name, value, logged.heads(name), author=asker.author, why=why, doubts=doubts)
    return Act(asker.id(logged.id, name), act, logged.id, body)


def _all_of(logged: Logged) -> list[str]:
    """Every operation that an entry is made of, in an order that depends on nothing else."""
    changes = (change.operation for change in logged.changes)
    return sorted({logged.id, *changes, *(each.operation for each in logged.attachments)})


def _acceptances(logged: Logged) -> set[str]:
    return {change.operation for change in logged.changes if change.field == ACCEPTED}
