"""A browser's page made slower, and what it uses: of its own process, by what the kernel says.

Chromium's own slow-down reaches only the page and refuses workers, in which all hearing and meaning is done.
So the whole process is held still for most of each fiftieth of a second.
"""

from __future__ import annotations

import os
import signal
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from support.browser_phone import Phone
from support.processes import renderers_of

TURN_S = 0.02


@contextmanager
def slowed(pid: int, rate: float) -> Iterator[None]:
    """Let the process run for one part in `rate` of the time; 1 leaves it alone."""
    if rate <= 1:
        yield
        return
    over = threading.Event()
    holder = threading.Thread(target=_hold, args=(pid, rate, over), daemon=True)
    holder.start()
    try:
        yield
    finally:
        over.set()
        holder.join()


def _hold(pid: int, rate: float, over: threading.Event) -> None:
    """By the processor time that it took: on a busy machine it may not run when it could."""
    begun, taken = time.monotonic(), cpu_seconds(pid)
    while not over.is_set():
        allowed = (time.monotonic() - begun) / rate
        ahead = cpu_seconds(pid) - taken > allowed
        os.kill(pid, signal.SIGSTOP if ahead else signal.SIGCONT)
        time.sleep(TURN_S / 4)
        if not ahead and allowed - (cpu_seconds(pid) - taken) > TURN_S:
            begun, taken = time.monotonic(), cpu_seconds(pid)  # it was idle: what it left is no credit
    os.kill(pid, signal.SIGCONT)


def renderer(phone: Phone) -> int:
    """The process of a phone's page and its workers: the renderer that has worked most."""
    return max(renderers_of(phone.profile), key=cpu_seconds)


def cpu_seconds(pid: int) -> float:
    """Processor time of all threads of a process so far, in seconds."""
    return sum(thread_seconds(pid).values())


def thread_seconds(pid: int) -> dict[tuple[int, str], float]:
    """Processor time by thread, as (number, name)."""
    found = {}
    for task in Path(f"/proc/{pid}/task").iterdir():
        try:
            name = (task / "comm").read_text().strip()
            found[int(task.name), name] = int((task / "schedstat").read_text().split()[0]) / 1e9
        except OSError:
            continue  # it ended meanwhile
    return found


def resident_mb(pid: int, what: str = "VmRSS") -> float:
    """Resident memory now, or at its peak (`VmHWM`), in MB."""
    status = Path(f"/proc/{pid}/status").read_text()
    return int(status.partition(f"{what}:")[2].split()[0]) / 1024
