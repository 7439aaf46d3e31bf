"""The bills of materials name all that is shipped, with licences; and who knows of faults is asked."""

import json
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import advisories
import pytest
from advisories import NoAnswer, app_faults, judge, python_faults
from bills import installed, named, of_a_user, plain

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs/dependencies.md").read_text()
LICENCES = {  # what a row of the page says, for each package that has one with six cells
    plain(cells[0]): cells[2]
    for line in PAGE.splitlines()
    if line.startswith("| ") and len(cells := [cell.strip() for cell in line.strip("|").split("|")]) == 6
}
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
APP = json.loads((ROOT / "pwa/package.json").read_text())
CLASSIFIERS = {  # what a package says in words, as the SPDX id that the page says
    "BSD License": "BSD",
    "Apache Software License": "Apache-2.0",
    "Zope Public License": "ZPL",
}


@pytest.fixture(scope="session")
def python_bill():
    return of_a_user(installed())


@pytest.fixture(scope="session")
def carried(tmp_path_factory):
    """The bill that a wheel of this source carries."""
    folder = tmp_path_factory.mktemp("wheel")
    (ROOT / "pwa/.made").mkdir(exist_ok=True)
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    (wheel,) = folder.glob("*.whl")
    with zipfile.ZipFile(wheel) as opened:
        (name,) = [each for each in opened.namelist() if "/sboms/" in each]
        texts = {each: opened.read(each) for each in opened.namelist() if each.endswith("licences.txt")}
        return json.loads(opened.read(name)), b"".join(texts.values()).decode()


def licences(component):
    for each in component.get("licenses", ()):
        told = each.get("expression") or each["license"].get("id") or each["license"]["name"]
        yield next((spdx for words, spdx in CLASSIFIERS.items() if words in told), told)


@pytest.mark.parametrize("package", [named(each) for each in PROJECT["dependencies"]])
def test_the_python_bill_has_each_package_under_the_licence_that_the_page_says(python_bill, package):
    (component,) = [each for each in python_bill["components"] if plain(each["name"]) == package]
    told = list(licences(component))

    assert told
    words = set(re.findall(r"[A-Za-z]+", LICENCES[package].replace("MIT-CMU", "MIT CMU")))
    assert any(words & set(re.findall(r"[A-Za-z]+", each)) for each in told), (told, LICENCES[package])


def test_the_python_bill_has_what_packages_bring_along_and_nothing_of_the_tests(python_bill):
    names = {plain(each["name"]) for each in python_bill["components"]}

    assert {"werkzeug", "cffi", "urllib3"} <= names
    assert not names & {"pytest", "hypothesis", "ruff", "cyclonedx-bom"}


@pytest.mark.parametrize("package", list(APP["dependencies"]))
def test_the_wheel_carries_a_bill_with_each_package_of_the_app(carried, package):
    bill, texts = carried
    (component,) = [each for each in bill["components"] if each["name"] == package]

    (told,) = licences(component)
    assert told in LICENCES[plain(package)] or told == "MIT", LICENCES[plain(package)]
    assert f"\n{package} {component['version']}: {told}" in texts


def test_every_part_of_the_wheels_bill_has_a_licence(carried):
    bill, _ = carried

    assert [each["name"] for each in bill["components"] if not list(licences(each))] == []


@pytest.mark.parametrize(
    ("part", "words"),
    [
        ("acoustic model", "Redistributions in binary form must reproduce the above copyright"),
        ("DejaVu", "Bitstream Vera"),
        ("Python, its standard library", "Python Software Foundation"),
        ("preact", "Permission is hereby granted"),
    ],
)
def test_the_wheel_carries_the_words_of_each_licence(carried, part, words):
    bill, texts = carried

    assert any(part in each["name"] for each in bill["components"])
    assert words in texts


def row(name, *faults):
    return {"name": name, "version": "1", "vulns": [{"id": fault} for fault in faults]}


def test_a_known_fault_is_told_and_is_not_well():
    faults = python_faults(json.dumps({"dependencies": [row("flask", "CVE-1"), row("av")]}))

    assert faults == [("flask", "1", "CVE-1")]
    assert judge(faults, {}) == (["KNOWN FAULT flask 1: CVE-1"], False)
    assert judge(faults, {"CVE-1": "only on Windows"}) == (["accepted CVE-1: only on Windows"], True)


def test_a_known_fault_of_the_app_is_told():
    via = {"url": "https://advisories.example/GHSA-1", "title": "x"}
    told = {"vulnerabilities": {"idb": {"range": "<9", "via": [via, "another"]}}}

    assert app_faults(json.dumps(told)) == [("idb", "<9", "GHSA-1")]


def test_nothing_known_is_well():
    assert judge(python_faults(json.dumps({"dependencies": [row("av")]})), {}) == ([], True)
    assert app_faults(json.dumps({"vulnerabilities": {}})) == []


@pytest.mark.parametrize(
    ("read", "told"),
    [
        (python_faults, {"dependencies": [row("av"), {"name": "flask", "skip_reason": "not found"}]}),
        (python_faults, {"dependencies": []}),
        (app_faults, {"message": "405 Method Not Allowed", "error": {}}),
    ],
)
def test_who_was_not_answered_is_never_told_that_all_is_well(read, told):
    with pytest.raises(NoAnswer):
        read(json.dumps(told))


@pytest.mark.parametrize(("required", "code"), [(False, 0), (True, advisories.NOT_ASKED)])
def test_without_an_answer_a_run_goes_on_and_says_so_and_a_release_stops(monkeypatch, capsys, required, code):
    def nobody(*_words, **_how):
        raise NoAnswer("the network is down")

    monkeypatch.setattr(advisories, "said", nobody)

    assert advisories.main(required) == code
    assert capsys.readouterr().out.count("NOT CHECKED for known faults") == 2


def test_a_fault_ends_the_run_even_where_the_other_side_got_no_answer(monkeypatch):
    def only_python(command, **_how):
        if command[0] == "npm":
            raise NoAnswer("the network is down")
        return json.dumps({"dependencies": [row("flask", "CVE-1")]})

    monkeypatch.setattr(advisories, "said", only_python)

    assert advisories.main(required=False) == advisories.FOUND
