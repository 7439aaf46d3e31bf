"""Export and import from the command line."""

import pytest
from click.testing import CliRunner
from support.phone_files import saved_by_a_phone

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


def test_a_phones_file_is_taken_in_and_says_what_came(tmp_path):
    done = run("take-in", saved_by_a_phone(tmp_path / "phone.zip"), "--data", tmp_path / "log")

    assert done.exit_code == 0
    assert "2 new notes and changes, 0 known already, 2 sounds and photos" in done.output
    assert "2 entries made of what the phone had not gone through" in done.output


def test_a_phones_file_with_something_damaged_has_its_own_exit_code(tmp_path):
    done = run("take-in", saved_by_a_phone(tmp_path / "phone.zip", photo=b"?"), "--data", tmp_path / "log")
    none = run("take-in", tmp_path / "none.zip", "--data", tmp_path / "log")

    assert (done.exit_code, none.exit_code) == (47, 46)
    assert "damaged in the file" in done.output
