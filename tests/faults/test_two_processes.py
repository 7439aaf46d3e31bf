"""Several processes and threads on one data folder."""

import subprocess
import sys
import threading

from support.clocks import SetClock
from support.devices import LAID, Device

from plytally.core.entry import Entry
from plytally.store.log import BuildLog
from plytally.store.verify import verify

SECOND = """
import sys
from pathlib import Path
from plytally.store.errors import StoreLocked
from plytally.store.log import BuildLog
try:
    BuildLog(Path(sys.argv[1]))
except StoreLocked as problem:
    print(problem.pid, problem)
"""


def test_a_second_process_on_the_folder_is_refused_and_changes_nothing(tmp_path):
    with BuildLog(tmp_path, SetClock()) as log:
        log.record(Entry("laid", LAID["fields"]))
        before = {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()}
        told = subprocess.run(
            [sys.executable, "-c", SECOND, tmp_path], capture_output=True, text=True, check=True
        ).stdout
        assert "one process keeps a log" in told
        assert {path: path.read_bytes() for path in tmp_path.rglob("*") if path.is_file()} == before


def test_twenty_phones_at_once_lose_nothing_and_keep_one_chain(tmp_path):
    devices = [Device(f"phone-{n}") for n in range(20)]
    phones = [[device.notes() for _ in range(10)] for device in devices]
    with BuildLog(tmp_path, SetClock()) as log:

        def send(sent):
            for operation in sent:
                log.receive([operation.as_json()], operation.device)
                assert operation.id in log.state

        threads = [threading.Thread(target=send, args=(sent,)) for sent in phones]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert {record.operation for record in log.journal.read()} == {o for sent in phones for o in sent}
        assert all(tally.gaps == () for tally in log.state.devices.values())
    assert verify(tmp_path).records == 200


def test_reading_goes_on_while_others_write(tmp_path):
    with BuildLog(tmp_path, SetClock()) as log:
        done = threading.Event()
        wrong = []

        def read():
            while not done.is_set():
                seqs = [record.seq for record in log.journal.read()]
                if seqs != list(range(1, len(seqs) + 1)):
                    wrong.append(seqs)

        reader = threading.Thread(target=read)
        reader.start()
        for _ in range(60):
            log.record(Entry("laid", LAID["fields"]))
        done.set()
        reader.join()
        assert wrong == []
