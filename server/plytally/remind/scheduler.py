"""Calls each phone once for each clock that is due, whatever happens to this process and its clock.

What is due is worked out from the log, whom to call from the documents, and what was done from the record
of calls; nothing is queued in memory, so nothing is lost with it. Per call: write down that it begins, send,
write down what came of it, note it in the log. Killed between two of these, the next start takes it up:

    begun, no outcome       sent again, marked; the phone rings once for both
    sent, not in the log    noted in the log, not sent again

The wall clock may jump either way: a clock is due when it shows its time, and a call that was sent is sent
for good. Waits after a failure are counted in seconds that never run back.
"""

from __future__ import annotations

import random
import threading
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass

import structlog

from plytally.clock import Clock, MachineClock
from plytally.core.clock_lines import span_told
from plytally.core.clocks import LATE_MS, ClockBook, Running
from plytally.core.merge import State
from plytally.core.pot_life import ResinTimes
from plytally.remind.message import message
from plytally.remind.record import GONE, SENT, CallRecord
from plytally.remind.rules import follows, wait_s
from plytally.remind.sender import NO_ANSWER, Answer, PushSender
from plytally.remind.subscriptions import Subscription, Subscriptions
from plytally.steady import Steady
from plytally.store.errors import StoreError
from plytally.store.log import BuildLog

LOOK_EVERY_S = 0.5
MOST_AT_ONCE = 50
"""Calls in one round; what is over waits for the next, the first due first."""

REST_MS = 5_000
"""How long the choice of a phone, or the end of its quiet hours, may wait to be seen."""

AUTHOR = "shop computer"
log = structlog.get_logger(__name__)


@dataclass(frozen=True)
class Call:
    """One phone to be called for one clock."""

    clock: Running
    to: Subscription


class Reminders:
    """The calls of one log. One thread works; `round` may be called instead of starting it."""

    def __init__(
        self,
        build_log: BuildLog,
        sender: PushSender,
        times: Callable[[], ResinTimes] = ResinTimes,
        clock: Clock | None = None,
        ticks: Callable[[], float] = time.monotonic,
        chance: Callable[[], float] = random.random,
    ) -> None:
        self._log, self._sender, self._clock = build_log, sender, clock or MachineClock()
        self._ticks, self._chance = ticks, chance
        self._mutex, self._book, self._state = threading.Lock(), ClockBook(), State()
        self._times = times
        self._subscriptions = Subscriptions(build_log.documents)
        self._record = CallRecord(build_log.folder)
        self._not_before: dict[str, float] = {}
        self._nothing = (0, 0, 0)  # at this length of the log nothing is to be done from then until then
        self._steady = Steady("calls", self._work, LOOK_EVERY_S)

    def running(self) -> tuple[Running, ...]:
        """The clocks that run now, up to date with the log."""
        with self._mutex:
            state, earlier = self._log.state, self._state
            self._book.use(self._times())
            self._book.take(state.changed_since(earlier))
            self._state = state
            return self._book.running(self._clock.now_millis())

    def planned(self) -> Iterator[Call]:
        """The calls that are to be made now, the first due first."""
        now = self._clock.now_millis()
        return (call for call in self._possible(now) if self._is_open(call, now))

    def waiting(self) -> int:
        """How many calls are due and not through, for /health."""
        return sum(1 for _ in self.planned())

    def round(self) -> int:
        """Make the calls that are due; how many were tried."""
        self._mend()
        tried = 0
        for call in self.planned():
            if self._steady.closing or tried >= MOST_AT_ONCE:
                break
            if self._ticks() >= self._not_before.get(call.to.device, 0.0):
                self._make(call)
                tried += 1
        return tried

    def start(self) -> None:
        """Work in a thread until `close`."""
        self._steady.start()

    def nudge(self) -> None:
        """Say that something may have changed."""
        self._steady.nudge()

    def close(self) -> None:
        """Finish the call that is being made, and stop."""
        self._steady.close()

    def _work(self) -> bool:
        try:
            self._look()
        except StoreError as problem:
            log.error("calls_stopped", problem=type(problem).__name__)
        except Exception as problem:  # whatever one call does to a library, the next clock must ring
            log.error("call_failed", problem=type(problem).__name__)
        return False  # what is due next is looked for after a rest, never in a spin

    def _look(self) -> None:
        """A round, unless nothing can have changed since the last one that found nothing to do."""
        now, seq = self._clock.now_millis(), self._log.journal.head.seq
        if self._nothing[0] == seq and self._nothing[1] <= now < self._nothing[2]:
            return
        if self.round() or self.waiting():
            self._nothing = (0, 0, 0)
            return
        ahead = [clock.due for clock in self.running() if clock.due is not None and clock.due > now]
        self._nothing = (seq, now, min([now + REST_MS, *ahead]))

    def _possible(self, now: int) -> Iterator[Call]:
        """Each phone that wants it, for each clock that is due and that it has not called for."""
        due = [clock for clock in self.running() if clock.is_due(now) and not clock.lapsed(now)]
        rows = list(self._subscriptions) if due else []
        for clock in due:
            for row in rows:
                late_comer = clock.due is None or clock.due < row.since
                if not late_comer and row.wants(clock.kind.name) and not clock.called_on(row.device):
                    yield Call(clock, row)

    def _mend(self) -> None:
        """Note in the log what was sent when the process ended before it could."""
        for call in self._possible(self._clock.now_millis()):
            tried = self._record.of(call.to.device, call.clock.call)
            if tried is not None and tried.what == SENT:
                self._note(call.clock, call.to.device, tried.at)

    def _is_open(self, call: Call, now: int) -> bool:
        row, clock = call.to, call.clock
        tried = self._record.of(row.device, clock.call)
        if tried is not None and tried.is_over:
            return False
        minute = (now // 60_000 + self._clock.offset_min()) % (24 * 60)
        return clock.kind.pressing or not row.is_quiet(minute)

    def _make(self, call: Call) -> None:
        clock, row, now = call.clock, call.to, self._clock.now_millis()
        before = self._record.of(row.device, clock.call)
        again = before is not None and before.was_cut
        self._record.begin(row.device, clock.call, clock.id, clock.due or now, now)
        answer = self._sent(call, message(clock, now, detail=row.detail, again=again))
        self._settle(call, answer, now)

    def _sent(self, call: Call, words: bytes) -> Answer:
        try:
            return self._sender.send(call.to, words, call.clock.kind, call.clock.call)
        except Exception as problem:
            log.error("push_failed", problem=type(problem).__name__)
            return Answer(NO_ANSWER, why=type(problem).__name__)

    def _settle(self, call: Call, answer: Answer, began: int) -> None:
        clock, row, after = call.clock, call.to, follows(answer)
        self._record.end(after.what, row.device, clock.call, began, answer.status, answer.why)
        log.info("called", kind=clock.kind.name, outcome=after.what, status=answer.status)
        if after.what == SENT:
            self._not_before.pop(row.device, None)
            self._subscriptions.alarm(row.device, "")
            self._note(clock, row.device, began)
            return
        if after.what == GONE:
            self._subscriptions.ended(row.device, row.endpoint, after.alarm)
            return
        if after.alarm:
            self._subscriptions.alarm(row.device, after.alarm)
        tried = self._record.of(row.device, clock.call)
        wait = wait_s(answer, tried.tries if tried else 1, self._chance())
        self._not_before[row.device] = self._ticks() + wait

    def _note(self, clock: Running, device: str, at: int) -> None:
        """Let the entry say that this phone was called, and how late."""
        late = at - (clock.due or at)
        why = "called by Web Push" + (f", {span_told(late)} late" if late >= LATE_MS else "")
        self._log.amend(clock.id, "called", f"{device} {clock.call}", author=AUTHOR, why=why)
