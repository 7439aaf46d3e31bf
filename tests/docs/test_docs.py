"""The documents say what is so: every command, entry kind and phrase in them is tried."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from plytally.cli import main
from plytally.core.entry import KINDS
from plytally.core.hearing import typed
from plytally.core.phrasebook import COMMANDS, ENTRIES, QUESTIONS
from plytally.core.understand import understand
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file

ROOT = Path(__file__).parents[2]
CALLED = main.all_commands()
README = (ROOT / "README.md").read_text()
QUILLWING = from_schedule(read_schedule_file(ROOT / "demo_entries/quillwing.yaml"))
SAYABLE = (ROOT / "docs/what-you-can-say.md").read_text()
ROWS = [
    (name, say)
    for name, cell in re.findall(r"^\| `(\w+)`[^|]*\| (.+) \|$", SAYABLE, re.MULTILINE)
    for say in cell.split("<br>")
]


@pytest.mark.parametrize(("name", "say"), ROWS, ids=[say for _, say in ROWS])
def test_what_the_page_says_can_be_said_means_just_that(name, say):
    assert understand(typed(say), QUILLWING).name == name


@pytest.mark.parametrize("name", [*ENTRIES, *COMMANDS, *QUESTIONS])
def test_everything_that_can_be_said_is_on_the_page_in_three_ways(name):
    assert len([row for row in ROWS if row[0] == name]) == 3


def test_every_kind_of_entry_has_phrases():
    assert set(ENTRIES) == set(KINDS)


@pytest.mark.parametrize("command", sorted(CALLED))
def test_every_command_is_in_the_readme(command):
    assert f"plytally {command}" in README


def test_every_command_the_readme_names_exists():
    blocks = "".join(re.findall(r"```sh\n(.*?)```", README, re.DOTALL))
    named = set(re.findall(r"^plytally ([a-z-]+)", blocks, re.MULTILINE))

    assert named <= set(CALLED)


@pytest.mark.parametrize("command", sorted(CALLED))
def test_every_command_explains_itself(command):
    told = CliRunner().invoke(main, [command, "--help"])

    assert told.exit_code == 0
    assert CALLED[command].get_short_help_str()


def test_the_readme_opens_with_the_job_in_one_paragraph_and_then_two_commands():
    before, *blocks = re.split(r"```sh\n", README)

    assert before.splitlines()[0] == "# plytally"
    assert len([line for line in before.splitlines()[2:] if line.startswith("plytally is for people")]) == 1
    assert blocks[0].startswith(
        "python3 -m venv .venv && .venv/bin/pip install . && .venv/bin/plytally demo\n"
    )
    assert blocks[1].startswith("bash tests/run\n")


def test_ci_runs_the_readmes_test_command():
    assert "bash tests/run" in (ROOT / ".ci/run").read_text()
