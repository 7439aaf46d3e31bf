"""What the log and the print make likely, and how that leans the grammar: by a bounded amount."""

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.crediting import Dated
from plytally.core.expecting import NOTHING, expected, odds
from plytally.core.hearing import typed
from plytally.core.leaning import MOST, by_context, instead, shifted
from plytally.core.ledger import Ledger
from plytally.core.listening import grammar
from plytally.core.quantities import Ratio
from plytally.core.understand import understand
from plytally.core.vocabulary import from_schedule
from plytally.core.wall import DAY_MS, wall_millis
from plytally.schedule_file import read_schedule_file

PRINT = read_schedule_file(Path(__file__).parents[2] / "demo_entries/quillwing.yaml")
WORDS = from_schedule(PRINT)
NINE = wall_millis("2026-03-21T09:00:00Z")
MORNING = (
    ("08:00", "started layup on the right elevator spar"),
    ("08:10", "mixed eighty grams of epoxy at four to one batch seven one four"),
    ("08:30", "laid three plies of bid on the right elevator spar fore face"),
)
LAID = "laid {} on the right elevator spar aft face"
FORE = "laid {} on the right elevator spar fore face"
MIXED = "mixed fifty grams of epoxy at {}"
CURED = "cured the rudder post for four {}"


def dated(at, say, day="2026-03-21"):
    return Dated(f"{day}{at}", f"{day}T{at}:00Z", understand(typed(say), WORDS).entry)


def now(*notes, before=NINE):
    log = [dated(*note) for note in notes]
    return expected(Ledger(PRINT, log), reversed(log), before)


def likely(say, by):
    meant = understand(typed(say), WORDS)
    return odds(meant.name, meant.fields, by)


@pytest.fixture(scope="module")
def at_nine():
    return now(*MORNING)


def test_the_part_at_work_and_the_cup_in_use_come_from_the_day_s_notes(at_nine):
    assert (at_nine.part, at_nine.side, at_nine.kind) == ("elevator spar", "right", "laid")
    assert (at_nine.batch, at_nine.ratio) == ("714", Ratio(Decimal(4), Decimal(1)))


def test_what_came_later_or_the_day_before_counts_for_nothing():
    assert now(*MORNING, before=NINE - 7_200_000).part == ""
    assert now(*MORNING, before=NINE + DAY_MS).part == ""


def test_a_withdrawn_entry_counts_for_nothing():
    gone = Dated("x", "2026-03-21T08:00:00Z", dated(*MORNING[0]).entry, withdrawn=True)

    assert expected(Ledger(PRINT), [gone], NINE).part == ""


@pytest.mark.parametrize(
    ("likelier", "other"),
    [
        pytest.param(LAID.format("four plies of bid"), LAID.format("nine plies of bid"), id="plies"),
        pytest.param(LAID.format("four plies of bid"), LAID.format("four plies of uni"), id="material"),
        pytest.param("bagged the right elevator spar", "bagged the left elevator spar", id="side"),
        pytest.param("bagged the right elevator spar", "bagged the rudder spar", id="part"),
        pytest.param(
            MIXED.format("four to one batch seven one four"),
            MIXED.format("four to one batch seven one four one"),
            id="batch",
        ),
        pytest.param(MIXED.format("four to one"), MIXED.format("five to one"), id="ratio"),
        pytest.param(LAID.format("four plies of bid"), FORE.format("four plies of bid"), id="owed"),
        pytest.param(CURED.format("hours"), CURED.format("minutes"), id="usual"),
    ],
)
def test_what_the_shop_expects_is_likelier(at_nine, likelier, other):
    assert likely(likelier, at_nine) > likely(other, at_nine)


def test_where_nothing_is_known_only_what_a_shop_seldom_sees_is_unlikely():
    assert likely(LAID.format("four plies of uni"), NOTHING) == 0
    assert likely("shop air twenty degrees", NOTHING) < 0


@given(st.floats(-1e6, 1e6))
def test_no_odds_shift_further_than_the_bound(log_odds):
    assert abs(shifted(log_odds)) <= MOST


def test_a_grammar_without_context_leans_nowhere():
    bare = grammar(WORDS)
    heard = LAID.format("nine plies of bid")

    assert bare.lean(heard, LAID.format("four plies of bid")) == 0
    assert bare.likely(heard, bare.rivals(heard)) == ()


def test_a_likelier_rival_is_looked_for_however_close_another_comes(at_nine):
    leaning = by_context(grammar(WORDS), WORDS, at_nine)
    heard = LAID.format("nine plies of bid")

    found = {rival.fields: rival.others for rival in leaning.likely(heard, leaning.rivals(heard))}

    assert found[("plies",)] == ("four",)
    assert leaning.lean(heard, LAID.format("four plies of bid")) > 0


def test_the_batch_in_use_is_looked_for_among_thousands(at_nine):
    leaning = by_context(grammar(WORDS), WORDS, at_nine)
    heard = "mixed fifty grams of epoxy at four to one batch seven one"

    found = [rival for rival in leaning.likely(heard, leaning.rivals(heard)) if rival.fields == ("batch",)]

    assert [instead(rival, other).split()[-3:] for rival in found for other in rival.others] == [
        ["seven", "one", "four"]
    ]


def test_the_same_grammar_is_listened_by_in_every_context(at_nine):
    assert by_context(grammar(WORDS), WORDS, at_nine).jsgf == grammar(WORDS).jsgf
