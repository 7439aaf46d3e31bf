"""Pictures say what the ledger says, are sound XML whatever was typed, and hide nothing in colour."""

import xml.etree.ElementTree as ET
from collections import Counter
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plytally.core.crediting import Dated
from plytally.core.entry import Entry, Place
from plytally.core.ledger import Ledger
from plytally.core.pictures.build import NO_PRINT, build_figure, standings
from plytally.core.pictures.drawing import MARKS, Box, Drawing, Words, hatch
from plytally.core.pictures.faces import part_figures, steps_figure
from plytally.core.pictures.svg import svg
from plytally.core.schedule import Schedule
from plytally.schedule_file import schedule_from_yaml

SVG = "{http://www.w3.org/2000/svg}"
PRINT = """
aircraft: Quillwing
print revision: C
materials: {BID: {}, UNI: {}}
parts:
  spar:
    sides: left and right
    faces: [fore, aft]
    stations: [hinge 1, hinge 2]
    steps:
      - {step: A1, face: fore, plies: 3, material: BID, orientation: "45"}
      - {step: A2, face: fore, at: [hinge 1, hinge 2], plies: 7, material: BID, orientation: "45"}
      - {step: A3, face: aft, plies: 2, material: UNI, orientation: "0"}
      - {step: A4, do: trim}
"""
SPAR = Place("spar", "right")


def laid(plies, number=1, station="", face="fore", material="BID", doubts=()):
    place = {"part": "spar", "side": "right", "face": face} | ({"station": station} if station else {})
    entry = Entry("laid", {"plies": plies, "material": material, **place})
    return Dated(f"entry-{number}", f"2026-03-{number:02}T10:00:00.000+01:00", entry, doubts)


def ledger(*entries):
    return Ledger(schedule_from_yaml(PRINT), entries)


def boxes(figure):
    """How many boxes of each mark are in the picture, less the one of its legend."""
    marks = Counter(shape.mark for shape in figure.drawing.shapes if isinstance(shape, Box))
    return {mark: count - 1 for mark, count in marks.items()}


def words(figure):
    return [shape.text for shape in figure.drawing.shapes if isinstance(shape, Words)]


def test_a_face_has_a_bar_for_each_ply_laid_in_doubt_owed_and_over():
    log = ledger(laid(4, 1), laid(7, 2, "hinge 1", doubts=("plies",)))

    fore, aft = part_figures(log, SPAR)

    assert boxes(fore) == {"laid": 3, "over": 1, "doubt": 7, "owed": 7}
    assert boxes(aft) == {"owed": 2, "laid": 0, "over": 0, "doubt": 0}
    assert "3 of 3, 1 over" in words(fore)
    assert "0 of 7, 7 in doubt" in words(fore)


@given(st.integers(0, 12), st.integers(0, 12))
def test_the_picture_the_table_and_the_ledger_agree_whatever_was_laid(whole, pad):
    log = ledger(*([laid(whole, 1)] if whole else []), *([laid(pad, 2, "hinge 2")] if pad else []))

    fore = part_figures(log, SPAR)[0]
    rows = [dict(zip(fore.table.head, row, strict=True)) for row in fore.table.rows]

    found = boxes(fore)
    assert sum(int(row["laid"]) for row in rows) == found["laid"] == min(whole, 3) + min(pad, 7)
    assert sum(int(row["owed"]) for row in rows) == found["owed"]
    assert sum(int(row["over"]) for row in rows) == found["over"] == max(0, whole - 3) + max(0, pad - 7)


def test_stations_stand_in_the_order_of_the_span():
    told = words(part_figures(ledger(), SPAR)[0])
    assert told.index("hinge 1") < told.index("hinge 2")


def test_a_part_that_is_asked_no_plies_says_so_and_draws_nothing():
    bare = PRINT.split("    steps")[0] + "    steps:\n      - {step: A4, do: trim}\n"
    (figure,) = part_figures(Ledger(schedule_from_yaml(bare)), SPAR)
    assert figure.drawing is None
    assert "no plies" in figure.remarks[0]


def test_what_does_not_agree_with_the_print_stands_beside_the_first_face():
    log = ledger(laid(1, 1, face="aft", material="BID"))
    first, second = part_figures(log, SPAR)
    assert any("not on print" in remark for remark in first.remarks)
    assert second.remarks == ()


def test_a_step_that_lays_nothing_is_open_in_doubt_or_done_on_its_day():
    def state(*entries):
        return steps_figure(ledger(*entries), SPAR).table.rows

    trimmed = Dated("t", "2026-03-09T10:00:00.000+01:00", Entry("trimmed", {"part": "spar", "side": "right"}))
    assert state() == (("A4", "trim", "open", ""),)
    assert state(trimmed) == (("A4", "trim", "done", "9 March 2026"),)
    assert state(replace(trimmed, open_doubts=("part",)))[0][2] == "in doubt"


HOSTILE = "</text><script>alert(1)</script><a href='javascript:alert(1)' onload=\"x\">&amp;\x00\ud800\ufffe"


@given(st.text() | st.just(HOSTILE))
def test_any_text_makes_sound_xml_with_no_script_link_style_or_handler(text):
    drawing = Drawing(text, 100, 50, (Words(1, 2, text), Box(1, 2, 30, 40, "laid")))

    root = ET.fromstring(svg(drawing))

    assert {each.tag.removeprefix(SVG) for each in root.iter()} == {"svg", "text", "rect", "path"}
    for each in root.iter():
        assert not [
            name for name in each.attrib if name.startswith("on") or "href" in name or name == "style"
        ]


def test_no_two_marks_look_alike_without_colour():
    looks = [
        replace(mark, label="") for name, mark in MARKS.items() if name in ("laid", "doubt", "owed", "over")
    ]
    assert len(set(looks)) == len(looks)


@pytest.mark.parametrize("angle", [45, 90, 135])
@given(width=st.floats(1, 500), height=st.floats(1, 60))
def test_hatch_lines_stay_inside_their_box(angle, width, height):
    box = Box(10, 20, width, height, "laid")
    for line in hatch(box, angle, 5):
        for x, y in ((line.x1, line.y1), (line.x2, line.y2)):
            assert 10 - 1e-6 <= x <= 10 + width + 1e-6
            assert 20 - 1e-6 <= y <= 20 + height + 1e-6


def test_the_whole_build_adds_up_its_parts():
    log = ledger(laid(3, 1), laid(2, 2, face="aft", material="UNI"))
    total, *parts = build_figure(log).table.rows
    for column in range(1, len(total)):
        assert int(total[column]) == sum(int(row[column]) for row in parts)
    assert standings(log)[1].laid == 5


def test_without_a_print_the_build_says_what_to_do():
    figure = build_figure(Ledger(Schedule("", "")))
    assert (figure.drawing, figure.remarks) == (None, (NO_PRINT,))
