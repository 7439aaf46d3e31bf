"""Visits from the command line, with a server and without."""

import urllib.request

import pytest
from click.testing import CliRunner
from support.server_process import ServerProcess

from plytally.cli import main
from plytally.workshop.demo import demo_folder


def run(*words):
    return CliRunner().invoke(main, list(map(str, words)))


@pytest.fixture
def data(tmp_path):
    assert run("schedule", demo_folder() / "quillwing.yaml", "--data", tmp_path / "log").exit_code == 0
    return tmp_path / "log"


def test_a_link_is_opened_listed_and_ended(data):
    with ServerProcess(data):
        opened = run("visits", "--show", "rudder post", "--for", "our inspector", "--data", data)
        assert opened.exit_code == 0, opened.output
        url = next(word for word in opened.output.split() if word.startswith("http"))
        with urllib.request.urlopen(url) as page:
            assert "rudder post" in page.read().decode()
        listed = run("visits", "--data", data).output
        assert "our inspector: rudder post; open until" in listed
        assert url.rsplit("/", 1)[1] not in listed

    ended = run("visits", "--end", listed.split()[0], "--data", data)

    assert "ended" in ended.output
    assert "last used" in ended.output


def test_without_a_server_no_link_can_be_opened(data):
    told = run("visits", "--show", "rudder post", "--data", data)
    assert (told.exit_code, "plytally serve" in told.output) == (1, True)


def test_an_unknown_visit_cannot_be_ended_and_an_empty_list_says_what_to_do(data):
    assert run("visits", "--end", "none", "--data", data).exit_code == 2
    assert "--show PART" in run("visits", "--data", data).output
