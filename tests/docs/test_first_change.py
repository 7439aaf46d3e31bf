"""The first change of the contributors' guide, followed word for word on a copy of the sources."""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
GUIDE = (ROOT / "DEVELOPERS.md").read_text().split("## A first change, in ten minutes")[1]
ADDED = re.compile(r"In `([^`]+)`, (below|above) the line `(.+?)`:\n\n   ```\w+\n(.*?)\n   ```", re.DOTALL)
CHANGED = re.compile(r"In `([^`]+)`, `([^`]+)` becomes `([^`]+)`")
COMMAND = re.search(r"```sh\n +(.*?)\n", GUIDE)[1]
PARTS = ("server", "tests", "docs", "demo_entries", "pwa/src", "pyproject.toml", "README.md", "DEVELOPERS.md")
NOT_COPIED = shutil.ignore_patterns("__pycache__", "app", "*.png", "recordings", "day", "node_modules")


@pytest.fixture
def copy(tmp_path):
    for part in PARTS:
        source, target = ROOT / part, tmp_path / part
        if source.is_dir():
            shutil.copytree(source, target, ignore=NOT_COPIED)
        else:
            shutil.copy(source, target)
    return tmp_path


def add(folder, name, where, line, text):
    """Put lines below, or above, the one line that begins so; the guide's own indent is three blanks."""
    lines = (folder / name).read_text().splitlines()
    (at,) = [number for number, each in enumerate(lines) if each.strip().startswith(line)]
    new = [each.removeprefix("   ") for each in text.splitlines()]
    lines[at + (where == "below") : at + (where == "below")] = new
    (folder / name).write_text("\n".join(lines) + "\n")


def change(folder, name, was, becomes):
    text = (folder / name).read_text()
    assert text.count(was) == 1, f"{name} has {was!r} {text.count(was)} times"
    (folder / name).write_text(text.replace(was, becomes))


def follow(folder, without=None):
    """Every step of the guide but one."""
    steps = [(add, each) for each in ADDED.findall(GUIDE)] + [
        (change, each) for each in CHANGED.findall(GUIDE)
    ]
    for number, (step, words) in enumerate(steps):
        if number != without:
            step(folder, *words)
    return len(steps)


def tried(folder):
    """The guide's own command, in the copy."""
    words, _, asked = COMMAND.partition(' -k "')
    return subprocess.run(
        [sys.executable, *words.split()[1:], "-k", asked.strip('"')],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(folder / "server")},
        capture_output=True,
        text=True,
        check=False,
    )


def test_who_follows_the_guide_has_a_change_that_holds(copy):
    assert follow(copy) == 8

    done = tried(copy)

    assert done.returncode == 0, done.stdout
    assert "core_cut" in (copy / "server/plytally/core/entry.py").read_text()


@pytest.mark.parametrize("step", [3, 6])
def test_who_leaves_a_step_out_is_told(copy, step):
    follow(copy, without=step)

    assert tried(copy).returncode == 1
