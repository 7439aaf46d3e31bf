"""The record on paper: everything within its scope once, nothing else, whatever was typed."""

import io
import re

import pytest
from pypdf import PdfReader

from plytally.core.entry import Doubt, Entry, Place
from plytally.core.likes import USUAL, Likes
from plytally.core.readback import shown
from plytally.record.book import write_pdf
from plytally.record.content import NO_APPROVAL, Scope
from plytally.record.reading import read_folder
from plytally.web.record_photos import small_photos
from plytally.workshop.bench import Bench
from plytally.workshop.record_copy import content_of

UUID = re.compile(r"entry ([0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[0-9a-f]{4}-[0-9a-f]{12})")
SPAR = Scope((Place("elevator spar", "right"),))

LAST = Scope(first="2026-11-04")


@pytest.fixture(scope="module")
def whole(day):
    return day.pdf()


@pytest.fixture(scope="module")
def spar(day):
    return day.pdf(SPAR)


def pages_of(pdf):
    """The words of each page, spaces and line ends as one blank."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]


def text_of(pdf):
    return " ".join(pages_of(pdf))


def chapter(pdf, title, until):
    """The words between two headings of chapters, those of the contents passed over."""
    text = " ".join(pages_of(pdf)[2:])
    return text[text.index(title) : text.index(until)]


def test_every_entry_is_there_once_withdrawn_ones_too(day, whole):
    assert UUID.findall(text_of(whole)) == [logged.id for logged in day.bench.log.state.order]


def test_each_entry_says_what_the_log_says(day, whole):
    text = text_of(whole)
    for logged in day.bench.log.state.order:
        assert shown(logged.entry, USUAL) in text
        assert logged.wall[11:16] in text
    assert "+01:00" in text


def test_a_record_is_written_as_one_likes_and_keeps_what_was_said_and_the_offset(day):
    likes = Likes(dates="month_day", clock="12", units="metric")
    text = text_of(day.pdf(likes=likes))
    for logged in day.bench.log.state.order:
        assert shown(logged.entry, likes) in text
        assert likes.moment(logged.wall) in text
    assert "22 inHg (74.5 kPa)" in text
    assert "72 °F (22.22 °C)" in text
    assert "Tuesday, November 3, 2026" in text
    assert "3 November 2026" not in text


def test_a_record_of_one_part_has_its_entries_and_no_others(day, spar):
    text = text_of(spar)
    order = day.bench.log.state.order
    assert UUID.findall(text) == [each.id for each in order if each.entry.place.part == "elevator spar"]
    assert "rib 2" not in text
    assert "heater" not in text


def test_a_record_of_some_days_has_their_entries_and_no_others(house):
    house.clock.millis += 24 * 3_600_000
    late = house.says("laid two plies bid on the rudder post fore face").logged.id
    assert UUID.findall(text_of(house.pdf(Scope(first="2026-11-04", last="2026-11-04")))) == [late]
    assert late not in text_of(house.pdf(Scope(last="2026-11-03")))


def test_every_page_has_its_number_the_hash_of_the_log_and_that_it_is_no_approval(day, whole):
    head, pages = day.reading().head, pages_of(whole)
    for number, page in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in page
        assert head.hash in page.replace(" ", "")
        assert "no approval" in page
    assert NO_APPROVAL in pages[0]


def test_the_contents_name_the_page_on_which_each_chapter_stands(whole):
    pages = pages_of(whole)
    told = re.findall(r"([1-9]) ([A-Z][a-z ,]+?) (\d+)(?= |$)", pages[1].partition("Contents")[2])
    assert [number for number, _, _ in told] == list("123456789")
    for number, title, page in told:
        assert f"{number} {title}" in pages[int(page) - 1]
    ((name, page),) = re.findall(r"((?:left|right) elevator spar) (\d+)", pages[1])
    assert f"{name} fore face" in pages[int(page) - 1]


def test_parts_on_which_nothing_is_noted_stand_at_the_end_with_what_is_owed(day, whole, spar):
    plies = chapter(whole, "1 Plies", "2 Entries")
    owed = plies[plies.index("parts not begun") :]
    assert plies.index("right elevator spar fore face") < plies.index("parts not begun")
    assert "left elevator spar" in owed
    assert "E1 3 BID at 45 on the fore face" in owed
    assert "parts not begun" not in chapter(spar, "1 Plies", "2 Entries")


def test_a_field_that_was_only_put_in_doubt_is_not_called_confirmed(house):
    note = house.bench.log.state.order[3]
    doubt = Doubt("plies", "3", "8", "the phone and the shop computer heard different things")
    house.bench.log.amend(
        note.id, "plies", note.entry.fields["plies"], author="second hearing", doubts=[doubt]
    )
    text = text_of(house.pdf(SPAR))
    assert "(put in doubt), by second hearing" in text
    assert "(confirmed), by second hearing" not in text


def test_a_change_stands_with_its_old_value_its_reason_and_who_made_it(whole):
    changes = chapter(whole, "6 Changes", "7 Open doubts")
    assert "plies: 7 → 6, by builder" in changes
    assert "counted again" in changes
    assert "counts → withdrawn: scratch that" in changes


def test_open_doubts_disagreements_measures_hours_and_stock_each_have_their_chapter(whole):
    assert "8 plies BID" in chapter(whole, "7 Open doubts", "8 Where the log")
    assert "in doubt: 8 BID laid on right elevator spar" in chapter(whole, "8 Where the log", "9 Inspection")
    assert "22 inHg" in chapter(whole, "3 Measured values", "4 Hours")
    assert "1 h 40 min" in chapter(whole, "4 Hours", "5 Resin")
    assert "4471" in chapter(whole, "5 Resin", "6 Changes")


def test_hours_of_a_part_end_with_a_stop_that_names_no_part(spar):
    assert "1 h 40 min" in chapter(spar, "4 Hours", "5 Resin")


def test_plies_asked_and_laid_stand_in_the_table_of_their_face(spar):
    plies = chapter(spar, "1 Plies", "2 Entries")
    assert "whole face BID at 45° 3 3 0 0 0 3 November 2026 E1" in plies
    assert "hinge 1 BID at 45° 7 6 0 1 0 3 November 2026 E2" in plies


def test_what_is_left_in_stock_stands_only_where_all_of_the_log_is_counted(whole, spar):
    assert "4471" in chapter(whole, "5 Resin", "6 Changes")
    assert "4471" not in text_of(spar)
    assert "in stock at first" not in text_of(spar)
    assert "BID" in chapter(spar, "5 Resin", "6 Changes")


def test_there_is_room_to_sign(spar):
    page = pages_of(spar)[-1]
    for word in ("right elevator spar", "date", "name", "certificate", "signature"):
        assert word in page


def test_photos_are_on_paper(spar):
    assert sum(len(page.images) for page in PdfReader(io.BytesIO(spar)).pages) == 1


def test_a_photo_that_is_missing_or_no_picture_is_told_in_its_place(house):
    first, second = house.bench.log.state.order[3:5]
    house.photo(second.id, content=b"this is no picture")
    house.bench.log.media.path(first.attachments[0].media).unlink()

    text = text_of(house.pdf(SPAR))

    assert "not here; a phone may still have it" in text
    assert "no picture can be made of this file" in text


@pytest.mark.parametrize(
    ("typed", "printed"),
    [
        pytest.param("4 × 2 − 1 ≥ 6 °C, ±0.5 µm, ½", "4 × 2 − 1 ≥ 6 °C, ±0.5 µm, ½", id="signs"),
        pytest.param("Größe, Štítek, Łódź, naïve", "Größe, Štítek, Łódź, naïve", id="Latin"),
        pytest.param("Привет, Ελλάδα", "Привет, Ελλάδα", id="Cyrillic and Greek"),
        pytest.param("日本", "[U+65E5][U+672C]", id="what the font lacks, as code points"),
        pytest.param("bell \x07 here", "bell [U+0007] here", id="control characters"),
        pytest.param("<b>5 < 6</b> & <script>", "<b>5 < 6</b> & <script>", id="markup is text"),
        pytest.param("<para/>&unknown;]]>", "<para/>&unknown;]]>", id="ReportLab's own markup is text"),
    ],
)
def test_any_text_comes_out_as_it_was_typed(house, typed, printed):
    house.clock.millis += 24 * 3_600_000
    house.bench.log.record(Entry("note", {"text": typed}, typed))
    assert printed in text_of(house.pdf(LAST))


@pytest.mark.parametrize(
    "text", [pytest.param("m" * 60_000, id="one word"), pytest.param("ply " * 15_000, id="words")]
)
def test_a_very_long_text_is_cut_on_paper_and_says_so(house, text):
    house.clock.millis += 24 * 3_600_000
    house.bench.log.record(Entry("note", {"text": text}, text))
    house.bench.log.record(Entry("measured", {"quality": text[:60_000], "part": "spar"}))
    assert "more letters are in the log" in text_of(house.pdf(LAST))


def test_a_log_without_print_or_entries_makes_a_record_that_says_so(tmp_path):
    with Bench.open(tmp_path / "log") as bench:
        out = io.BytesIO()
        write_pdf(
            content_of(read_folder(tmp_path / "log"), Scope(), bench.now()),
            out,
            small_photos(bench.log.media),
        )
    text = text_of(out.getvalue())

    assert "no layup schedule yet" in text
    assert "No entry is within this record." in text


def test_the_same_log_at_the_same_time_gives_the_same_bytes(day, spar):
    assert day.pdf(SPAR) == spar


def test_progress_is_told_for_each_page(day, spar):
    told, pages = [], len(pages_of(spar))
    day.pdf(SPAR, progress=lambda done, total: told.append((done, total)))
    assert told == [(number, pages) for number in range(1, pages + 1)]
