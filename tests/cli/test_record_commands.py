"""The record and the stock list from the command line."""

import io

import pytest
from click.testing import CliRunner
from pypdf import PdfReader

from plytally.cli import main
from plytally.workshop.bench import Bench
from plytally.workshop.demo import demo_folder

STOCK = "resin:\n  - {name: epoxy, batch: 0471, amount: 5 kg, expires: 2026-09-30}\n"


def run(*words):
    return CliRunner().invoke(main, list(map(str, words)))


@pytest.fixture
def data(tmp_path):
    folder = tmp_path / "log"
    assert run("schedule", demo_folder() / "quillwing.yaml", "--data", folder).exit_code == 0
    said = ("laid", "two", "plies", "bid", "on", "the", "rudder", "post", "fore", "face")
    assert run("note", *said, "--data", folder).exit_code == 0
    return folder


def test_record_writes_a_pdf_of_a_part_and_says_what_is_in_it(data, tmp_path):
    out = tmp_path / "post.pdf"

    told = run("record", out, "--part", "rudder post", "--data", data)

    assert told.exit_code == 0, told.output
    assert "1 entry, rudder post" in told.output
    assert "no approval" in told.output
    assert "rudder post, fore" in PdfReader(io.BytesIO(out.read_bytes())).pages[3].extract_text()
    assert not list(tmp_path.glob("*.part"))


def test_record_can_be_written_while_another_process_has_the_log(data, tmp_path):
    with Bench.open(data):
        assert run("record", tmp_path / "a.pdf", "--part", "rudder post", "--data", data).exit_code == 0


@pytest.mark.parametrize(
    ("words", "code", "why"),
    [
        pytest.param(("--part", "left wing"), 41, "is no place on the print", id="unknown part"),
        pytest.param(("--from", "yesterday"), 2, "write it like 2026-03-14", id="no day"),
        pytest.param(("--data", "nowhere"), 44, "holds no log", id="no log"),
    ],
)
def test_what_cannot_be_recorded_says_why(data, tmp_path, words, code, why):
    told = run("record", tmp_path / "a.pdf", "--data", data, *words)
    assert (told.exit_code, why in told.output) == (code, True)


def test_a_stock_list_is_taken_and_told_with_each_digit_of_its_batch(data, tmp_path):
    (tmp_path / "stock.yaml").write_text(STOCK)
    told = run("stock", tmp_path / "stock.yaml", "--data", data)
    assert told.output == "resin: epoxy, batch 0471: 5 kg, good until 2026-09-30\n"
    assert run("stock", "--data", data).output == told.output


@pytest.mark.parametrize("text", ["resin: 5", "glue: []", "{", "resin:\n  - {name: epoxy, amount: much}\n"])
def test_a_stock_list_that_cannot_be_used_changes_nothing(data, tmp_path, text):
    (tmp_path / "stock.yaml").write_text(STOCK)
    before = run("stock", tmp_path / "stock.yaml", "--data", data).output
    (tmp_path / "stock.yaml").write_text(text)
    assert run("stock", tmp_path / "stock.yaml", "--data", data).exit_code == 43
    assert run("stock", "--data", data).output == before
