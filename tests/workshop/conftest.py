"""The demo's months of notes, as a folder and at a bench; and the ear of the second hearing."""

import pytest

from plytally.workshop.ear import Ear
from plytally.workshop.history import replay


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    folder = tmp_path_factory.mktemp("history") / "log"
    replay(folder).close()
    return folder


@pytest.fixture(scope="module")
def bench(folder):
    """The shop computer's bench over a log of the same notes."""
    with replay(folder.parent / "again") as bench:
        yield bench


@pytest.fixture(scope="module")
def ear(tmp_path_factory):
    made = Ear(tmp_path_factory.mktemp("data"), "sphinx")
    yield made
    made.close()
