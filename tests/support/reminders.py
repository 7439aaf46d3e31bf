"""A log with its reminders, a wall clock that the test turns, and a sender that keeps what it is given."""

import json
import random

from support.devices import MORNING

from plytally.core.entry import Entry
from plytally.core.quantities import parse_quantity
from plytally.remind.scheduler import Reminders
from plytally.remind.sender import Answer
from plytally.remind.subscriptions import Subscription, Subscriptions
from plytally.store.log import BuildLog

MIN, H, DAY = 60_000, 3_600_000, 86_400_000


class Wheel:
    """A wall clock and a run of seconds that the test turns; the local offset follows `changes`."""

    def __init__(self, millis=MORNING, changes=()):
        self.millis, self.ticks, self.changes = millis, 0.0, changes
        self.chance = random.Random(7)

    def now_millis(self):
        return self.millis

    def offset_min(self):
        passed = [offset for begins, offset in self.changes if begins <= self.millis]
        return passed[-1] if passed else -300

    def random_bits(self):
        return self.chance.getrandbits(74)

    def passes(self, millis):
        self.millis += millis
        self.ticks += millis / 1000


class Postbox:
    """A sender that keeps what it is given and answers as scripted, then 201."""

    def __init__(self):
        self.sent, self.answers = [], []

    def send(self, to, message, kind, call):
        answer = self.answers.pop(0) if self.answers else Answer(201)
        if isinstance(answer, Exception):
            raise answer
        self.sent.append((to.device, json.loads(message), answer.status))
        return answer

    def calls(self, device="phone-1"):
        """The names of the calls that reached a device."""
        return [told["call"] for to, told, status in self.sent if to == device and status == 201]


class Shop:
    """One log with its reminders; `restart` is a new process over the same folder."""

    def __init__(self, folder, wheel=None):
        self.folder, self.wheel, self.box = folder, wheel or Wheel(), Postbox()
        self.open()

    def open(self):
        self.log = BuildLog(self.folder, self.wheel)
        self.reminders = Reminders(
            self.log, self.box, clock=self.wheel, ticks=lambda: self.wheel.ticks, chance=lambda: 0.5
        )
        self.subscriptions = Subscriptions(self.log.documents)

    def restart(self):
        self.log.close()
        self.open()

    def subscribe(self, device="phone-1", **choice):
        row = Subscription(device, f"https://push.example.net/{device}", "p", "a", "k", self.wheel.millis)
        self.subscriptions.keep(Subscription(**{**row.__dict__, **choice}))

    def timer(self, minutes=20, clock="timer"):
        fields = {"duration": parse_quantity(f"{minutes} min")}
        return self.log.record(Entry("clock", fields | ({"clock": clock} if clock != "timer" else {}))).id

    def called(self, entry):
        """(device, why) of each call in the log."""
        history = self.log.entry(entry).history("called")
        return [(str(change.value).split(" ")[0], change.why) for change in history]
