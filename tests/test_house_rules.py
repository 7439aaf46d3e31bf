"""The rules that hold the house together: which room may import which, and that core stays pure."""

import ast
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "server/plytally"
ROOMS = {  # a room, and the rooms of plytally that it may import
    "core": {"core"},
    "speech": {"speech", "core"},
    "store": {"store", "core", "clock"},
    "find": {"find", "store", "core"},
    "record": {"record", "store", "core", "clock"},
    "remind": {"remind", "store", "core", "clock", "steady"},
    "web": {"web", "store", "speech", "workshop", "find", "remind", "record", "core", "clock"},
}
IMPURE = {
    "os",
    "random",
    "pathlib",
    "time",
    "socket",
    "subprocess",
    "logging",
    "threading",
    "secrets",
    "io",
    "sys",
}


def imported(file):
    for node in ast.walk(ast.parse(file.read_text())):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield node.module if node.level == 0 else f"plytally.{file.parent.name}"


def files(room):
    return sorted((PACKAGE / room).rglob("*.py"))


@pytest.mark.parametrize("file", files("core"), ids=lambda f: f.name)
def test_core_imports_the_standard_library_and_core_alone(file):
    for name in imported(file):
        top = name.partition(".")[0]
        assert name.startswith("plytally.core") or top in sys.stdlib_module_names, name
        assert top not in IMPURE, f"{name} reaches outside"


@pytest.mark.parametrize("file", files("core"), ids=lambda f: f.name)
def test_core_reads_no_clock_and_no_random_number(file):
    for node in ast.walk(ast.parse(file.read_text())):
        if isinstance(node, ast.Attribute):
            assert node.attr not in {"now", "today", "utcnow"}, f"line {node.lineno}"


@pytest.mark.parametrize(("room", "allowed"), ROOMS.items())
def test_a_room_imports_only_the_rooms_it_may(room, allowed):
    for file in files(room):
        for name in imported(file):
            if name.startswith("plytally."):
                assert name.split(".")[1] in allowed, f"{file.name} imports {name}"


def test_a_file_over_300_lines_says_why_in_its_first_lines():
    for file in PACKAGE.rglob("*.py"):
        text = file.read_text()
        if len(text.splitlines()) > 300:
            assert "Long because" in text[:1500], f"{file.name} is over 300 lines and does not say why"
