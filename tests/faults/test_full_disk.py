"""A disk that is really full, and a file that really may not grow: the new is refused, the old is kept."""

import os
import shutil
import subprocess
import sys
import textwrap

import pytest

from plytally.store.log import BuildLog
from plytally.store.verify import verify

FILL = """
from pathlib import Path
from plytally.core.entry import Entry
from plytally.store.errors import StoreFull
from plytally.store.log import BuildLog, Recording

def fill(folder):
    kept = []
    with BuildLog(Path(folder)) as log:
        before = len(log.state.entries)
        while True:
            try:
                kept.append(log.record(Entry("note", {"text": "x" * 700})).id)
            except StoreFull as problem:
                told = str(problem)
                break
        assert len(log.state.entries) == before + len(kept)
        assert "then try again" in told, told
    return kept
"""


def run(code, *words, under=()):
    script = textwrap.dedent(FILL) + textwrap.dedent(code)
    done = subprocess.run(
        [*under, sys.executable, "-c", script, *map(str, words)], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.split()


def test_at_the_file_size_limit_the_new_is_refused_and_the_old_is_kept(tmp_path):
    code = """
    import resource, signal, sys
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (50_000, 50_000))
    print(*fill(sys.argv[1]))
    """
    kept = run(code, tmp_path / "data")
    assert verify(tmp_path / "data").sound
    with BuildLog(tmp_path / "data") as log:
        assert [record.operation.id for record in log.journal.read()] == kept
        assert len(kept) > 20


def can_mount():
    return (
        shutil.which("unshare")
        and not subprocess.run(
            ["unshare", "-rm", "sh", "-c", "mount -t tmpfs -o size=64k none /mnt"],
            capture_output=True,
            check=False,
        ).returncode
    )


@pytest.mark.skipif(not can_mount(), reason="this machine lets no user mount a small disk")
def test_on_a_full_disk_the_new_is_refused_the_old_is_kept_and_room_lets_it_go_on(tmp_path):
    code = """
    import shutil, subprocess, sys
    place = Path(sys.argv[1])
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=400k", "none", place], check=True)
    (place / "ballast").write_bytes(bytes(200_000))
    kept = fill(place / "data")
    again = fill(place / "data")
    with BuildLog(place / "data") as log:
        try:
            log.media.keep(bytes(50_000))
            print("a sound found room")
        except StoreFull:
            pass
        (place / "ballast").unlink()
        kept += again + [log.record(Entry("note", {"text": "there is room again"})).id]
    shutil.copytree(place / "data", sys.argv[2])
    print(*kept)
    """
    mount, copy = tmp_path / "mount", tmp_path / "copy"
    mount.mkdir()
    kept = run(code, mount, copy, under=("unshare", "-rm"))
    assert verify(copy).sound
    with BuildLog(copy) as log:
        assert [record.operation.id for record in log.journal.read()] == kept
        assert os.listdir(mount) == []


@pytest.mark.skipif(not can_mount(), reason="this machine lets no user mount a disk read-only")
def test_a_folder_on_a_read_only_disk_is_told_and_can_still_be_verified(tmp_path):
    code = """
    import subprocess, sys
    from plytally.store.errors import StoreUnwritable
    from plytally.store.verify import verify
    place = Path(sys.argv[1])
    subprocess.run(["mount", "--bind", place, place], check=True)
    subprocess.run(["mount", "-o", "remount,bind,ro", place], check=True)
    try:
        BuildLog(place / "data")
    except StoreUnwritable as problem:
        print(str(problem))
    print("sound" if verify(place / "data").sound else "damaged")
    """
    with BuildLog(tmp_path / "data"):
        pass
    told = run(code, tmp_path, under=("unshare", "-rm"))
    assert " ".join(told).endswith("the disk is mounted read-only; mount it for writing sound")


@pytest.mark.skipif(not can_mount(), reason="this machine lets no user mount a disk read-only")
def test_serving_a_folder_on_a_read_only_disk_ends_with_its_own_exit_code_and_what_to_do(tmp_path):
    with BuildLog(tmp_path / "data"):
        pass
    mount = 'mount --bind "$1" "$1" && mount -o remount,bind,ro "$1" && exec "$2" -m plytally serve --port 0'
    done = subprocess.run(
        ["unshare", "-rm", "sh", "-c", mount, "sh", tmp_path, sys.executable],
        env={**os.environ, "PLYTALLY_DATA": str(tmp_path / "data")},
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert done.returncode == 53, done.stderr
    assert "mount it for writing" in done.stderr
