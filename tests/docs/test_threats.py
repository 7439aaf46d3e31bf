"""What the page on threats says is shown by a test is shown by one that exists."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs/threats.md").read_text()
ROWS = [line for line in PAGE.splitlines() if line.startswith("| ") and "shown by" not in line]


@pytest.mark.parametrize("row", ROWS)
def test_each_harm_names_a_test_that_exists(row):
    named = re.findall(r"`(tests/[\w/]+\.py)(?:::(\w+))?`", row)

    assert named
    for file, test in named:
        text = (ROOT / file).read_text()
        assert not test or f"def {test}(" in text, f"{file} has no {test}"
