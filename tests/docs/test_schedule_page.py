"""The page about the schedule's file names every field that is read, and no other; its examples are read."""

import re
from pathlib import Path

import pytest

from plytally.core import schedule_names, schedule_reading, schedule_rows, schedule_steps
from plytally.core.readiness import USUAL_CURE
from plytally.core.schedule import DO
from plytally.schedule_file import schedule_from_yaml
from plytally.schedule_table import schedule_from_csv

PAGE = (Path(__file__).parents[2] / "docs/schedule.md").read_text()


def section(heading):
    return PAGE.split(f"\n{heading}\n")[1].split("\n#")[0]


def named(text):
    return re.findall(r"^\| `([^`]+)` \|", text, re.MULTILINE)


def block(language):
    return re.search(rf"```{language}\n(.*?)```", PAGE, re.DOTALL)[1]


@pytest.mark.parametrize(
    ("heading", "fields"),
    [
        ("### The schedule", schedule_reading._TOP),
        ("### A material", schedule_reading._MATERIAL),
        ("### A part", schedule_reading._PART),
        ("### A face", schedule_reading._FACE),
        ("### A step", schedule_steps._STEP),
        ("### An alternate (`instead`)", schedule_steps._INSTEAD),
        ("## As a table", schedule_rows.ROWS),
    ],
)
def test_every_field_that_is_read_is_on_the_page_and_no_other(heading, fields):
    assert sorted(named(section(heading))) == sorted(fields)


@pytest.mark.parametrize("row", schedule_rows.ROWS)
def test_every_column_of_a_row_is_on_the_page(row):
    columns = re.search(rf"^\| `{row}` \| (.*) \|$", section("## As a table"), re.MULTILINE)[1]

    assert tuple(re.findall(r"`([^`]+)`", columns)) == schedule_rows.ROWS[row]


def test_all_that_a_step_can_do_is_on_the_page():
    told = re.search(r"^`do` is one of: (.*)\.$", PAGE, re.MULTILINE)[1]

    assert re.findall(r"`(\w+)`", told) == list(DO)


def test_a_plain_name_has_the_one_field_that_the_page_gives_it():
    assert schedule_names.NAMED == ("said as",)


def test_the_page_names_the_usual_cure():
    assert f"takes {USUAL_CURE} (common practice, no source)" in PAGE


def test_both_examples_are_read_and_say_the_same():
    assert schedule_from_csv(block("csv")) == schedule_from_yaml(block("yaml"))
