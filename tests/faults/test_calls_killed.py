"""kill -9 around the time at which clocks are due: every phone is called for each, and rings once.

Twenty rounds by default; PLYTALLY_KILLS=100 for the long run. What a phone does with a call that comes twice
(it has one name) is shown by tests/browser/test_calls.py; here it is counted.
"""

import json
import os
import random
import time
from collections import Counter

from support.calls_process import CallingProcess
from support.devices import Device
from support.push_service import PushService

from plytally.clock import MachineClock
from plytally.remind.subscriptions import Subscription, Subscriptions
from plytally.store.log import BuildLog

ROUNDS = int(os.environ.get("PLYTALLY_KILLS", "20"))
PHONES = ("phone-1", "phone-2")


def subscribe(folder, service):
    """Phones that are called on loopback, which the server itself would not let a phone ask for."""
    given = service.subscription()
    with BuildLog(folder) as log:
        for device in PHONES:
            endpoint = f"{service.origin}/push/{device}"
            row = Subscription(device, endpoint, *given["keys"].values(), "", 0, detail=True)
            Subscriptions(log.documents).keep(row)


def timer(milliseconds):
    duration = {"amount": f"{milliseconds / 1000:.3f}", "unit": "s"}
    return {"kind": "clock", "fields": {"duration": duration}, "said": "", "unused": []}


def due_soon(server, token, maker, wait_ms):
    """A clock that is due so many milliseconds from now; its id."""
    maker.now = MachineClock().now_millis() - 1000
    note = maker.notes(timer(1000 + wait_ms))
    body = {"device": maker.name, "operations": [note.as_json()], "cursor": None, "now": maker.now + 1000}
    status, told = server.ask("POST", "/api/sync", body | {"limit": 1}, token=token)
    assert (status, told["kept"]) == (200, [note.id])
    return note.id


def test_every_clock_calls_every_phone_and_a_call_that_comes_twice_says_so(tmp_path):
    chance = random.Random(7)
    with PushService() as service, CallingProcess(tmp_path / "data") as server:
        server.stop()
        subscribe(tmp_path / "data", service)
        server.start()
        maker, token = Device("phone-1"), server.pair("phone-1")
        clocks = []
        for _ in range(ROUNDS):
            wait = chance.randrange(100, 500)
            clocks.append(due_soon(server, token, maker, wait))
            time.sleep(max(0.0, wait / 1000 + chance.uniform(-0.15, 0.75)))
            server.kill()
            server.start()
        until_all_noted(server, clocks)
        server.stop()
    assert service.wrong == []
    came = Counter((pushed.path.rpartition("/")[2], pushed.told["call"]) for pushed in service.got)
    assert set(came) == {(device, clock) for device in PHONES for clock in clocks}
    twice = [pushed.told for pushed in service.got if pushed.told["again"]]
    assert sum(came.values()) - len(came) <= len(twice)
    for pushed in service.got:
        late = pushed.told["sent"] - pushed.told["due"]
        assert late >= 0
        assert pushed.told["late"] == (late if late >= 60_000 else 0)


def until_all_noted(server, clocks, seconds=60):
    """Wait until each entry says that each phone was called for it."""
    end = time.monotonic() + seconds
    while (missing := not_noted(server, clocks)) and time.monotonic() < end:
        time.sleep(0.2)
    assert missing == set()


def not_noted(server, clocks):
    lines = (server.folder / "journal").glob("*.jsonl")
    text = "\n".join(path.read_text() for path in lines)
    noted = {json.dumps(f"{device} {clock}") for device in PHONES for clock in clocks}
    return {one for one in noted if one not in text}
