"""Devices that make operations by a clock the test sets, and raw operations to spoil."""

import random

from plytally.core.clock import Stamp, first, observe, tick, uuid7
from plytally.core.merge import State
from plytally.core.operation import Operation
from plytally.core.wall import Wall

MORNING = 1_793_690_400_000  # 2026-11-03T07:20:00Z
LAID = {
    "kind": "laid",
    "fields": {"plies": 2, "material": "bid", "side": "right", "part": "elevator spar", "face": "aft face"},
    "said": "laid two plies bid on the right elevator spar aft face",
    "unused": [],
}
HEARING = {"engine": "sphinx", "words": [{"text": "laid", "confidence": "0.97"}]}


def note_body(entry=LAID, doubts=(), hearing=None):
    return {"entry": entry, "doubts": list(doubts), "hearing": hearing, "author": "builder"}


def doubt(field="plies", heard="2", runner_up="3"):
    return {"field": field, "heard": heard, "runner_up": runner_up, "why": "two and three sound alike here"}


class Device:
    """One phone: its own clock, numbers and stamps, and ids that depend on nothing but its name and seed."""

    def __init__(self, name="phone", now=MORNING, seed=""):
        self.name, self.now, self.number = name, now, 0
        self.stamp = first(name)
        self.random = random.Random(name + seed)

    def does(self, act, target=None, body=None, after=1000):
        """The operation for an act done `after` milliseconds from the last."""
        self.now += after
        self.number += 1
        self.stamp = tick(self.stamp, self.now)
        return Operation(
            id=uuid7(self.now, self.random.getrandbits(74)),
            device=self.name,
            number=self.number,
            stamp=self.stamp,
            wall=str(Wall(self.now, 60)),
            skew_ms=None,
            act=act,
            target=target,
            body=note_body() if body is None else body,
        )

    def notes(self, entry=LAID, doubts=(), hearing=None):
        return self.does("note", None, note_body(entry, doubts, hearing))

    def amends(self, target, field, value, over=(), act="amend", **more):
        return self.does(act, target, {"field": field, "value": value, "over": list(over), **more})

    def resolves(self, target, field, value, over=()):
        return self.amends(target, field, value, over, act="resolve")

    def withdraws(self, target, why="said by mistake", over=()):
        return self.does("withdraw", target, {"why": why, "over": list(over)})

    def attaches(self, target, media="ab" * 32):
        body = {"media": media, "mime": "audio/webm", "size": 4000, "role": "sound"}
        return self.does("attach", target, body)

    def sees(self, operation):
        stamp = operation.stamp
        self.stamp = observe(self.stamp, Stamp(stamp.millis, stamp.counter, stamp.device), self.now)


def raw_note(**changes):
    """A sound note as JSON, some of its parts replaced."""
    return Device().notes().as_json() | changes


def fold(*operations):
    """The state that these operations come to."""
    return State().with_operations(operations)


def called_act(clock, device, why):
    """What a phone or the shop computer notes when it has called for a clock."""
    body = {"field": "called", "value": f"{device} {clock.call}", "over": [], "author": "builder", "why": why}
    return {"act": "amend", "target": clock.id, "body": body}
