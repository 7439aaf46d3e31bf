"""Every package that plytally names has a row: what for, under which licence, and what without it."""

import json
import re
import tomllib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs/dependencies.md").read_text()
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
APP = json.loads((ROOT / "pwa/package.json").read_text())
ROWS = {
    cells[0]: cells[1:]
    for line in PAGE.splitlines()
    if line.startswith("| ") and len(cells := [cell.strip() for cell in line.strip("|").split("|")]) in (3, 6)
}


def names(requirements):
    return [re.match(r"[\w.-]+", each)[0] for each in requirements]


USED = [*names(PROJECT["dependencies"]), *APP["dependencies"]]
FOR_BUILDING = [*names(PROJECT["optional-dependencies"]["test"]), *APP["devDependencies"]]


@pytest.mark.parametrize("package", USED)
def test_a_package_in_use_says_what_for_its_licence_its_size_and_what_without_it(package):
    assert package in ROWS, f"add a row for {package} to docs/dependencies.md"
    what_for, licence, _size, released, without = ROWS[package]
    assert all((what_for, licence, released, without))


@pytest.mark.parametrize("package", FOR_BUILDING)
def test_a_package_for_building_or_testing_says_what_for_and_its_licence(package):
    assert package in ROWS, f"add a row for {package} to docs/dependencies.md"
    assert ROWS[package][0]


def test_the_page_names_no_package_that_is_gone():
    named = set(ROWS) - {"package", "---"}

    assert named == {*USED, *FOR_BUILDING}


PINNED = {
    line.partition("==")[0].lower().replace("_", "-")
    for line in (ROOT / "tests/constraints.txt").read_text().splitlines()
}


@pytest.mark.parametrize("package", names(PROJECT["dependencies"]))
def test_what_the_tests_ran_with_is_pinned(package):
    assert package.lower() in PINNED, f"pin {package} in tests/constraints.txt"
