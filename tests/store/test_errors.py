"""One family of errors, drawn as a tree in its docstring."""

import errno
import inspect
import re
from pathlib import Path

import pytest

from plytally.store import errors


def family():
    return {
        name: kind
        for name, kind in inspect.getmembers(errors, inspect.isclass)
        if kind.__module__ == errors.__name__
    }


def test_every_error_of_the_room_is_a_store_error():
    assert all(issubclass(kind, errors.StoreError) for kind in family().values())


def test_the_tree_in_the_docstring_names_each_of_them():
    assert set(re.findall(r"\b[A-Z][a-z]+[A-Z]\w+", errors.__doc__)) == set(family())


@pytest.mark.parametrize(
    ("number", "kind", "words"),
    [
        pytest.param(errno.ENOSPC, errors.StoreFull, "make room", id="disk full"),
        pytest.param(errno.EDQUOT, errors.StoreFull, "quota", id="quota"),
        pytest.param(errno.EFBIG, errors.StoreFull, "limit", id="file size limit"),
        pytest.param(errno.EROFS, errors.StoreUnwritable, "mount it for writing", id="read-only"),
        pytest.param(errno.EACCES, errors.StoreUnwritable, "permissions", id="no permission"),
        pytest.param(errno.EIO, errors.StoreBroken, "check the disk", id="input/output error"),
        pytest.param(None, errors.StoreBroken, "check the disk", id="no number"),
    ],
)
def test_what_the_system_reports_becomes_a_sentence_with_what_to_do(number, kind, words):
    problem = OSError(number, "the system's words") if number else OSError("the system's words")
    told = errors.store_error(problem, "writing to", Path("data/journal"))
    assert type(told) is kind
    assert re.search(f"writing to data/journal: .*the system's words.*{words}", str(told))


def test_an_os_error_inside_the_block_keeps_its_cause():
    with pytest.raises(errors.StoreFull) as told, errors.telling("writing", Path("x")):
        raise OSError(errno.ENOSPC, "full")
    assert isinstance(told.value.__cause__, OSError)
