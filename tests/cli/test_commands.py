"""The commands as a family: exit codes of their own, and no waiting for what a command does not need."""

import subprocess
import sys
from importlib import import_module

import pytest

from plytally.cli import main
from plytally.failing import EXIT_CODES, exit_code


def test_every_failure_has_an_exit_code_of_its_own():
    codes = list(EXIT_CODES.values())

    assert len(set(codes)) == len(codes)
    assert not {0, 1, 2} & set(codes)


@pytest.mark.parametrize("name", EXIT_CODES)
def test_every_failure_with_an_exit_code_is_one_that_can_happen(name):
    module, _, kind = name.rpartition(".")
    failure = getattr(import_module(module), kind)

    assert issubclass(failure, Exception)
    assert f"{failure.__module__}.{failure.__qualname__}" == name
    assert exit_code(failure.__new__(failure)) == EXIT_CODES[name]


def test_a_command_loads_only_what_it_needs():
    """A typed note on a small machine must not wait for the web server, the PDF or what decodes sound."""
    loaded = "import sys, plytally.cli; print(*sys.modules)"
    told = subprocess.run([sys.executable, "-c", loaded], capture_output=True, text=True, check=True)

    assert not {"flask", "requests", "reportlab", "av", "numpy"} & set(told.stdout.split())


@pytest.mark.parametrize("name", main.homes)
def test_a_command_that_is_loaded_late_is_called_what_the_list_calls_it(name):
    assert main.all_commands()[name].name == name
