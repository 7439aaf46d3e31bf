"""`plytally clocks`: what runs, and the makers' pot lives."""

import pytest
from click.testing import CliRunner

from plytally.cli import main


@pytest.fixture
def plytally(tmp_path):
    def run(*words):
        return CliRunner().invoke(main, [*words, "--data", str(tmp_path / "data")])

    return run


def test_a_mixed_cup_runs_and_nothing_else(plytally):
    assert plytally("clocks").output == "no clock is running.\n"
    plytally("note", "mixed eighty grams at four to one")
    assert plytally("clocks").output.startswith("pot life: 20 minutes left, until ")


def test_a_makers_pot_life_is_kept_and_counts_from_then_on(plytally):
    told = plytally("clocks", "--resin", "epoxy", "--pot-life", "40 min at 72 degF")
    assert "40 min at 72 degF" in told.output.replace("°F", "degF")
    assert "pot life about 40 min" in plytally("note", "mixed eighty grams of epoxy at four to one").output


@pytest.mark.parametrize("row", ["40 min", "soon at 72 degF", "40 min at noon", "40 g at 72 degF"])
def test_what_is_no_row_of_a_sheet_is_refused(plytally, row):
    told = plytally("clocks", "--resin", "epoxy", "--pot-life", row)
    assert told.exit_code != 0
    assert "Traceback" not in told.output
    assert not isinstance(told.exception, AssertionError | KeyError)


def test_a_pot_life_needs_its_resin(plytally):
    assert "--resin NAME" in plytally("clocks", "--pot-life", "40 min at 72 degF").output
