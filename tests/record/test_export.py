"""Out and in again: the same bytes; and an export that was tampered with makes nothing."""

import csv
import io
import json
import os
import tempfile
from pathlib import Path

import pandas
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from support.devices import Device
from support.shops import SetClock

from plytally.clock import fresh_id
from plytally.core.entry import Entry
from plytally.core.schedule import ScheduleError
from plytally.core.wall import Wall
from plytally.record.cells import as_typed, csv_lines, guarded
from plytally.record.content import Scope
from plytally.record.errors import ExportRefused, ImportRefused
from plytally.record.export import export
from plytally.record.importing import MOST_LINE
from plytally.record.reading import read_folder
from plytally.store.log import BuildLog
from plytally.store.verify import verify
from plytally.workshop.bench import Bench
from plytally.workshop.carrying import take_export
from plytally.workshop.record_copy import content_of

NOW = Wall(SetClock().millis, 60)
WHOLE = st.text(st.characters(exclude_categories=["Cs"]))
FORMULAS = ("=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "＝1", "'=1", '=1,"2"\r\n3')


def written(folder, target, progress=None):
    reading = read_folder(folder)
    return export(reading, content_of(reading, Scope(), NOW), target, progress)


def taken(source, folder, progress=None):
    return take_export(source, folder, fresh_id, NOW, progress)


def files_in(folder):
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture(scope="module")
def sent(day, tmp_path_factory):
    """An export of a day's work that nobody changes."""
    target = tmp_path_factory.mktemp("sent") / "out"
    written(day.folder, target)
    return target


@pytest.fixture
def copied(sent, tmp_path):
    """An export to be tampered with."""
    for name, content in files_in(sent).items():
        path = tmp_path / "sent" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
    return tmp_path / "sent"


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


def test_every_entry_stands_in_the_table_once_for_two_readers(day, sent):
    order = day.bench.log.state.order
    content = (sent / "entries.csv").read_bytes()

    by_csv = list(csv.DictReader(io.StringIO(content.decode("utf-8"), newline="")))
    by_pandas = pandas.read_csv(io.BytesIO(content), dtype=str, keep_default_na=False)

    assert [row["id"] for row in by_csv] == [logged.id for logged in order]
    assert by_pandas.to_dict("records") == by_csv
    assert by_csv[3]["plies"] == "3"
    assert by_csv[7]["withdrawn"] == "scratch that"
    assert by_csv[3]["photos"] == order[3].attachments[0].media


def test_changes_and_plies_have_tables_of_their_own(sent):
    changes = pandas.read_csv(sent / "changes.csv", dtype=str, keep_default_na=False)
    assert ("7", "6", "counted again") in set(zip(changes.old, changes.new, changes.why, strict=True))
    plies = pandas.read_csv(sent / "plies.csv", keep_default_na=False)
    assert (plies.asked - plies.laid == plies.owed).all()


@given(st.text(st.characters(exclude_categories=["Cs", "Cc"])) | st.sampled_from(FORMULAS))
def test_no_cell_begins_like_a_formula_and_each_can_be_read_back(text):
    cell = guarded(text)
    assert as_typed(cell) == text
    assert not cell.startswith(("=", "@", "\t", "\r", "＝", "＋", "－", "＠"))
    if cell.startswith(("+", "-")):
        float(cell)


@given(st.lists(st.lists(WHOLE, min_size=2, max_size=2), min_size=1))
def test_any_table_is_read_back_as_it_was_written(rows):
    content = b"".join(csv_lines(("one", "two"), rows)).decode("utf-8")
    found = list(csv.reader(io.StringIO(content, newline="")))
    assert found == [["one", "two"], *([guarded(text) for text in row] for row in rows)]


def test_what_is_typed_into_a_note_is_no_formula_in_the_table(house, tmp_path):
    for text in FORMULAS:
        house.bench.log.record(Entry("note", {"text": text}, text))
    written(house.folder, tmp_path / "out")
    table = pandas.read_csv(tmp_path / "out/entries.csv", dtype=str, keep_default_na=False)
    assert [as_typed(cell) for cell in table.said[-len(FORMULAS) :]] == list(FORMULAS)
    assert all(cell.startswith("'") for cell in table.said[-len(FORMULAS) :])


def test_an_export_goes_into_a_new_folder_and_nowhere_else(day, sent, tmp_path):
    before = files_in(sent)
    with pytest.raises(ExportRefused, match="not empty"):
        written(day.folder, sent)
    assert files_in(sent) == before


def test_an_import_goes_into_a_new_folder_and_nowhere_else(sent, house):
    before = files_in(house.folder)
    with pytest.raises(ImportRefused, match="not empty"):
        taken(sent, house.folder)
    assert files_in(house.folder) == before


def the_log(folder):
    return folder / "log.jsonl"


def change_a_digit(folder):
    content = the_log(folder).read_bytes()
    the_log(folder).write_bytes(content.replace(b'"plies":3', b'"plies":9', 1))


def drop_a_line(folder):
    lines = the_log(folder).read_bytes().splitlines(keepends=True)
    the_log(folder).write_bytes(b"".join(lines[:2] + lines[3:]))


def cut_the_end(folder):
    lines = the_log(folder).read_bytes().splitlines(keepends=True)
    the_log(folder).write_bytes(b"".join(lines[:-1]))


def tear_the_end(folder):
    the_log(folder).write_bytes(the_log(folder).read_bytes()[:-20])


def a_line_without_end(folder):
    the_log(folder).write_bytes(b"{" * (MOST_LINE + 10))


def nested_without_end(folder):
    the_log(folder).write_bytes(b"[" * 100_000 + b"\n")


def a_medium(folder):
    return next((folder / "media").iterdir())


def change_a_photo(folder):
    a_medium(folder).write_bytes(b"another photo")


def lose_a_photo(folder):
    a_medium(folder).unlink()


def name_outside(folder):
    (folder / "media" / "..%2f..%2fescape").write_bytes(b"x")


def backslash_name(folder):
    (folder / "media" / "..\\..\\escape.jpg").write_bytes(b"x")


def link_to_secret(folder):
    path = a_medium(folder)
    path.unlink()
    path.symlink_to("/etc/passwd")


def log_is_a_link(folder):
    the_log(folder).unlink()
    the_log(folder).symlink_to("/etc/passwd")


def media_is_a_link(folder):
    os.rename(folder / "media", folder / "elsewhere")
    (folder / "media").symlink_to(folder / "elsewhere")


def a_pipe(folder):
    path = a_medium(folder)
    path.unlink()
    os.mkfifo(path)


def a_huge_photo(folder):
    with a_medium(folder).open("wb") as file:
        file.truncate(129 * 1024 * 1024)  # sparse: it takes no room on the disk


def twice(folder):
    path = a_medium(folder)
    path.with_suffix(".png").write_bytes(path.read_bytes())


def no_about(folder):
    (folder / "about.json").unlink()


def about_of_something_else(folder):
    (folder / "about.json").write_text('{"form": "something else"}')


def deep_about(folder):
    (folder / "about.json").write_text("[" * 100_000)


def other_words(folder):
    (folder / "words.json").write_text('[{"list": "materials", "name": 5}]')


def other_stock(folder):
    (folder / "stock.json").write_text('{"resin": [{"name": "epoxy"}]}')


@pytest.mark.parametrize(
    ("tamper", "told"),
    [
        pytest.param(change_a_digit, r"log.jsonl, line \d+: its hash does not match", id="a digit changed"),
        pytest.param(drop_a_line, r"log.jsonl, line 3: it has number 4 where 3 belongs", id="a line dropped"),
        pytest.param(cut_the_end, "about.json says lines", id="the last line dropped"),
        pytest.param(tear_the_end, r"log.jsonl, line \d+: it was not written to its end", id="torn"),
        pytest.param(a_line_without_end, "log.jsonl, line 1: longer than", id="a line without end"),
        pytest.param(nested_without_end, "log.jsonl, line 1: it is not a line of the log", id="nested"),
        pytest.param(change_a_photo, "its bytes are not what its name says", id="a photo changed"),
        pytest.param(lose_a_photo, "about.json says media", id="a photo lost"),
        pytest.param(name_outside, "named by its SHA-256", id="a name that leads outside"),
        pytest.param(backslash_name, "named by its SHA-256", id="the same with backslashes"),
        pytest.param(link_to_secret, "no link and no folder", id="a link for a photo"),
        pytest.param(log_is_a_link, "no link and no folder", id="a link for the log"),
        pytest.param(media_is_a_link, "must be a folder", id="a link for the folder"),
        pytest.param(a_pipe, "no link and no folder", id="a pipe"),
        pytest.param(a_huge_photo, "the limit is", id="too large"),
        pytest.param(twice, "there twice", id="a photo twice"),
        pytest.param(no_about, "not finished", id="cut short"),
        pytest.param(about_of_something_else, "wanted the form", id="something else"),
        pytest.param(deep_about, "no JSON", id="nested deep"),
        pytest.param(other_words, "wanted a list of objects", id="words"),
        pytest.param(other_stock, "is not an amount", id="stock"),
    ],
)
def test_an_export_that_was_tampered_with_makes_nothing_and_says_where(copied, tmp_path, tamper, told):
    tamper(copied)
    before = sorted(path.name for path in tmp_path.iterdir())

    with pytest.raises(ImportRefused, match=told):
        taken(copied, tmp_path / "log")

    assert sorted(path.name for path in tmp_path.iterdir()) == before


def test_a_print_that_cannot_be_used_makes_nothing(copied, tmp_path):
    (copied / "print.yaml").write_text("aircraft: [")
    with pytest.raises(ScheduleError):
        taken(copied, tmp_path / "log")
    assert not (tmp_path / "log").exists()


def test_about_names_each_file_by_its_hash(sent):
    about = json.loads((sent / "about.json").read_text())
    tables = {"entries.csv", "changes.csv", "plies.csv"}
    assert set(about["files"]) == tables | {"log.jsonl", "print.yaml", "stock.json"}
