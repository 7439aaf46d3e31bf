"""The demo's months of notes: as a folder for the command line, and at a bench for everything else."""

import pytest

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
