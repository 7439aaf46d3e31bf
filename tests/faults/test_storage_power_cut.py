"""The power fails at each single step of writing: whatever the disk then holds, nothing kept is lost."""

import shutil

import pytest
from support.clocks import SetClock
from support.devices import LAID, MORNING, Device
from support.disks import SURVIVALS, CutDisk, PowerCut

from plytally.core.entry import Entry
from plytally.store.log import BuildLog, Recording
from plytally.store.making import Maker
from plytally.store.repair import repair
from plytally.store.verify import verify

ENTRY = Entry("laid", LAID["fields"], LAID["said"])
TORN = b'{"hash":"' + b"0" * 300
NEXT_MONTH = MORNING + 31 * 86_400_000


def a_day_in_the_shop(folder, disk, acknowledged):
    """Everything the store does, each result noted once it was acknowledged."""
    clock = SetClock()
    log = BuildLog(folder, clock, disk=disk)
    try:
        for n in range(2):
            note = log.record(ENTRY, recording=Recording(b"RIFF" + bytes([n]) * 300))
            acknowledged["notes"].append(note)
            with log.documents.table("phones") as phones:
                phones.insert({"name": f"phone {n}"})
            acknowledged["phones"] = n + 1
            clock.now = NEXT_MONTH
        sent = [Device("phone", now=NEXT_MONTH).notes() for _ in range(1)]
        log.receive([operation.as_json() for operation in sent] + [{"no": "operation"}], "phone")
        acknowledged["notes"] += sent
        acknowledged["aside"] = 1
        acknowledged["notes"].append(log.amend(note.id, "plies", 3))
    finally:
        log._lock.close()  # the system does this when the process ends, however it ends


def opened_again(folder, acknowledged):
    """Open what the disk held, show that all that was acknowledged is there, and go on writing."""
    with BuildLog(folder, SetClock(NEXT_MONTH + 10**6, seed=7)) as log:
        for operation in acknowledged["notes"]:
            assert log.journal.find(operation.id).operation == operation
        for logged in log.state.entries.values():
            for sound in logged.attachments:
                assert log.media.read(sound.media).startswith(b"RIFF")
        with log.documents.table("phones") as phones:
            assert len(phones) in (acknowledged["phones"], acknowledged["phones"] + 1)
        assert len(list(log.aside)) >= acknowledged["aside"]
        again = log.record(ENTRY)
    with BuildLog(folder, SetClock()) as log:
        assert log.journal.find(again.id).operation == again
        assert log.remarks == ()
    assert verify(folder).sound


def nothing_yet():
    return {"notes": [], "phones": 0, "aside": 0}


def steps_of(tmp_path_factory, act, prepare=lambda folder: None):
    """How many steps the disk takes for `act` when the power stays."""
    root = tmp_path_factory.mktemp("whole")
    prepare(root)
    disk = CutDisk(root)
    act(root / "data", disk, nothing_yet())
    disk.let_go()
    return disk.steps


def test_a_power_cut_at_any_step_of_a_day_loses_nothing_that_was_acknowledged(tmp_path_factory):
    steps = steps_of(tmp_path_factory, a_day_in_the_shop)
    assert steps > 60
    for cut_at in range(1, steps + 1):
        _cut_and_open(tmp_path_factory.mktemp("cut"), cut_at)


def _cut_and_open(root, cut_at):
    working, acknowledged = root / "working", nothing_yet()
    working.mkdir()
    disk = CutDisk(working, cut_at)
    with pytest.raises(PowerCut):
        a_day_in_the_shop(working / "data", disk, acknowledged)
    for names, content in SURVIVALS:
        left = root / "left"
        disk.leave(left, names, content)
        opened_again(left / "data", acknowledged)
        shutil.rmtree(left)
    disk.let_go()


def with_a_torn_end(root):
    with BuildLog(root / "data", SetClock()) as log:
        log.record(ENTRY)
        log.record(ENTRY)
        kept = [record.operation for record in log.journal.read()]
    path = root / "data" / "journal" / "2026-11.jsonl"
    path.write_bytes(path.read_bytes() + TORN)
    return kept, TORN


def with_damage(root):
    kept, _ = with_a_torn_end(root)
    path = root / "data" / "journal" / "2026-11.jsonl"
    lines = path.read_bytes().splitlines(keepends=True)
    edited = lines[0].replace(b'"plies":2', b'"plies":9')
    path.write_bytes(edited + lines[1])
    (root / "data" / "documents.json").write_bytes(b"half")
    return kept[1:], edited


def opening(folder, disk, acknowledged):
    log = BuildLog(folder, SetClock(), disk=disk)
    log.close()


def mending(folder, disk, acknowledged):
    repair(folder, Maker(SetClock(seed=1)).new_id, disk=disk)


@pytest.mark.parametrize(
    ("prepare", "act"),
    [
        pytest.param(with_a_torn_end, opening, id="while a torn end is cut"),
        pytest.param(with_damage, mending, id="while a damaged log is mended"),
    ],
)
def test_a_power_cut_while_mending_loses_nothing(tmp_path_factory, prepare, act):
    steps = steps_of(tmp_path_factory, act, prepare)
    assert steps >= 4
    for cut_at in range(1, steps + 1):
        root = tmp_path_factory.mktemp("cut")
        working = root / "working"
        working.mkdir()
        kept, odd_bytes = prepare(working)
        disk = CutDisk(working, cut_at)
        with pytest.raises(PowerCut):
            act(working / "data", disk, nothing_yet())
        for names, content in SURVIVALS:
            left = root / "left"
            disk.leave(left, names, content)
            mending(left / "data", None, None)
            opened_again(left / "data", nothing_yet() | {"notes": kept})
            assert any(odd_bytes in path.read_bytes() for path in left.rglob("*") if path.is_file())
            shutil.rmtree(left)
        disk.let_go()
