"""The schedule's YAML file: what is read, what is refused, and that every error names its line."""

from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.core.schedule import ScheduleError
from plytally.core.schedule_reading import schedule_from_json
from plytally.core.tree import Items, Leaf
from plytally.schedule_file import (
    DEEPEST,
    LARGEST_FILE,
    read_schedule_file,
    schedule_from_yaml,
    tree_from_yaml,
)

QUILLWING = Path(__file__).parents[1] / "demo_entries/quillwing.yaml"
SMALL = """\
aircraft: Quillwing
print revision: 1.10
materials: BID, UNI
parts:
  elevator spar:
    sides: left and right
    faces:
      fore:
        steps:
          - step: E1
            plies: 3
            material: BID
      aft:
    stations: hinge 1, hinge 2
    steps:
      - {step: E2, face: fore, at: [hinge 1, hinge 2], plies: 7, material: BID, after: E1}
"""


def plain(node):
    """The tree as lists and dicts, to be compared with another reader's."""
    if isinstance(node, Leaf):
        return node.text
    if isinstance(node, Items):
        return [plain(item) for item in node.items]
    return {name.text: plain(value) for name, value in node.pairs}


def problems(text):
    with pytest.raises(ScheduleError) as raised:
        schedule_from_yaml(text)
    return raised.value.problems


def test_the_demo_print_is_read_in_full():
    schedule = read_schedule_file(QUILLWING)

    assert len(schedule.parts) >= 12
    assert sum(len(part.sides) == 2 for part in schedule.parts) >= 6
    assert len({step.id for step in schedule.steps}) == sum(len(part.steps) for part in schedule.parts)


def test_the_demo_print_reaches_the_phone_unchanged():
    schedule = read_schedule_file(QUILLWING)

    assert schedule_from_json(schedule.as_json()) == schedule


def test_a_revision_is_text_and_keeps_its_last_zero():
    assert schedule_from_yaml(SMALL).revision == "1.10"


def test_each_step_knows_its_line():
    assert [step.line for step in schedule_from_yaml(SMALL).parts[0].steps] == [10, 16]


@pytest.mark.parametrize("newline", ["\r\n", "\n"])
def test_a_file_from_any_editor_is_read(tmp_path, newline):
    file = tmp_path / "print.yaml"
    file.write_bytes(b"\xef\xbb\xbf" + SMALL.replace("\n", newline).encode())

    assert read_schedule_file(file) == schedule_from_yaml(SMALL)


@pytest.mark.parametrize(
    ("wrong", "right", "line", "told"),
    [
        pytest.param("            plys: 3", "            plies: 3", 11, "did you mean 'plies'?", id="field"),
        pytest.param(
            "material: UNO\n", "material: BID\n", 12, "'UNO' is not a material of this print", id="material"
        ),
        pytest.param("after: E7}", "after: E1}", 16, "'after' names 'E7'", id="after"),
        pytest.param("sides: both", "sides: left and right", 6, "'both' is no side", id="side"),
        pytest.param(
            "at: [hinge 1, hinge 3]", "at: [hinge 1, hinge 2]", 16, "'hinge 3' is not a station", id="station"
        ),
        pytest.param("\tface: x", "    faces:", 7, "a tab in the indent", id="tab"),
        pytest.param("parts: &all", "parts:", 4, "'&all' marks a place", id="anchor"),
        pytest.param(
            "stations: *all", "stations: hinge 1, hinge 2", 14, "'*all' refers to another place", id="alias"
        ),
        pytest.param("materials: !!set {BID}", "materials: BID, UNI", 3, "is a tag", id="tag"),
        pytest.param(
            "at: [hinge 1, hinge 2", "at: [hinge 1, hinge 2]", 16, "not readable as YAML", id="bracket"
        ),
        pytest.param('aircraft: "Quillwing', "aircraft: Quillwing", 1, "not readable as YAML", id="quote"),
        pytest.param(
            "  ? [elevator spar]\n  :", "  elevator spar:", 5, "where a name should be", id="list as a name"
        ),
        pytest.param(
            "---\nmaterials: BID, UNI", "materials: BID, UNI", 4, "second document", id="two documents"
        ),
    ],
)
def test_an_error_names_its_line_and_what_to_do(wrong, right, line, told):
    assert SMALL.count(right) >= 1
    found = problems(SMALL.replace(right, wrong, 1))

    assert any(told in problem.message and problem.line == line for problem in found)


def test_a_field_that_stands_twice_is_told_with_its_line():
    (problem,) = problems(SMALL.replace("            plies: 3", "            plies: 3\n            plies: 4"))

    assert str(problem) == "line 12: 'plies' stands twice in a step; keep one"


def test_many_problems_are_told_together_in_the_order_of_the_file():
    text = (
        SMALL.replace("plies: 3", "plies: three")
        .replace("face: fore", "face: front")
        .replace("BID, UNI", "BD")
    )

    lines = [problem.line for problem in problems(text)]

    assert len(lines) == 4
    assert lines == sorted(lines)


@pytest.mark.parametrize(
    ("raw", "told"),
    [
        pytest.param(b"", "line 1: the file is empty", id="empty"),
        pytest.param(b"# only a remark\n", "line 1: the file is empty", id="remark"),
        pytest.param(b"aircraft: Q\nnote: caf\xe9\n", "line 2: not UTF-8 text", id="Latin-1"),
        pytest.param("aircraft: Q".encode("utf-16"), "not UTF-8 text", id="UTF-16"),
        pytest.param(b"aircraft: Q\nnote: \x00\n", "line 2: ", id="zero byte"),
        pytest.param(b"a: " + b"[" * 100, f"more than {DEEPEST} levels", id="too deep"),
        pytest.param(b"\x89PNG\r\n\x1a\n", "not UTF-8 text", id="picture"),
        pytest.param(b"just words", "is written as 'name: value' lines, found 'just words'", id="words"),
        pytest.param(b"#" * (LARGEST_FILE + 1), "larger than 4 MB", id="too large"),
    ],
)
def test_a_file_that_is_no_schedule_is_told(tmp_path, raw, told):
    file = tmp_path / "print.yaml"
    file.write_bytes(raw)

    with pytest.raises(ScheduleError) as raised:
        read_schedule_file(file)

    assert told in str(raised.value)


def test_a_missing_file_and_a_folder_are_told(tmp_path):
    for path in (tmp_path / "none.yaml", tmp_path):
        with pytest.raises(ScheduleError, match="cannot be read"):
            read_schedule_file(path)


def test_a_bomb_of_aliases_is_refused_before_it_grows():
    layers = "\n".join(f"l{n}: &l{n} [{', '.join([f'*l{n - 1}'] * 9)}]" for n in range(1, 30))

    (problem,) = problems(f"l0: &l0 boom\n{layers}")

    assert problem.line == 1


texts = st.text(st.characters(codec="utf-8", categories=["L", "N", "P", "S", "Zs"]), max_size=12)
values = st.recursive(
    texts,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(texts, inner, max_size=3),
    max_leaves=12,
)


@settings(max_examples=150, deadline=None)
@given(st.dictionaries(texts, values, min_size=1, max_size=4), st.booleans())
def test_the_tree_is_what_pyyaml_reads_from_the_same_text(value, flow):
    text = yaml.safe_dump(value, allow_unicode=True, default_flow_style=flow)

    assert plain(tree_from_yaml(text)) == yaml.load(text, Loader=yaml.BaseLoader)


@settings(max_examples=150, deadline=None)
@given(st.text(st.sampled_from("aE1:-[]{},&*!|>'\"#%@` \n\t"), max_size=60))
def test_no_text_ends_in_anything_but_a_schedule_or_a_located_error(text):
    with pytest.raises(ScheduleError) as raised:
        schedule_from_yaml(text)

    assert all(problem.message for problem in raised.value.problems)
    assert all(0 <= problem.line <= len(text.splitlines()) + 1 for problem in raised.value.problems)


@settings(max_examples=60, deadline=None)
@given(st.data())
def test_a_damaged_demo_print_is_read_or_told(data):
    text = QUILLWING.read_text()
    start = data.draw(st.integers(0, len(text) - 1))
    end = data.draw(st.integers(start, min(len(text), start + 40)))
    damaged = text[:start] + data.draw(st.sampled_from(["", "x", ":", "\n", "]", "'"])) + text[end:]
    try:
        told = [step.line for step in schedule_from_yaml(damaged).steps]
    except ScheduleError as error:
        told = [problem.line for problem in error.problems]

    assert told
    assert all(0 < line <= damaged.count("\n") + 1 for line in told)
