"""kill -9 at random moments while a process writes: all that was acknowledged is there, the chain is whole.

PLYTALLY_KILLS sets the number of rounds (30); the moments follow from PLYTALLY_SEED.
"""

import os
import random
import signal
import subprocess
import sys
import time

import pytest

from plytally.store.log import BuildLog
from plytally.store.verify import verify

ROUNDS = int(os.environ.get("PLYTALLY_KILLS", "30"))
SEED = os.environ.get("PLYTALLY_SEED", "1")

WRITER = """
import sys
from pathlib import Path
from plytally.core.entry import Entry
from plytally.store.log import BuildLog, Recording

with BuildLog(Path(sys.argv[1])) as log:
    print("open", flush=True)
    n = 0
    while True:
        n += 1
        entry = Entry("note", {"text": f"note {n} " + "x" * (n % 7 * 400)})
        note = log.record(entry, recording=Recording(b"RIFF%d" % n) if n % 5 == 0 else None)
        print(note.id, flush=True)
        if n % 3 == 0:
            print(log.amend(note.id, "text", f"amended {n}").id, flush=True)
        if n % 4 == 0:
            with log.documents.table("count") as count:
                count.truncate()
                count.insert({"n": n})
"""


def write_until_killed(folder, after_s):
    """The ids that a writing process acknowledged before it was killed."""
    child = subprocess.Popen([sys.executable, "-c", WRITER, folder], stdout=subprocess.PIPE, text=True)
    try:
        assert child.stdout.readline() == "open\n"
        time.sleep(after_s)
    finally:
        child.send_signal(signal.SIGKILL)
        told = child.stdout.read()
        child.wait()
        child.stdout.close()
    return told[: told.rfind("\n") + 1].split()


@pytest.fixture(scope="module")
def killed(tmp_path_factory):
    """One folder after all the rounds, with what was acknowledged, and what each opening mended."""
    folder, chance = tmp_path_factory.mktemp("killed") / "data", random.Random(SEED)
    acknowledged, heads = [], []
    for _ in range(ROUNDS):
        acknowledged += write_until_killed(folder, chance.uniform(0.0, 0.12))
        with BuildLog(folder) as log:
            heads.append(log.journal.head.seq)
    return folder, acknowledged, heads


def test_every_acknowledged_operation_is_in_the_log(killed):
    folder, acknowledged, _ = killed
    assert len(acknowledged) > ROUNDS
    with BuildLog(folder) as log:
        assert [name for name in acknowledged if log.journal.find(name) is None] == []


def test_the_chain_the_sounds_and_the_documents_are_sound(killed):
    report = verify(killed[0])
    assert (report.damage, report.lacking) == ([], set())


def test_the_log_only_ever_grew(killed):
    heads = killed[2]
    assert heads == sorted(heads)


def test_the_devices_own_numbers_have_no_gap_and_no_double(killed):
    with BuildLog(killed[0]) as log:
        (tally,) = log.state.devices.values()
        assert (tally.gaps, tally.twice, tally.last) == ((), (), log.journal.head.seq)
