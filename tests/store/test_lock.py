"""One process keeps a log."""

import os
import signal
import subprocess
import sys

import pytest

from plytally.store.errors import StoreLocked, StoreUnwritable
from plytally.store.lock import FolderLock

HOLD = """
import sys, time
from pathlib import Path
from plytally.store.lock import FolderLock
lock = FolderLock(Path(sys.argv[1]))
print("held", flush=True)
time.sleep(60)
"""


@pytest.fixture
def holder(tmp_path):
    child = subprocess.Popen([sys.executable, "-c", HOLD, tmp_path], stdout=subprocess.PIPE, text=True)
    assert child.stdout.readline() == "held\n"
    yield child
    child.kill()
    child.wait()
    child.stdout.close()


def test_a_second_process_is_refused_with_the_number_of_the_first(tmp_path, holder):
    with pytest.raises(StoreLocked, match=f"in use by process {holder.pid}") as refused:
        FolderLock(tmp_path)
    assert refused.value.pid == holder.pid


def test_a_killed_process_leaves_no_lock_behind(tmp_path, holder):
    holder.send_signal(signal.SIGKILL)
    holder.wait()
    FolderLock(tmp_path).close()


FORK = """
import os, sys, time
from pathlib import Path
from plytally.store.lock import FolderLock
lock = FolderLock(Path(sys.argv[1]))
if os.fork() == 0:
    print(os.getpid(), flush=True)
    time.sleep(60)
    os._exit(0)
time.sleep(60)
"""


def test_a_child_that_outlives_a_killed_process_does_not_keep_its_lock(tmp_path):
    parent = subprocess.Popen([sys.executable, "-c", FORK, tmp_path], stdout=subprocess.PIPE, text=True)
    child = int(parent.stdout.readline())
    parent.kill()
    parent.wait()
    try:
        FolderLock(tmp_path).close()
    finally:
        os.kill(child, signal.SIGKILL)
        parent.stdout.close()


def test_the_same_process_cannot_open_it_twice_either(tmp_path):
    first = FolderLock(tmp_path)
    with pytest.raises(StoreLocked, match=f"process {os.getpid()}"):
        FolderLock(tmp_path)
    first.close()
    FolderLock(tmp_path).close()


def test_letting_go_twice_is_no_harm(tmp_path):
    lock = FolderLock(tmp_path)
    lock.close()
    lock.close()


def test_a_lock_file_without_a_number_still_refuses(tmp_path):
    first = FolderLock(tmp_path)
    (tmp_path / "lock").write_text("nonsense")
    with pytest.raises(StoreLocked, match="in use by another process"):
        FolderLock(tmp_path)
    first.close()


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_that_may_only_be_read_is_told(tmp_path):
    tmp_path.chmod(0o500)
    with pytest.raises(StoreUnwritable, match="change the folder's permissions"):
        FolderLock(tmp_path)
