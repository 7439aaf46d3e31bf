"""Export and import from the command line."""

import pytest
from click.testing import CliRunner

from plytally.cli import main
from plytally.workshop.bench import Bench


def run(*words):
    return CliRunner().invoke(main, list(map(str, words)))


@pytest.fixture
def data(tmp_path):
    assert run("note", "the", "heater", "tripped", "--data", tmp_path / "log").exit_code == 0
    return tmp_path / "log"


def test_what_was_exported_can_be_imported_and_says_the_same_hash(data, tmp_path):
    with Bench.open(data):
        out = run("export", tmp_path / "out", "--data", data)
    back = run("import", tmp_path / "out", "--data", tmp_path / "again")

    assert (out.exit_code, back.exit_code) == (0, 0)
    assert out.output.split()[-1] == back.output.split()[-1]
    assert run("log", "--data", data).output == run("log", "--data", tmp_path / "again").output


def test_a_refusal_has_its_own_exit_code_and_says_why(data, tmp_path):
    run("export", tmp_path / "out", "--data", data)
    again = run("export", tmp_path / "out", "--data", data)
    back = run("import", tmp_path / "out", "--data", data)
    none = run("import", tmp_path / "nowhere", "--data", tmp_path / "new")

    assert [told.exit_code for told in (again, back, none)] == [45, 46, 46]
    assert "choose a new folder" in again.output
    assert "is not empty" in back.output
    assert "is no export" in none.output
