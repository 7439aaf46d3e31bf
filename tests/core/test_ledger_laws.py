"""What holds for every ledger, in whatever order and number the entries come."""

from collections import Counter

from hypothesis import given, settings
from hypothesis import strategies as st
from support.ledgers import HINGES, PRINT, entry, laid, mounted

from plytally.core.crediting import Dated
from plytally.core.entry import Place
from plytally.core.findings import findings
from plytally.core.ledger import Ledger

DAYS = st.integers(1, 28)
entries = st.one_of(
    st.builds(
        lambda plies, material, face, station, side, feature: laid(
            plies, material, face, station=station, side=side, feature=feature
        ),
        st.integers(0, 9),
        st.sampled_from(["BID", "UNI", "carbon BID"]),
        st.sampled_from(["fore", "aft", ""]),
        st.sampled_from(["", "", "", "root", *HINGES]),
        st.sampled_from(["left", "right", "right", ""]),
        st.sampled_from(["", "", "cap"]),
    ),
    st.builds(
        lambda plies, material, angle: laid(plies, material, part="post", orientation=angle),
        st.integers(1, 4),
        st.sampled_from(["BID", "UNI"]),
        st.sampled_from(["0", "45", "90", ""]),
    ),
    st.builds(mounted, st.sampled_from(["", *HINGES]), side=st.sampled_from(["left", "right", ""])),
    st.just(entry("bonded", part="fin")),
)
logs = st.lists(
    st.builds(
        lambda day, each, doubts, withdrawn: (f"2025-01-{day:02}T10:00:00Z", each, doubts, withdrawn),
        DAYS,
        entries,
        st.sampled_from([(), (), (), ("plies",)]),
        st.sampled_from([False, False, False, True]),
    ),
    max_size=25,
).map(lambda rows: [Dated(f"n{at:02}", *row) for at, row in enumerate(rows)])


def everything(ledger):
    return (ledger.tallies(), findings(ledger), ledger.left_off(), ledger.left_off(Place("spar", "right")))


@settings(max_examples=80, deadline=None)
@given(logs, st.randoms(use_true_random=False))
def test_the_ledger_is_the_same_in_whatever_order_entries_arrive(log, random):
    shuffled = random.sample(log, len(log))
    arriving = Ledger(PRINT)
    for dated in shuffled:
        arriving.add(dated)
        arriving.tallies()

    assert everything(arriving) == everything(Ledger(PRINT, log))


@settings(max_examples=80, deadline=None)
@given(logs, logs)
def test_a_ledger_kept_current_is_one_built_afresh(before, after):
    ledger = Ledger(PRINT, before)
    everything(ledger)
    for dated in after:
        ledger.add(dated)
    newest = {dated.id: dated for dated in (*before, *after)}

    assert everything(ledger) == everything(Ledger(PRINT, newest.values()))


@settings(max_examples=100, deadline=None)
@given(logs)
def test_no_ply_of_a_final_layup_is_lost_from_the_account(log):
    ledger = Ledger(PRINT, log)
    final = [d for d in log if d.entry.kind == "laid" and not d.withdrawn and not d.in_doubt]
    noted_plies = sum(d.entry.fields["plies"] for d in final)
    counted = sum(t.laid + t.over for t in ledger.tallies())
    aside = {f.entry.id: f.entry for f in findings(ledger) if f.kind in ("unplaced", "not on print")}
    put_aside = sum(
        d.entry.fields["plies"] for d in aside.values() if d.entry.kind == "laid" and not d.in_doubt
    )

    assert noted_plies == counted + put_aside


@settings(max_examples=80, deadline=None)
@given(logs)
def test_every_layup_is_evidence_or_a_finding(log):
    ledger = Ledger(PRINT, log)
    seen = {d.id for t in ledger.tallies() for d in t.evidence} | {f.entry.id for f in findings(ledger)}
    should = {d.id for d in log if d.entry.kind == "laid" and not d.withdrawn and d.entry.fields["plies"]}

    assert should <= seen


@settings(max_examples=80, deadline=None)
@given(logs)
def test_laid_and_owed_agree_with_a_count_by_hand(log):
    ledger = Ledger(PRINT, log)
    by_hand = Counter()
    for dated in log:
        if dated.entry.kind == "laid" and not dated.withdrawn and not dated.in_doubt:
            fields = dated.entry.fields
            where = tuple(fields.get(name, "") for name in ("part", "side", "face", "feature", "station"))
            if fields["material"] == "BID" and where[0] == "spar":
                by_hand[where] += fields["plies"]
    for t in ledger.tallies(Place("spar")):
        place = (t.place.part, t.place.side, t.place.face, t.place.feature, t.place.station)
        if t.steps in (("E1",), ("E2",)):
            assert t.laid == min(t.asked, by_hand[place])
            assert t.over == by_hand[place] - t.laid
