"""`plytally serve`: opens the log, serves the desk on this machine, and phones on the network if asked.

    desk     http://127.0.0.1:8470     this machine only
    phones   https://NAME:8443         with --lan

A stop (SIGTERM, Ctrl-C) takes no more requests, answers those begun, then closes the log.
"""

from __future__ import annotations

import json
import os
import signal
import threading
from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, ExitStack, contextmanager, nullcontext
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, TypeVar

import structlog

from plytally.clock import Clock, MachineClock
from plytally.remind.sender import endpoint_problem
from plytally.store.disk import RealDisk, replace_file
from plytally.store.log import BuildLog
from plytally.web import logs
from plytally.web.app import Wired, create_app, wired
from plytally.web.door import Door
from plytally.web.inner import Inner, Peers
from plytally.web.names import Names, best_host, checked, in_url, machine_names
from plytally.web.serving_file import SERVING
from plytally.web.shop import LOOPBACK, NO_PRINT, Beside, Shop
from plytally.web.tls import Authority, TlsError, authority, ensure_leaf, outside, server_context
from plytally.workshop.bench import Bench
from plytally.workshop.finding import Finder

DESK_PORT, PHONE_PORT = 8470, 8443
log = structlog.get_logger(__name__)


T = TypeVar("T")


RunBeside = Callable[[Bench], AbstractContextManager[Beside]]


class ServeError(Exception):
    """The server cannot start; the message says why and what to do."""


@dataclass(frozen=True)
class Plan:
    """How to serve. `name` is the builder's own name for this machine, for certificate and phones.

    `lan_host` is the address to listen on for phones; ports of 0 take free ones. `beside` runs with the
    server over the same log and bench. `endpoint_problem` is as in `Shop`.
    """

    folder: Path
    desk_port: int = DESK_PORT
    lan: bool = False
    name: str | None = None
    lan_host: str = "0.0.0.0"  # noqa: S104 - only with --lan, and only TLS
    lan_port: int = PHONE_PORT
    clock: Clock = field(default_factory=MachineClock)
    print_copy: Callable[[BuildLog], Mapping[str, Any]] = lambda _log: NO_PRINT
    beside: RunBeside = field(default=lambda _bench: nullcontext(Beside()))
    endpoint_problem: Callable[[str], str] = endpoint_problem


@dataclass(frozen=True)
class Running:
    """A server that listens: what to show to the builder."""

    shop: Shop
    inside: Wired
    desk_url: str
    remarks: tuple[str, ...]


def serve(plan: Plan, ready: Callable[[Running], None]) -> None:
    """Serve until SIGTERM or SIGINT; `ready` is called once both doors listen.

    Raises StoreLocked if another process has the log, ServeError or TlsError if it cannot listen.
    """
    logs.configure()
    with ExitStack() as stack:
        build_log = stack.enter_context(BuildLog(plan.folder, plan.clock))
        peers: dict[int, str] = {}
        keys = _keys(plan) if plan.lan else None
        door = stack.enter_context(_door(plan, keys, peers)) if keys else None
        bench = Bench(build_log, plan.clock)
        shop = _shop(plan, bench, keys, door, stack.enter_context(plan.beside(bench)))
        app = create_app(shop)
        inner = _listening(
            f"127.0.0.1:{plan.desk_port}", "--port", lambda: Inner(Peers(app, peers), plan.desk_port)
        )
        desk_url = f"http://127.0.0.1:{inner.port}"
        stack.enter_context(_told(plan.folder, desk_url, shop))
        stack.callback(inner.close)
        stack.enter_context(_on_signals(inner.stop))
        stack.enter_context(_index_made(wired(app).finder))
        if door:
            door.open(inner.port)
        log.info("serving", desk_port=inner.port, lan_port=door.port if door else None)
        ready(Running(shop, wired(app), desk_url, build_log.remarks))
        inner.run(begin_stop=door.shut if door else None)
        log.info("stopped")


@dataclass(frozen=True)
class _Keys:
    """The authority, the names it vouches for, and the leaf's folder."""

    folder: Path
    signer: Authority
    names: Names
    host: str

    def renew(self, clock: Clock) -> bool:
        """Make the leaf anew if that is due."""
        return ensure_leaf(self.folder, self.signer, self.names, _now(clock))


def _keys(plan: Plan) -> _Keys:
    folder, names = plan.folder / "keys", machine_names(plan.name)
    signer = authority(folder, names, _now(plan.clock))
    beyond = set(outside(signer, names))
    if plan.name and checked(plan.name) in beyond:
        raise TlsError(
            f"the shop's authority was made without {plan.name!r} and may not vouch for it: take a name that "
            f"ends in .local or .lan, or move {folder} away so that a new one is made, which every "
            "phone must then trust anew"
        )
    names = Names(
        tuple(name for name in names.dns if name not in beyond),
        tuple(address for address in names.addresses if address not in beyond),
    )
    return _Keys(folder, signer, names, best_host(names, plan.name))


@contextmanager
def _door(plan: Plan, keys: _Keys, peers: dict[int, str]) -> Iterator[Door]:
    keys.renew(plan.clock)
    context = server_context(keys.folder)

    def renewed() -> bool:
        made = keys.renew(plan.clock)
        if made:
            context.load_cert_chain(keys.folder / "leaf.pem", keys.folder / "leaf.key")
        return made

    where = f"{plan.lan_host}:{plan.lan_port}"
    door = _listening(
        where, "--lan-port", lambda: Door(context, peers, renewed, plan.lan_host, plan.lan_port)
    )
    try:
        yield door
    finally:
        door.close()


def _shop(plan: Plan, bench: Bench, keys: _Keys | None, door: Door | None, beside: Beside) -> Shop:
    shop = Shop(
        bench.log,
        clock=plan.clock,
        queues=beside.queues,
        print_copy=lambda: plan.print_copy(bench.log),
        bench=bench,
        hear_again=beside.hear_again,
        phone_model=beside.phone_model,
        learn_voices=beside.learn_voices,
        ways_said=beside.ways_said,
        endpoint_problem=plan.endpoint_problem,
    )
    if keys is None or door is None:
        return shop
    names = Names((*keys.names.dns, *LOOPBACK.dns), (*keys.names.addresses, *LOOPBACK.addresses))
    return replace(shop, names=names, url=f"https://{in_url(keys.host)}:{door.port}", authority=keys.signer)


def _listening(where: str, option: str, make: Callable[[], T]) -> T:
    try:
        return make()
    except OSError as problem:
        raise ServeError(
            f"cannot listen on {where}: {problem.strerror or problem}. Is another server running? "
            f"Stop it, or choose another port with {option}"
        ) from problem


@contextmanager
def _told(folder: Path, desk_url: str, shop: Shop) -> Iterator[None]:
    """While serving, tell this user's other programs where and with which key; nobody else may read it."""
    path = folder / SERVING
    told = {"pid": os.getpid(), "desk": desk_url, "phones": shop.url, "key": shop.local_key}
    replace_file(RealDisk(), path, json.dumps(told).encode("ascii"))
    try:
        yield
    finally:
        path.unlink(missing_ok=True)


@contextmanager
def _index_made(finder: Finder) -> Iterator[None]:
    """Let the index for finding be made beside the first answers; a stop cuts it short."""
    maker = threading.Thread(target=finder.make_ready, name="index", daemon=True)
    maker.start()
    try:
        yield
    finally:
        finder.close()
        maker.join()


@contextmanager
def _on_signals(stop: Callable[[], None]) -> Iterator[None]:
    """Let SIGTERM and Ctrl-C stop the server while it serves."""
    before = {number: signal.getsignal(number) for number in (signal.SIGTERM, signal.SIGINT)}
    for number in before:
        signal.signal(number, lambda *_: stop())
    try:
        yield
    finally:
        for number, handler in before.items():
            signal.signal(number, handler)


def _now(clock: Clock) -> datetime:
    return datetime.fromtimestamp(clock.now_millis() / 1000, UTC)
