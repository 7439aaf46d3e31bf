"""The README's commands for one's own build, run as they stand there, in their order, on one log."""

import re
import shlex
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner
from support.phone_files import saved_by_a_phone

from plytally.cli import main

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text()
OWN_BUILD = re.search(r"## Your own build\s+```sh\n(.*?)```", README, re.DOTALL)[1]
LINES = [line.partition("#")[0].strip() for line in OWN_BUILD.splitlines() if line.startswith("plytally ")]
INTO_AN_EMPTY_FOLDER = {"restore", "import"}
TYPED = {"desk": "four words of mine\nfour words of mine\n"}


@pytest.fixture(scope="module")
def shop(tmp_path_factory):
    """A folder with what the README speaks of: a print, a recording, a stick."""
    folder = tmp_path_factory.mktemp("shop")
    shutil.copy(ROOT / "demo_entries/quillwing.yaml", folder / "my-print.yaml")
    shutil.copy(ROOT / "demo_entries/recordings/05.ogg", folder / "note.ogg")
    shutil.copy(ROOT / "demo_entries/stock.yaml", folder / "my-stock.yaml")
    (folder / "stick").mkdir()
    saved_by_a_phone(folder / "my-phone.zip")
    return folder


@pytest.mark.parametrize("line", LINES)
def test_a_command_of_the_readme_does_what_it_says(shop, line, monkeypatch):
    words = shlex.split(line.replace("/media/stick", str(shop / "stick")))[1:]
    log = shop / (f"{words[0]}-made" if words[0] in INTO_AN_EMPTY_FOLDER else "log")
    monkeypatch.chdir(shop)
    monkeypatch.setenv("PLYTALLY_DATA", str(log))
    if words[0] == "serve":
        assert served_until_it_shows_a_code(words) == 0
        return

    done = CliRunner().invoke(main, words, input=TYPED.get(words[0]))

    assert done.exit_code == 0, done.output
    assert done.output.strip()


def served_until_it_shows_a_code(words):
    ports = ("--name", "localhost", "--lan-host", "127.0.0.1", "--lan-port", "0", "--port", "0")
    command = [sys.executable, "-m", "plytally", *words, *ports, "--no-hear"]
    process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    lines = iter(process.stdout.readline, "")
    assert any("is good for" in line for line in lines), process.stderr.read()
    process.send_signal(signal.SIGTERM)
    process.communicate(timeout=60)
    return process.returncode


def test_the_readme_shows_how_a_builder_begins():
    assert [shlex.split(line)[1] for line in LINES[:3]] == ["schedule", "hear", "note"]
