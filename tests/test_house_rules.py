"""The rules that hold the house together: which room may import which, and that core stays pure."""

import ast
import re
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "server/plytally"
ROOMS = {  # a room, and what else of plytally it may import; the table of DEVELOPERS.md is held to this
    "core": set(),
    "speech": {"core"},
    "store": {"core", "clock"},
    "find": {"core", "store"},
    "record": {"core", "store", "clock"},
    "remind": {"core", "store", "clock", "steady"},
    "workshop": {
        *("core", "speech", "store", "find", "record"),
        *("clock", "steady", "resting", "schedule_file", "schedule_table"),
    },
    "web": {"core", "speech", "store", "find", "record", "remind", "workshop", "clock"},
}
SMALL = {  # files beside the rooms that a room may import, and what they may
    "clock": {"core"},
    "steady": set(),
    "resting": set(),
    "schedule_table": {"core"},
    "schedule_file": {"core", "schedule_table"},
}
DOORS = {  # libraries that stand behind one room or few, so that they can be replaced there
    "av numpy pocketsphinx vosk": {"speech"},
    "pywebpush py_vapid requests": {"remind"},
    "flask werkzeug marshmallow waitress argon2 segno PIL pillow_heif markupsafe": {"web"},
    "reportlab": {"record"},
    "cryptography": {"web", "remind"},
    "tinydb": {"store", "remind", "workshop", "web"},
    "yaml": {"schedule_file", "workshop"},
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
    """The modules that a file imports, by their full names."""
    for node in ast.walk(ast.parse(file.read_text())):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{file.name} imports by dots; write the whole name"
            whole = node.module == "plytally"
            yield from (f"plytally.{alias.name}" for alias in node.names) if whole else (node.module,)


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


@pytest.mark.parametrize(("room", "allowed"), [*ROOMS.items(), *SMALL.items()])
def test_a_room_imports_only_the_rooms_it_may(room, allowed):
    for file in files(room) or [PACKAGE / f"{room}.py"]:
        for name in imported(file):
            if name.startswith("plytally."):
                assert name.split(".")[1] in {room, *allowed}, f"{file.name} imports {name}"


def test_every_room_has_its_arrows():
    assert {folder.name for folder in PACKAGE.iterdir() if (folder / "__init__.py").exists()} == {
        *ROOMS,
        "shop_commands",
    }


@pytest.mark.parametrize(("libraries", "rooms"), DOORS.items())
def test_a_library_stands_behind_its_door(libraries, rooms):
    users = {
        file.relative_to(PACKAGE).parts[0].removesuffix(".py")
        for file in PACKAGE.rglob("*.py")
        if any(name.partition(".")[0] in libraries.split() for name in imported(file))
    }

    assert users == rooms


@pytest.mark.parametrize(("room", "allowed"), ROOMS.items())
def test_the_contributors_guide_draws_the_same_arrows(room, allowed):
    guide = (ROOT / "DEVELOPERS.md").read_text()
    (cell,) = re.findall(rf"^\| `{room}/` \| .* \| (.*) \|$", guide, re.MULTILINE)

    assert set(re.findall(r"`(\w+)`", cell)) == allowed


OWN_FILES = [
    *PACKAGE.rglob("*.py"),
    *(ROOT / "tests").rglob("*.py"),
    *(file for kind in ("ts", "tsx", "css") for file in (ROOT / "pwa/src").rglob(f"*.{kind}")),
]


def test_a_file_over_300_lines_says_why_in_its_first_lines():
    for file in OWN_FILES:
        text = file.read_text()
        if len(text.splitlines()) > 300:
            assert "Long because" in text[:1500], f"{file.name} is over 300 lines and does not say why"


def raised(function):
    """The errors that a function's own body raises by name."""
    for node in ast.walk(function):
        called = node.exc if isinstance(node, ast.Raise) else None
        called = called.func if isinstance(called, ast.Call) else called
        if isinstance(called, ast.Name) and called.id in ERRORS:
            yield called.id


def public_functions(file):
    tree = ast.parse(file.read_text())
    bodies = [tree, *(node for node in tree.body if isinstance(node, ast.ClassDef) and node.name[0] != "_")]
    return [
        node
        for body in bodies
        for node in body.body
        if isinstance(node, ast.FunctionDef) and node.name[0] != "_"
    ]


ERRORS = {
    node.name
    for file in PACKAGE.rglob("*.py")
    for node in ast.walk(ast.parse(file.read_text()))
    if isinstance(node, ast.ClassDef) and any("Error" in ast.unparse(base) for base in node.bases)
} | {"ValueError", "LookupError"}
TELLING = [file for room in ROOMS if room != "web" for file in files(room)]
"""Rooms whose callers are code; what a route refuses is a Problem, and stands in the API's description."""


@pytest.mark.parametrize("file", TELLING, ids=lambda f: f"{f.parent.name}/{f.name}")
def test_what_others_call_tells_its_errors(file):
    silent = [
        f"{function.name}, line {function.lineno}: {sorted(named)}"
        for function in public_functions(file)
        if (named := set(raised(function)))
        and not re.search(rf"Error|{'|'.join(named)}", ast.get_docstring(function) or "")
    ]

    assert silent == []
