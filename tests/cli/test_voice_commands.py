"""Voices from the command line, without a server."""

import pytest
from click.testing import CliRunner

from plytally.cli import main
from plytally.workshop.bench import Bench
from plytally.workshop.voices import Voices


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "log"


def run(folder, *words):
    return CliRunner().invoke(main, ["voices", "--data", str(folder), *words])


def test_where_nothing_was_read_it_says_how_to_begin(folder):
    assert "read aloud on a phone" in run(folder).output


def test_a_phone_that_is_not_known_is_refused_by_name(folder):
    answer = run(folder, "--forget", "phone-9")
    assert answer.exit_code != 0
    assert "phone-9" in answer.output


def test_what_was_read_is_shown_too_little_is_told_and_forgetting_ends_it(folder):
    with Bench.open(folder) as bench:
        voices = Voices(bench)
        voices.read("phone-1", voices.sentences()[0].text, bench.log.media.keep(b"no sound at all"))
    assert "phone-1: not learnt yet; 1 of" in run(folder, "--off", "phone-1").output
    assert "could not be learnt the last time: there are 0 notes" in run(folder, "--learn", "phone-1").output
    assert "no voice was learnt yet" in run(folder, "--forget", "phone-1").output
