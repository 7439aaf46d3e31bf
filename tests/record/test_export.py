"""Out and in again: the same bytes."""

import json
import tempfile
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from support.devices import Device
from support.exports import NOW, WHOLE, files_in, taken, written
from support.shops import SetClock

from plytally.core.entry import Entry
from plytally.record.content import Scope
from plytally.record.export import export
from plytally.store.log import BuildLog
from plytally.store.verify import verify
from plytally.workshop.bench import Bench
from plytally.workshop.record_copy import content_of


def test_out_and_in_again_gives_the_same_log_to_the_last_byte(day, sent, tmp_path):
    imported = taken(sent, tmp_path / "log")

    for part in ("journal/*.jsonl", "media/*/*/*"):
        before = {path.name: path.read_bytes() for path in day.folder.glob(part)}
        assert {path.name: path.read_bytes() for path in (tmp_path / "log").glob(part)} == before != {}
    report = verify(tmp_path / "log")
    assert (report.sound, report.head, report.lacking) == (True, imported.head, set())


def test_out_in_and_out_again_gives_the_same_export(sent, tmp_path):
    taken(sent, tmp_path / "log")
    written(tmp_path / "log", tmp_path / "again")
    assert files_in(tmp_path / "again") == files_in(sent)


def test_a_log_that_came_in_is_worked_on_as_before(day, sent, tmp_path):
    taken(sent, tmp_path / "log")
    with Bench.open(tmp_path / "log", SetClock()) as bench:
        assert bench.log.state.to_bytes() == day.bench.log.state.to_bytes()
        assert bench.schedule == day.bench.schedule
        assert bench.log.journal.epoch != day.bench.log.journal.epoch
        assert bench.log.record(Entry("note", {"text": "more"})).id in bench.log.state.entries


def test_what_comes_while_it_is_exported_is_left_for_the_next_time(house, tmp_path):
    reading = house.reading()
    house.says("the wiring wants looking at")
    about = export(reading, content_of(reading, Scope(), NOW), tmp_path / "out")
    assert about["lines"] == reading.head.seq < house.bench.log.journal.head.seq
    assert taken(tmp_path / "out", tmp_path / "again").head == reading.head


ACTS = {
    "note": lambda phone, target, log, draw: phone.notes(),
    "odd": lambda phone, target, log, draw: phone.does("note", None, {"entry": 5}),
    "amend": lambda phone, target, log, draw: phone.amends(target, "plies", draw(st.integers(0, 9))),
    "withdraw": lambda phone, target, log, draw: phone.withdraws(target, draw(WHOLE)),
    "attach": lambda phone, target, log, draw: phone.attaches(target, log.media.keep(draw(st.binary()))),
    "orphan": lambda phone, target, log, draw: phone.amends(phone.does("note").id, "plies", 2),
}


@settings(max_examples=12, deadline=None)
@given(st.lists(st.sampled_from([*ACTS]), max_size=12), st.data())
def test_any_log_comes_back_to_the_last_byte_with_what_was_put_aside(acts, data):
    with tempfile.TemporaryDirectory() as scratch:
        folder, phones = Path(scratch), [Device("phone-a"), Device("phone-b")]
        with BuildLog(folder / "log", SetClock()) as log:
            notes = [phones[0].notes()]
            for act in acts:
                phone, target = data.draw(st.sampled_from(phones)), data.draw(st.sampled_from(notes)).id
                made = ACTS[act](phone, target, log, data.draw)
                notes += [made] if act == "note" else []
                log.receive([made.as_json()], phone.name)
            before, head = log.state.to_bytes(), log.journal.head
        written(folder / "log", folder / "out")
        assert taken(folder / "out", folder / "again").head == head
        with BuildLog(folder / "again", SetClock()) as log:
            assert log.state.to_bytes() == before


def test_progress_is_told_to_the_end_both_ways(day, tmp_path):
    out, back = [], []
    written(day.folder, tmp_path / "out", lambda *told: out.append(told))
    taken(tmp_path / "out", tmp_path / "log", lambda *told: back.append(told))
    for told in (out, back):
        assert [done for done, _ in told] == sorted(done for done, _ in told)
        assert told[-1][0] == told[-1][1]


def test_about_names_each_file_by_its_hash(sent):
    about = json.loads((sent / "about.json").read_text())
    tables = {"entries.csv", "changes.csv", "plies.csv"}
    assert set(about["files"]) == tables | {"log.jsonl", "print.yaml", "stock.json"}
