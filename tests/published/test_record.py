"""The record and its tables against what is published: RFC 4180, and what a builder's record should hold."""

import csv
import io
import re
from pathlib import Path

import pytest

from plytally.record.cells import csv_lines
from plytally.record.content import NO_APPROVAL
from plytally.record.pages import CHAPTERS
from plytally.record.tables import CHANGE_HEAD, ENTRY_HEAD, PLY_HEAD

PAGE = (Path(__file__).parents[2] / "docs/record.md").read_text()


def line_of(*cells):
    """What our writer makes of one row, without its head."""
    *_, line = csv_lines(("a", "b", "c"), [cells])
    return line.decode("utf-8")


@pytest.mark.parametrize(
    ("cells", "line"),
    [
        pytest.param(("aaa", "bbb", "ccc"), "aaa,bbb,ccc\r\n", id="RFC 4180 section 2, rule 1: CRLF ends"),
        pytest.param(("aaa", "b\r\nbb", "ccc"), 'aaa,"b\r\nbb",ccc\r\n', id="rule 6: line ends in quotes"),
        pytest.param(("aaa", 'b"bb', "ccc"), 'aaa,"b""bb",ccc\r\n', id="rule 7: a quote is doubled"),
        pytest.param(("aaa", "b,bb", "ccc"), 'aaa,"b,bb",ccc\r\n', id="rule 6: commas in quotes"),
        pytest.param((" aaa", "b ", ""), " aaa,b ,\r\n", id="rule 4: spaces are data"),
    ],
)
def test_rows_are_written_as_published(cells, line):
    assert line_of(*cells) == line


def test_the_published_example_of_quotes_is_read_as_written():
    """RFC 4180 section 2, rule 7: "aaa","b""bb","ccc" is aaa / b"bb / ccc."""
    (row,) = csv.reader(io.StringIO('"aaa","b""bb","ccc"\r\n', newline=""))
    assert next(csv.reader(io.StringIO(line_of(*row), newline=""))) == ["aaa", 'b"bb', "ccc"]


@pytest.mark.parametrize("head", [ENTRY_HEAD, CHANGE_HEAD, PLY_HEAD])
def test_each_line_has_as_many_fields_as_the_head_and_no_name_twice(head):
    """RFC 4180 section 2, rules 3 and 4: a header line, the same number of fields throughout."""
    assert len(set(head)) == len(head)


# AC 20-27G as guidance, its wording seen in part; 14 CFR 43.9(a) as a model list. Each thing asked for, and
# the words by which the docs and the paper say where it is.
ASKED = [
    pytest.param("who", "noted by", id="AC 20-27G: who"),
    pytest.param("when", "Entries", id="AC 20-27G: when, continuous and sequential"),
    pytest.param("where", "Entries", id="AC 20-27G: where"),
    pytest.param("methods and materials", "Plies asked and laid", id="AC 20-27G: methods and materials"),
    pytest.param("workmanship", "Measured values", id="AC 20-27G: workmanship"),
    pytest.param("help received", "noted by", id="AC 20-27G: help received"),
    pytest.param("photos of all steps", "Entries", id="AC 20-27G: photos of all steps"),
    pytest.param("detailed descriptions", "Entries", id="AC 20-27G: detailed descriptions"),
    pytest.param("date of completion", "Plies asked and laid", id="14 CFR 43.9(a): date of completion"),
    pytest.param("number and kind of certificate", "Inspection", id="14 CFR 43.9(a): who approves"),
    pytest.param("major portion", "Hours and days", id="14 CFR 21.191(g): major portion"),
]


@pytest.mark.parametrize(("asked", "where"), ASKED)
def test_what_a_record_should_hold_stands_in_the_docs_and_on_paper(asked, where):
    rows = re.findall(r"^\| (.+?) \|", PAGE, re.MULTILINE)
    assert any(asked in row for row in rows)
    assert where in {title for title, _ in CHAPTERS} | {"noted by"}


def test_the_record_says_that_it_is_no_approval():
    assert "no approval" in NO_APPROVAL
    assert "no proof of airworthiness" in NO_APPROVAL
    assert "**None of it is an approval or a proof of airworthiness**" in PAGE
