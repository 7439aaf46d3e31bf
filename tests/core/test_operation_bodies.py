"""What the body of each act must hold."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from support.devices import HEARING, LAID, doubt, note_body

from plytally.core.body import body_problems, examine
from plytally.core.canonical import canonical
from plytally.core.entry import Doubt, Entry
from plytally.core.operation import ACTS
from plytally.core.quantities import parse_quantity

OVER = ["01a21213-6eb6-700c-b262-baf32fb5fa48"]
ATTACH = {"media": "ab" * 32, "mime": "audio/webm; codecs=opus", "size": 4000, "role": "sound"}


def amend(**changes):
    return {"field": "plies", "value": 3, "over": OVER} | changes


def laid(**changes):
    return note_body(LAID | changes)


@pytest.mark.parametrize(
    ("act", "body"),
    [
        pytest.param("note", note_body(), id="note"),
        pytest.param("note", note_body(hearing=HEARING, doubts=[doubt()]), id="note heard, with a doubt"),
        pytest.param("amend", amend(), id="amend"),
        pytest.param("amend", amend(value=None), id="amend that takes a field out"),
        pytest.param("amend", amend(field="kind", value="measured"), id="amend the kind"),
        pytest.param("amend", amend(field="withdrawn", value=None), id="bring back"),
        pytest.param(
            "amend", amend(doubts=[doubt()], why="heard again", author="builder"), id="amend by voice"
        ),
        pytest.param("resolve", amend(over=OVER * 2), id="resolve"),
        pytest.param("resolve", amend(field="repeat", value=None), id="resolve a doubt about no field"),
        pytest.param("withdraw", {"why": ""}, id="withdraw"),
        pytest.param("withdraw", {"why": "wrong part", "over": OVER}, id="withdraw again"),
        pytest.param("attach", ATTACH, id="attach"),
        pytest.param("attach", ATTACH | {"name": "aft face", "role": "photo"}, id="attach a named photo"),
    ],
)
def test_a_sound_body_has_no_problem(act, body):
    assert body_problems(act, body) == ()


@pytest.mark.parametrize(
    ("act", "body", "words"),
    [
        pytest.param("note", {}, "'note' needs 'entry'", id="empty note"),
        pytest.param(
            "note", note_body() | {"colour": 1}, "'colour' is not a part of 'note'", id="unknown part"
        ),
        pytest.param(
            "note", note_body("two plies"), "'entry' must be an object, found str", id="entry as text"
        ),
        pytest.param("note", laid(kind="sung"), "'sung' is not a kind of entry", id="unknown kind"),
        pytest.param("note", laid(kind=["laid"]), "is not a kind of entry", id="kind as list"),
        pytest.param("note", laid(fields={"gauge": 3}), "field 'gauge' holds a quantity", id="field unfit"),
        pytest.param(
            "note", laid(fields={"grit": 80}), "kind 'laid' has no field 'grit'", id="field of another"
        ),
        pytest.param("note", laid(fields=[]), "'fields' must be an object", id="fields as list"),
        pytest.param(
            "note", laid(when="now"), "'when' is not a part of an entry", id="unknown part of entry"
        ),
        pytest.param("note", laid(said=5), "'said' must be text", id="said"),
        pytest.param("note", laid(unused="uh"), "'unused' must be a list of words", id="unused as text"),
        pytest.param("note", laid(unused=[1]), "'unused' must be a list of words", id="unused numbers"),
        pytest.param("note", note_body() | {"doubts": {}}, "'doubts' must be a list", id="doubts"),
        pytest.param("note", note_body(doubts=[{"field": "plies"}]), "doubts[0] must be", id="half a doubt"),
        pytest.param("note", note_body(doubts=[doubt(heard=2)]), "doubts[0] must be", id="doubt of number"),
        pytest.param("note", note_body(hearing="laid"), "'hearing' must be an object or null", id="hearing"),
        pytest.param("note", note_body() | {"author": None}, "'author' must be text", id="author"),
        pytest.param("amend", amend(field="colour"), "'colour' is not a field of any entry", id="no field"),
        pytest.param("amend", amend(field="Plies"), "'field' must be a field's name", id="field in capitals"),
        pytest.param("amend", amend(value="three"), "field 'plies' holds a whole number", id="value unfit"),
        pytest.param("amend", amend(value=-1), "field 'plies' holds a whole number", id="value below 0"),
        pytest.param("amend", amend(field="kind", value=None), "None is not a kind of entry", id="no kind"),
        pytest.param(
            "amend", amend(field="withdrawn", value=1), "'withdrawn' holds text or null", id="withdrawn"
        ),
        pytest.param("amend", amend(over="all"), "'over' must be a list of operation ids", id="over"),
        pytest.param("amend", amend(over=["1"]), "'over' must be a list of operation ids", id="over no ids"),
        pytest.param("resolve", amend(field="repeat", value=5), "'repeat' holds text or null", id="answer"),
        pytest.param("withdraw", {}, "'withdraw' needs 'why'", id="withdraw without why"),
        pytest.param("attach", ATTACH | {"media": "../x"}, "'media' must be a SHA-256", id="media"),
        pytest.param("attach", ATTACH | {"mime": "sound"}, "'mime' must be a media type", id="mime"),
        pytest.param("attach", ATTACH | {"size": -1}, "'size' must be a whole number of bytes", id="size"),
        pytest.param("attach", ATTACH | {"role": ""}, "'role' must be a role", id="role"),
    ],
)
def test_an_unfit_body_is_told_why(act, body, words):
    assert words in "; ".join(body_problems(act, body))


def test_a_note_means_its_entry_with_its_doubts():
    meaning = examine("note", note_body(doubts=[doubt()])).meaning
    assert meaning == Entry(
        "laid", LAID["fields"], LAID["said"], (), (Doubt("plies", "2", "3", doubt()["why"]),)
    )


def test_an_amendment_means_its_value():
    value = {"amount": "22", "unit": "inHg"}
    assert examine("amend", amend(field="gauge", value=value)).meaning == parse_quantity("22 inHg")


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-9, 9) | st.text(max_size=4),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text("abcdefkindvalue", max_size=6), inner)
    ),
    max_leaves=8,
)
PARTS = st.sampled_from(["entry", "doubts", "hearing", "author", "field", "value", "over", "media", "size"])


@given(st.sampled_from(ACTS), st.dictionaries(PARTS, JSON))
def test_no_body_whatever_makes_the_check_fail(act, body):
    assert all(isinstance(problem, str) for problem in body_problems(act, body))


@given(JSON)
def test_no_entry_whatever_makes_the_check_fail(entry):
    canonical(entry)
    assert all(isinstance(problem, str) for problem in body_problems("note", note_body(entry)))
