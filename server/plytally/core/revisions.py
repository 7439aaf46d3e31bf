"""Two revisions of a print: what differs between them, in the trade's words.

    changed: step E4 of the elevator spar: 2 plies become 3

A part, face, station or step is the same one if it has the same name; a new name is a new thing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar

from plytally.core.names import Name
from plytally.core.resin_systems import Resin, written
from plytally.core.schedule import Alternate, Material, Part, Schedule, Step
from plytally.core.telling import step_told

ADDED, REMOVED, CHANGED = "added", "removed", "changed"


@dataclass(frozen=True)
class Change:
    """One difference: what became of what, and how; `steps` are the ids of the steps it is about."""

    kind: str
    what: str
    how: str = ""
    steps: tuple[str, ...] = ()

    def __str__(self) -> str:
        """The difference on one line: "changed: step E4 of the elevator spar: 2 plies become 3"."""
        return f"{self.kind}: {self.what}" + (f": {self.how}" if self.how else "")


T = TypeVar("T", Material, Resin, Name)


def changes(old: Schedule, new: Schedule) -> tuple[Change, ...]:
    """Give every difference, the print's own first, then materials, names, and parts with their steps."""
    return (
        *_texts("the print", old, new, {"aircraft": "aircraft", "revision": "revision", "note": "note"}),
        *_materials(old.materials, new.materials),
        *_resins(old.resins, new.resins),
        *_names("orientation", old.orientations, new.orientations),
        *_names("item", old.items, new.items),
        *_parts(old, new),
    )


def changes_told(changed: Sequence[Change]) -> tuple[str, ...]:
    """Give the differences as lines; one line where there is none."""
    return tuple(map(str, changed)) or ("the print says the same as before.",)


def _parts(old: Schedule, new: Schedule) -> Iterator[Change]:
    was, now = {part.name: part for part in old.parts}, {part.name: part for part in new.parts}
    moved = _moved(old, new)
    for name in dict.fromkeys((*was, *now)):
        before, after = was.get(name), now.get(name)
        if before and after:
            yield from _part(before, after, moved)
        elif part := before or after:
            ids = tuple(step.id for step in part.steps)
            number = f"{len(ids)} step{'s' * (len(ids) != 1)}"
            yield Change(ADDED if after else REMOVED, f"part {name}", f"with {number}" if ids else "", ids)


def _moved(old: Schedule, new: Schedule) -> Mapping[str, str]:
    """Steps that now belong to another part, by id: the part they came from."""
    was = {step.id: part.name for part in old.parts for step in part.steps}
    now = {step.id: part.name for part in new.parts for step in part.steps}
    return {step_id: was[step_id] for step_id in now if step_id in was and was[step_id] != now[step_id]}


def _part(old: Part, new: Part, moved: Mapping[str, str]) -> Iterator[Change]:
    what = f"the {new.name}"
    yield from _lists(what, old, new, {"sides": "side"})
    for field in ("face", "feature", "station"):
        yield from _names(f"{field} of {what}", getattr(old, f"{field}s"), getattr(new, f"{field}s"))
    yield from _texts(what, old, new, {"drawing": "drawing", "manual": "manual", "note": "note"})
    was, now = {step.id: step for step in old.steps}, {step.id: step for step in new.steps}
    for step_id in dict.fromkeys((*was, *now)):
        before, after = was.get(step_id), now.get(step_id)
        name = f"step {step_id} of {what}"
        if before and after:
            for change in _step(name, before, after):
                yield Change(change.kind, change.what, change.how, (step_id,))
        elif after:
            came = f", which was of the {moved[step_id]}" if step_id in moved else ""
            yield Change(ADDED, name, step_told(after) + came, (step_id,))
        elif before:
            yield Change(REMOVED, name, step_told(before), (step_id,))


def _step(what: str, old: Step, new: Step) -> Iterator[Change]:
    if old.is_layup and new.is_layup and old.plies != new.plies:
        yield Change(CHANGED, what, f"{_plies(old.plies)} become {new.plies}")
    elif old.plies != new.plies:
        yield Change(CHANGED, what, f"was {step_told(old)}, is now {step_told(new)}")
    texts = ("material", "orientation", "face", "feature", "do", "item")
    if old.is_layup == new.is_layup:
        yield from _texts(what, old, new, {name: name for name in texts})
    yield from _lists(what, old, new, {"stations": "station", "after": "step to wait for"})
    yield from _lists(what, old, new, {"disturbs": "step it would spoil"})
    yield from _alternates(what, old.instead, new.instead)
    yield from _texts(what, old, new, {name: name for name in ("drawing", "manual", "revision", "note")})


def _alternates(what: str, old: Sequence[Alternate], new: Sequence[Alternate]) -> Iterator[Change]:
    was, now = {o.material: o.because for o in old}, {n.material: n.because for n in new}
    for name in dict.fromkeys((*was, *now)):
        if name not in was:
            yield Change(CHANGED, what, f"{name} may be laid instead, because: {now[name]}")
        elif name not in now:
            yield Change(CHANGED, what, f"{name} may no longer be laid instead")
        elif was[name] != now[name]:
            yield Change(CHANGED, what, f"the reason for {name} becomes: {now[name]}")


def _materials(old: Sequence[Material], new: Sequence[Material]) -> Iterator[Change]:
    fields = {"thickness": "thickness", "areal_weight": "areal weight", "cure": "cure", "note": "note"}
    yield from _each("material", old, new, lambda what, a, b: _texts(what, a, b, fields))


def _resins(old: Sequence[Resin], new: Sequence[Resin]) -> Iterator[Change]:
    yield from _each("resin", old, new, _resin)


def _resin(what: str, old: Resin, new: Resin) -> Iterator[Change]:
    was, now = dict(written(old)), dict(written(new))
    for name, text in now.items():
        if name != "said as" and text != was[name]:
            told = ", ".join(text) if isinstance(text, tuple) else text
            yield Change(CHANGED, what, f"{name} becomes {told}" if told else f"{name} is taken out")


def _names(kind: str, old: Sequence[Name], new: Sequence[Name]) -> Iterator[Change]:
    yield from _each(kind, old, new, lambda _what, _old, _new: iter(()))


def _each(
    kind: str, old: Sequence[T], new: Sequence[T], compared: Callable[[str, T, T], Iterator[Change]]
) -> Iterator[Change]:
    """Things with a name: gone, come, said in another way, or different otherwise."""
    was: dict[str, T] = {each.name: each for each in old}
    now: dict[str, T] = {each.name: each for each in new}
    first, _, rest = kind.partition(" of ")
    for name in dict.fromkeys((*was, *now)):
        what = f"{first} {name}" + (f" of {rest}" if rest else "")
        if name not in was or name not in now:
            yield Change(ADDED if name in now else REMOVED, what)
            continue
        yield from compared(what, was[name], now[name])
        if _said(was[name]) != _said(now[name]):
            yield Change(CHANGED, what, f"is said as: {', '.join(_said(now[name])) or name}")


def _said(thing: Material | Resin | Name) -> tuple[str, ...]:
    return thing.said_as


def _texts(what: str, old: object, new: object, fields: Mapping[str, str]) -> Iterator[Change]:
    for field, label in fields.items():
        was, now = getattr(old, field), getattr(new, field)
        if was != now:
            yield Change(CHANGED, what, _became(label, was, now))


def _became(label: str, was: object, now: object) -> str:
    if not was:
        return f"{label} is now {now}"
    return f"{label} {was} becomes {now}" if now else f"{label} {was} is gone"


def _lists(what: str, old: object, new: object, fields: Mapping[str, str]) -> Iterator[Change]:
    for field, label in fields.items():
        was, now = getattr(old, field), getattr(new, field)
        if set(was) != set(now):
            told = [f"{label} {name} is new" for name in now if name not in was]
            told += [f"{label} {name} is gone" for name in was if name not in now]
            yield Change(CHANGED, what, "; ".join(told))


def _plies(number: int) -> str:
    return "1 ply" if number == 1 else f"{number} plies"
