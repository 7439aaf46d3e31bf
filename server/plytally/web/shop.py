"""What one running server is made of: the open log, its names on the network, its clocks and keys."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from plytally.clock import Clock, MachineClock
from plytally.remind.sender import endpoint_problem
from plytally.speech.phone_model import PhoneModel
from plytally.store.log import BuildLog
from plytally.web.names import Names
from plytally.web.secret import fresh_secret
from plytally.web.tls import Authority
from plytally.workshop.bench import Bench
from plytally.workshop.desk_ways import HearsWays

NO_PRINT: Mapping[str, Any] = {"print": None, "words": {}, "resin_times": {}}
LOOPBACK = Names(("localhost",), ("127.0.0.1", "::1"))


@dataclass(frozen=True)
class Beside:
    """What runs beside the server over the same log.

    `queues` are shown by /health: how much waits in each. `hear_again` asks for an entry's recording to
    be heard once more before all others; None where nothing hears. `phone_model` is offered to phones.
    `learn_voices` says that a voice is wanted, `ways_said` finds how a word was pronounced; None likewise.
    """

    queues: Mapping[str, Callable[[], int]] = field(default_factory=dict)
    hear_again: Callable[[str], None] | None = None
    phone_model: PhoneModel | None = None
    learn_voices: Callable[[], None] | None = None
    ways_said: HearsWays | None = None


@dataclass(frozen=True)
class Shop:
    """All that `create_app` needs.

    `url` is what a phone opens, without a slash at its end. `authority` is what it must trust, None
    while only this machine is served. `local_key` opens the desk to programs of this user on this
    machine. `ticks` gives seconds that never run back. `queues` are shown by /health: how much waits
    in each. `print_copy` gives the schedule and the builder's words, for phones. `bench` understands
    what is typed at the desk, one is made where none is given. `hear_again` as in `Beside`.
    `endpoint_problem` says why messages may not go to an address that a phone gave, "" if they may.
    """

    log: BuildLog
    names: Names = LOOPBACK
    url: str = "http://localhost"
    authority: Authority | None = None
    clock: Clock = field(default_factory=MachineClock)
    ticks: Callable[[], float] = time.monotonic
    local_key: str = field(default_factory=fresh_secret)
    queues: Mapping[str, Callable[[], int]] = field(default_factory=dict)
    print_copy: Callable[[], Mapping[str, Any]] = lambda: NO_PRINT
    bench: Bench | None = None
    hear_again: Callable[[str], None] | None = None
    endpoint_problem: Callable[[str], str] = endpoint_problem
    phone_model: PhoneModel | None = None
    learn_voices: Callable[[], None] | None = None
    ways_said: HearsWays | None = None
