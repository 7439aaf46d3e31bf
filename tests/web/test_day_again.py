"""Every act at the desk, asked for again or cut short: it is done once, and nothing goes away."""

import pytest

from plytally.clock import fresh_id

ALL_ACTS = [
    pytest.param("09:20", "accept", {}, id="accept"),
    pytest.param("10:34", "answer", {"field": "mass", "choice": "runner_up"}, id="answer"),
    pytest.param("09:20", "correct", {"field": "plies", "words": "6"}, id="correct"),
    pytest.param("09:20", "reword", {"words": "bagged the right elevator spar"}, id="reword"),
    pytest.param("09:20", "withdraw", {"why": "noted twice"}, id="withdraw"),
    pytest.param("16:10", "bring_back", {"why": ""}, id="bring back"),
    pytest.param(
        "13:32", "split", {"parts": ["sanded the rudder post", "bagged the rudder post"]}, id="split"
    ),
    pytest.param("", "note", {"words": "bagged the rudder post"}, id="note"),
]


@pytest.mark.parametrize(("clock", "act", "more"), ALL_ACTS)
def test_the_same_request_again_changes_nothing(house, page, clock, act, more):
    rows, key = [page.at(clock)] if clock else [], fresh_id()
    first = page.does(act, *rows, key=key, **more)
    head = house.log.journal.head
    again = page.does(act, *rows, key=key, **more)
    assert first["kept"]
    assert (again["kept"], house.log.journal.head) == ([], head)


@pytest.mark.parametrize(("clock", "act", "more"), ALL_ACTS)
def test_a_request_that_was_cut_short_is_finished_by_asking_again(house, page, clock, act, more):
    rows, key = [page.at(clock)] if clock else [], fresh_id()
    append, log = house.log._append, house.log
    log._append = lambda operations: append(operations[:1])
    page.asks(act, *rows, key=key, **more)
    log._append = append
    page.does(act, *rows, key=key, **more)
    ids = house.ids()
    page.does(act, *rows, key=key, **more)
    assert house.ids() == ids
    assert len(ids) == len(set(ids))
    if act == "split":
        assert [row["stands"] for row in page.rows() if row["wall"] == rows[0]["wall"]].count(
            "withdrawn"
        ) == 1


@pytest.mark.parametrize(("clock", "act", "more"), ALL_ACTS)
def test_every_act_is_operations_of_the_desks_own_device_and_nothing_goes_away(house, page, clock, act, more):
    before = [record.operation for record in house.log.journal.read()]
    page.does(act, *([page.at(clock)] if clock else []), **more)
    after = [record.operation for record in house.log.journal.read()]
    assert after[: len(before)] == before
    assert {operation.device for operation in after[len(before) :]} == {house.log.device}
    assert house.log.state.put_aside == ()
