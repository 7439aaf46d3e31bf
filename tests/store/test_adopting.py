"""A log that was built beside takes an empty one's place: whole or not at all, whenever the power fails."""

import shutil

import pytest
from support.devices import Device
from support.shops import SetClock

from plytally.store.adopting import adopt
from plytally.store.disk import RealDisk
from plytally.store.errors import LogNotEmpty
from plytally.store.log import BuildLog


@pytest.fixture
def made(tmp_path):
    """A log that was built beside, closed, with a photo; and what is in it."""
    with BuildLog(tmp_path / "made", SetClock()) as log:
        note = Device("phone-a").notes()
        photo = log.media.keep(b"a photo")
        log.receive([note.as_json()], "phone-a")
        return tmp_path / "made", log.state.to_bytes(), log.journal.head, photo


class PowerCut(Exception):
    """Nothing more is written."""


class CutDisk(RealDisk):
    """A disk whose power fails at the rename of this number."""

    def __init__(self, at):
        self.left = at

    def rename(self, source, target):
        if self.left == 0:
            raise PowerCut
        self.left -= 1
        super().rename(source, target)


def test_the_open_log_is_the_other_one_from_then_on(made, tmp_path):
    folder, state, head, photo = made
    with BuildLog(tmp_path / "shop", SetClock()) as log:
        epoch = log.journal.epoch
        adopt(log, folder)
        assert (log.state.to_bytes(), log.journal.head) == (state, head)
        assert log.journal.epoch != epoch
        assert log.device == f"shop-{log.journal.epoch[-12:]}"
        assert log.media.read(photo) == b"a photo"
        log.receive([Device("phone-b").notes().as_json()], "phone-b")
    with BuildLog(tmp_path / "shop", SetClock()) as log:
        assert log.journal.head.seq == head.seq + 1
    assert len(list((tmp_path / "shop/quarantine").glob("journal.*"))) == 1


def test_a_log_with_a_line_keeps_it(made, tmp_path):
    with BuildLog(tmp_path / "shop", SetClock()) as log:
        log.receive([Device("phone-b").notes().as_json()], "phone-b")
        head = log.journal.head
        with pytest.raises(LogNotEmpty, match="1 lines are in this log"):
            adopt(log, made[0])
        assert log.journal.head == head


@pytest.mark.parametrize("at", range(3))
def test_a_power_cut_leaves_the_empty_log_or_the_new_one_and_nothing_else(made, tmp_path, at):
    folder, state, head, _ = made
    shutil.copytree(folder, tmp_path / "once more", ignore=shutil.ignore_patterns("lock"))
    log = BuildLog(tmp_path / "shop", SetClock())
    with pytest.raises(PowerCut):
        adopt(log, folder, CutDisk(at))
    log.close()
    with BuildLog(tmp_path / "shop", SetClock()) as again:
        assert again.journal.head.seq in (0, head.seq)
        if not again.journal.head.seq:
            adopt(again, tmp_path / "once more")
        assert again.state.to_bytes() == state
