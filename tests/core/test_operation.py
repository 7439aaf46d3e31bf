"""Operations: one spelling, everything wrong told, the chain."""

import hashlib
import json

import pytest
from support.devices import HEARING, MORNING, Device, note_body, raw_note

from plytally.core.clock import Stamp
from plytally.core.operation import GENESIS, MAX_BYTES, Operation, OperationError, link

TARGET = "01a21213-6eb6-700c-b262-baf32fb5fa48"


def test_an_operation_comes_back_from_its_json_as_it_was():
    operation = Device().notes(hearing=HEARING)
    assert Operation.from_json(json.loads(operation.to_bytes())) == operation


def test_an_operation_has_the_bytes_that_its_json_has_sorted_and_without_blanks():
    operation = Device().withdraws(TARGET, "wrong side")
    assert (
        operation.to_bytes()
        == (
            '{"act":"withdraw","body":{"over":[],"why":"wrong side"},"device":"phone","id":"'
            + operation.id
            + '",'
            '"number":1,"skew_ms":null,"stamp":[1793690401000,0],"target":"' + TARGET + '",'
            '"wall":"2026-11-03T08:20:01.000+01:00"}'
        ).encode()
    )


def test_operations_are_equal_by_their_bytes_so_that_true_is_not_one():
    one, true = raw_note(body=note_body() | {"x": 1}), raw_note(body=note_body() | {"x": True})
    assert Operation.from_json(one) != Operation.from_json(true)


def test_a_note_is_about_itself_and_an_amendment_about_its_target():
    phone = Device()
    note = phone.notes()
    assert note.entry_id == note.id
    assert phone.amends(note.id, "plies", 3).entry_id == note.id


def test_the_known_skew_is_taken_off_the_wall_time():
    raw = raw_note(skew_ms=90_000)
    assert Operation.from_json(raw).happened_millis == MORNING + 1000 - 90_000


def test_what_was_checked_before_is_read_back_the_same_without_a_second_look():
    operation = Device().notes()
    assert Operation.from_checked(operation.as_json()) == operation


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        pytest.param({"id": "7"}, "'id' must be a UUIDv7 in lower case, found '7'", id="id"),
        pytest.param({"device": "Phone 1"}, "'device' must be a device name", id="device"),
        pytest.param({"number": 0}, "'number' must be the device's running number", id="number 0"),
        pytest.param({"number": True}, "'number' must be the device's running number", id="number true"),
        pytest.param({"stamp": [1]}, r"'stamp' must be \[millis, counter\]", id="short stamp"),
        pytest.param({"stamp": [-1, 0]}, r"'stamp' must be \[millis, counter\]", id="stamp below 0"),
        pytest.param({"stamp": "1"}, r"'stamp' must be \[millis, counter\]", id="stamp as text"),
        pytest.param({"wall": "tea time"}, "'wall' must be an RFC 3339 time", id="wall"),
        pytest.param({"wall": 5}, "'wall' must be an RFC 3339 time", id="wall as number"),
        pytest.param({"skew_ms": 0.5}, "'skew_ms' must be a whole number", id="skew"),
        pytest.param({"act": "delete"}, "'act' must be one of note, amend", id="unknown act"),
        pytest.param({"act": ["note"]}, "'act' must be one of note, amend", id="act as list"),
        pytest.param({"target": TARGET}, "a note has no target", id="note with target"),
        pytest.param({"act": "amend"}, "'amend' needs an entry as its target", id="amend without target"),
        pytest.param({"body": []}, "'body' must be a JSON object", id="body"),
        pytest.param({"body": {"x": 0.1}}, "body.x is a floating-point number", id="float in the body"),
        pytest.param({"colour": "red"}, "'colour' is not a part of an operation", id="unknown part"),
        pytest.param({"body": {"x": "y" * MAX_BYTES}}, f"the limit is {MAX_BYTES}", id="too large"),
    ],
)
def test_what_is_no_operation_is_refused_with_the_reason(changes, words):
    with pytest.raises(OperationError, match=words):
        Operation.from_json(raw_note(**changes))


@pytest.mark.parametrize("name", list(raw_note()))
def test_a_missing_part_is_named(name):
    raw = raw_note()
    del raw[name]
    with pytest.raises(OperationError, match=f"'{name}' is missing"):
        Operation.from_json(raw)


def test_every_problem_is_told_at_once():
    with pytest.raises(OperationError) as refused:
        Operation.from_json({"id": "7", "number": -1, "body": {"x": 0.1, "y": 0.2}})
    assert len(refused.value.problems) == 2 + 2 + 6


def test_a_long_wrong_value_is_shown_cut_short():
    with pytest.raises(OperationError, match=r"found 'x{70,76}\.\.\.$"):
        Operation.from_json(raw_note(id="x" * 5000))


def test_what_is_no_object_is_refused():
    with pytest.raises(OperationError, match="an operation is a JSON object, found list"):
        Operation.from_json([])


def test_an_operation_cannot_carry_another_devices_stamp():
    parts = {name: getattr(Device().notes(), name) for name in raw_note()}
    with pytest.raises(OperationError, match="'stamp' is of device 'tablet'"):
        Operation(**parts | {"stamp": Stamp(1, 0, "tablet")})


def test_an_operation_made_in_code_is_checked_as_one_that_arrives():
    parts = {name: getattr(Device().notes(), name) for name in raw_note()}
    with pytest.raises(OperationError, match="running number"):
        Operation(**parts | {"number": 0})


def test_a_link_is_the_sha256_over_the_link_before_a_line_end_and_the_payload():
    wanted = hashlib.sha256(b"0" * 64 + b"\n" + b"payload").hexdigest()
    assert link(GENESIS, b"payload") == wanted


def test_another_byte_or_another_past_gives_another_link():
    links = {link(GENESIS, b"a"), link(GENESIS, b"b"), link(link(GENESIS, b"a"), b"b"), link(GENESIS, b"ab")}
    assert len(links) == 4
