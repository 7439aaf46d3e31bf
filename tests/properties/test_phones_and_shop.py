"""Three phones and the shop computer: no network, lost replies, repeats, restarts, clocks that jump."""

import shutil
import tempfile
from pathlib import Path

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule
from support.clocks import SetClock
from support.devices import LAID, MORNING, Device, doubt

from plytally.core.entry import Entry
from plytally.core.merge import State
from plytally.store.log import BuildLog
from plytally.store.verify import verify

PHONES = st.integers(0, 2)
CHOICES = st.integers(0, 999)
DECADE_MS = 10 * 365 * 86_400_000
JUMPS = st.integers(-DECADE_MS, DECADE_MS)
PAGE = 3


class Phone:
    """A device with what it knows, what it has not brought to the shop yet, and how far it has read there."""

    def __init__(self, name):
        self.device, self.state, self.outbox, self.cursor = Device(name), State(), [], 0

    def does(self, operation):
        self.outbox.append(operation)
        self.state = self.state.with_operations([operation])

    def reads(self, records):
        for record in records:
            self.device.sees(record.operation)
            self.state = self.state.with_operations([record.operation], record.received_millis)
            self.cursor = record.seq


class PhonesAndShop(RuleBasedStateMachine):
    def __init__(self):
        super().__init__()
        self.folder = Path(tempfile.mkdtemp())
        self.clock = SetClock()
        self.log = BuildLog(self.folder, self.clock)
        self.phones = [Phone(name) for name in ("blue", "red", "grey")]
        self.made, self.acknowledged, self.head = set(), set(), 0

    def keep(self, phone, operation):
        self.made.add(operation.id)
        phone.does(operation)

    @rule(which=PHONES, doubtful=st.booleans())
    def note(self, which, doubtful):
        phone = self.phones[which]
        self.keep(phone, phone.device.notes(LAID, [doubt()] * doubtful))

    @rule(which=PHONES, choice=CHOICES, value=st.integers(1, 4))
    def amend(self, which, choice, value):
        phone = self.phones[which]
        if phone.state.entries:
            logged = phone.state.order[choice % len(phone.state.entries)]
            self.keep(phone, phone.device.amends(logged.id, "plies", value, logged.heads("plies")))

    @rule(which=PHONES, choice=CHOICES)
    def withdraw(self, which, choice):
        phone = self.phones[which]
        if phone.state.entries:
            logged = phone.state.order[choice % len(phone.state.entries)]
            self.keep(phone, phone.device.withdraws(logged.id, over=logged.heads("withdrawn")))

    @rule()
    def record_in_the_shop(self):
        self.made.add(self.log.record(Entry("laid", LAID["fields"])).id)

    @rule(which=PHONES, reply_lost=st.booleans())
    def sync(self, which, reply_lost):
        phone = self.phones[which]
        told = self.log.receive([operation.as_json() for operation in phone.outbox], phone.device.name)
        assert told.refused == ()
        self.acknowledged |= {operation.id for operation in phone.outbox}
        if not reply_lost:
            phone.outbox = []
            phone.reads(self.log.journal.read(phone.cursor, PAGE))

    @rule(which=PHONES, by=JUMPS)
    def phone_clock_jumps(self, which, by):
        self.phones[which].device.now = max(0, self.phones[which].device.now + by)

    @rule(by=JUMPS)
    def shop_clock_jumps(self, by):
        self.clock.now = max(MORNING - DECADE_MS, self.clock.now + by)

    @rule()
    def shop_restarts(self):
        self.log.close()
        self.log = BuildLog(self.folder, self.clock)

    @invariant()
    def nothing_acknowledged_is_lost_and_the_log_only_grows(self):
        assert all(self.log.journal.find(name) for name in self.acknowledged)
        assert self.log.journal.head.seq >= self.head
        self.head = self.log.journal.head.seq

    def teardown(self):
        try:
            for phone in self.phones * 2:
                self.sync(self.phones.index(phone), reply_lost=False)
                phone.reads(self.log.journal.read(phone.cursor))
            spelt = self.log.state.to_bytes()
            assert [phone.state.to_bytes() == spelt for phone in self.phones] == [True] * 3
            assert {record.operation.id for record in self.log.journal.read()} == self.made
            assert verify(self.folder).sound
            assert all(tally.gaps == () == tally.twice for tally in self.log.state.devices.values())
        finally:
            self.log.close()
            shutil.rmtree(self.folder)


PhonesAndShop.TestCase.settings = settings(max_examples=30, stateful_step_count=30, deadline=None)
TestPhonesAndShop = PhonesAndShop.TestCase
