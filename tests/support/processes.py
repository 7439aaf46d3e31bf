"""The machine's processes: which there are, which stand above which, and their end."""

import contextlib
import os
import signal
from pathlib import Path

from support import patience


def processes():
    """Every process as (pid, its parent's pid, its command line)."""
    for entry in Path("/proc").iterdir():
        if entry.name.isdecimal():
            with contextlib.suppress(OSError):
                words = (entry / "cmdline").read_bytes().replace(b"\0", b" ").decode("utf-8", "replace")
                parent = (entry / "stat").read_text().rpartition(")")[2].split()[1]
                yield int(entry.name), int(parent), words


def above(pid):
    """A process and all above it."""
    while pid > 1:
        yield pid
        try:
            pid = int(Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[1])
        except OSError:
            return


def browser_of(profile):
    """The first process of the browser that keeps its profile in this folder."""
    mark = f"--user-data-dir={profile}"
    (pid,) = [pid for pid, _, words in processes() if mark in words and "--type=" not in words]
    return pid


def renderers_of(profile):
    """The processes of that browser's pages."""
    own = browser_of(profile)
    return [pid for pid, up, words in processes() if "--type=renderer" in words and own in above(up)]


def kill(pids):
    """End these processes, and wait until they are gone."""
    for pid in pids:
        with contextlib.suppress(ProcessLookupError):
            os.kill(pid, signal.SIGKILL)
    patience.until(lambda: not any(_alive(pid) for pid in pids), f"the end of {pids}")


def _alive(pid):
    try:
        return Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()[0] not in "ZX"
    except OSError:
        return False
