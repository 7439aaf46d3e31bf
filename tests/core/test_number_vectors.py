"""What is said, and what it means: the rows of tests/vectors/numbers.json.

The same rows are read on the phone. `value` is written out as text, null where nothing may be read; `used`
is how many words made it.
"""

import json
from pathlib import Path

import pytest
from support.vector_runner import READERS

from plytally.core.quantities import Dimension

ROWS = json.loads((Path(__file__).parents[1] / "vectors" / "numbers.json").read_text(encoding="utf-8"))


def reading(row, words, at):
    options = {"expecting": Dimension(row["expecting"])} if "expecting" in row else {}
    if "after_vacuum" in row:
        options["after_vacuum"] = row["after_vacuum"]
    found = READERS[row["read"]](words, at, **options)
    if found is None:
        return None, 0
    value = format(found[0], "f") if row["read"] == "number" else str(found[0])
    return value, found[1] - at


@pytest.mark.parametrize("row", [pytest.param(row, id=f"{row['read']}: {row['words'][:40]}") for row in ROWS])
def test_words_are_read_as_the_vectors_say(row):
    assert reading(row, tuple(row["words"].split()), 0) == (row["value"], row["used"])


@pytest.mark.parametrize("row", [pytest.param(row, id=f"{row['read']}: {row['words'][:40]}") for row in ROWS])
def test_words_mean_the_same_in_the_middle_of_a_sentence(row):
    words = ("seven", "laid", *row["words"].split())

    assert reading(row, words, 2) == (row["value"], row["used"])
