"""The tables beside an exported log: each entry once, and no cell that a program takes for a formula."""

import csv
import io

import pandas
import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.exports import WHOLE, files_in, taken, written

from plytally.core.entry import Entry
from plytally.record.cells import as_typed, csv_lines, guarded
from plytally.record.errors import ExportRefused, ImportRefused

FORMULAS = ("=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "＝1", "'=1", '=1,"2"\r\n3')


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
