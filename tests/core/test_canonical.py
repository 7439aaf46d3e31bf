"""One spelling for a JSON value."""

import hashlib
import json
import re
import shutil
import subprocess

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.canonical import MAX_DEPTH, MAX_INTEGER, canonical, problems_in

NODE = shutil.which("node")
IN_JAVASCRIPT = """
const crypto = require('crypto');
const spell = v => Array.isArray(v) ? '[' + v.map(spell).join(',') + ']'
  : v !== null && typeof v === 'object'
    ? '{' + Object.keys(v).sort().map(k => JSON.stringify(k) + ':' + spell(v[k])).join(',') + '}'
    : JSON.stringify(v);
const values = JSON.parse(require('fs').readFileSync(0, 'utf8'));
const hash = v => crypto.createHash('sha256').update(new TextEncoder().encode(spell(v))).digest('hex');
console.log(JSON.stringify(values.map(hash)));
"""

KEYS = st.text(st.characters(min_codepoint=0x20, max_codepoint=0x7E), min_size=1, max_size=6)
PLAIN = st.none() | st.booleans() | st.integers(-MAX_INTEGER, MAX_INTEGER) | st.text(max_size=12)
VALUES = st.recursive(
    PLAIN, lambda inner: st.lists(inner, max_size=4) | st.dictionaries(KEYS, inner, max_size=4), max_leaves=12
)
AWKWARD = {
    "b": [0, -1, MAX_INTEGER, -MAX_INTEGER, True, False, None],
    "a": 'ply "two"\\ \b\f\n\r\t \x00\x1f\x7f',
    "Z": "Spant\u00fc\u2028\u20ac\U0001f600 e\u0301",
    "10": [],
    "9": {"~": {}, " ": ""},
}


@given(VALUES)
def test_the_bytes_are_those_of_the_published_canonical_form_as_a_general_library_writes_it(value):
    assert list(problems_in(value, "value")) == []
    assert canonical(value) == rfc8785.dumps(value)


@given(VALUES)
def test_the_bytes_read_back_as_the_value(value):
    assert json.loads(canonical(value)) == value


@pytest.mark.skipif(NODE is None, reason="node is not installed")
@settings(max_examples=5, deadline=None)
@given(st.lists(VALUES, min_size=20, max_size=60))
def test_javascript_spells_the_same_bytes_by_the_rules_in_the_docstring(values):
    values.append(AWKWARD)
    told = subprocess.run(
        [NODE, "-e", IN_JAVASCRIPT], input=json.dumps(values), capture_output=True, text=True, check=True
    )
    assert json.loads(told.stdout) == [hashlib.sha256(canonical(value)).hexdigest() for value in values]


def nested(depth):
    value = "ply"
    for _ in range(depth):
        value = [value]
    return value


@pytest.mark.parametrize(
    ("value", "words"),
    [
        pytest.param(
            {"mass": 1.5}, "x.mass is a floating-point number, 1.5: write amounts as text", id="float"
        ),
        pytest.param([2**53], r"x\[0\] is a whole number beyond", id="integer beyond JavaScript's"),
        pytest.param({"ä": 1}, "keys are 1 to 64 printable ASCII", id="key beyond ASCII"),
        pytest.param({3: 1}, "keys are 1 to 64 printable ASCII", id="key no text"),
        pytest.param({"": 1}, "keys are 1 to 64 printable ASCII", id="empty key"),
        pytest.param("\ud800", "half a character", id="lone surrogate"),
        pytest.param(b"x", "no JSON value but a bytes", id="bytes"),
        pytest.param(nested(MAX_DEPTH + 1), f"nested more than {MAX_DEPTH} deep", id="too deep"),
    ],
)
def test_what_has_no_canonical_bytes_is_told(value, words):
    (problem,) = problems_in(value, "x")
    assert re.search(words, problem)


def test_the_deepest_nesting_allowed_is_allowed():
    assert list(problems_in(nested(MAX_DEPTH), "x")) == []


def test_every_problem_is_told_not_the_first_only():
    assert len(list(problems_in({"a": 1.5, "b": [2.5, b""]}, "x"))) == 3
