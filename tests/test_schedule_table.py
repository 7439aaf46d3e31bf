"""A schedule kept in a spreadsheet: read, written, and refused row by row."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plytally.clock import MachineClock
from plytally.core.schedule import ScheduleError
from plytally.core.schedule_reading import schedule_from_json
from plytally.core.schedule_rows import COLUMNS, ROWS
from plytally.core.wall import Wall
from plytally.schedule_file import read_schedule_file
from plytally.schedule_table import csv_from_schedule, schedule_from_csv
from plytally.store.backup import backup
from plytally.store.log import BuildLog
from plytally.workshop.print_shelf import PrintShelf

QUILLWING = Path(__file__).parents[1] / "demo_entries/quillwing.yaml"
SMALL = """\
row,name,of,sides,face,at,plies,material,do,item,after,thickness,revision,because
print,Quillwing,,,,,,,,,,,C,
material,BID,,,,,,,,,,9.6 mil,,
material,UNI,,,,,,,,,,,,
part,elevator spar,,left and right,,,,,,,,,,
face,"fore, aft",elevator spar,,,,,,,,,,,
station,"hinge 1, hinge 2",elevator spar,,,,,,,,,,,
step,E1,elevator spar,,fore,,3,BID,,,,,,
instead,UNI,E1,,,,,,,,,,,on hand
step,E2,Elevator Spar,,fore,"hinge 1, hinge 2",7,BID,,,E1,,,
step,E3,elevator spar,,,hinge 1,,,mount,hinge,"E1, E2",,,
"""


def refused(text):
    with pytest.raises(ScheduleError) as raised:
        schedule_from_csv(text)
    return str(raised.value)


def test_a_table_says_what_yaml_says():
    as_yaml = schedule_from_json(
        {
            "aircraft": "Quillwing",
            "print revision": "C",
            "materials": {"BID": {"thickness": "9.6 mil"}, "UNI": None},
            "parts": {
                "elevator spar": {
                    "sides": "left and right",
                    "faces": "fore, aft",
                    "stations": "hinge 1, hinge 2",
                    "steps": [
                        {
                            "step": "E1",
                            "face": "fore",
                            "plies": 3,
                            "material": "BID",
                            "instead": {"material": "UNI", "because": "on hand"},
                        },
                        {
                            "step": "E2",
                            "face": "fore",
                            "at": ["hinge 1", "hinge 2"],
                            "plies": 7,
                            "material": "BID",
                            "after": "E1",
                        },
                        {
                            "step": "E3",
                            "at": "hinge 1",
                            "do": "mount",
                            "item": "hinge",
                            "after": ["E1", "E2"],
                        },
                    ],
                }
            },
        }
    )

    assert schedule_from_csv(SMALL) == as_yaml


def test_the_demo_print_goes_through_a_table_unchanged():
    schedule = read_schedule_file(QUILLWING)
    text = csv_from_schedule(schedule)

    assert schedule_from_csv(text) == schedule
    assert csv_from_schedule(schedule_from_csv(text)) == text


texts = st.text('abc ,"\r\n;=é\u2028\x0b', max_size=12).map(lambda text: " ".join(text.split()))


@settings(max_examples=60, deadline=None)
@given(texts, texts, st.integers(1, 200))
def test_whatever_a_text_holds_a_table_holds_it(note, drawing, plies):
    step = {"step": "R1", "plies": plies, "material": "BID", "note": note, "drawing": drawing}
    schedule = schedule_from_json(
        {
            "aircraft": "Quillwing",
            "print revision": "1.10",
            "materials": "BID",
            "parts": {"rib": {"note": drawing, "steps": [step]}},
        }
    )

    assert schedule_from_csv(csv_from_schedule(schedule)) == schedule


@pytest.mark.parametrize("end", ["\r\n", "\n", "\r"])
def test_a_table_from_any_program_is_read(tmp_path, end):
    file = tmp_path / "print.CSV"
    file.write_bytes(b"\xef\xbb\xbf" + SMALL.replace("\n", end).encode())

    assert read_schedule_file(file) == schedule_from_csv(SMALL)


@pytest.mark.parametrize(
    ("was", "now", "message"),
    [
        ("step,E2,", "stap,E2,", "row 10: 'stap' is not what a row can be; did you mean 'step'?"),
        (
            "E2,Elevator Spar",
            "E2,elevetor spar",
            "row 10: 'elevetor spar' is no part of a row above; did you mean",
        ),
        ("7,BID", "7,BDI", "row 10: 'BDI' is not a material of this print; did you mean 'BID'?"),
        ("7,BID", "x,BID", "row 10: 'plies' is a whole number from 1 to 200, found 'x'"),
        ("E2,Elevator Spar", "E2,", "row 10: a row of kind 'step' says under 'of' which part it is of"),
        ("step,E2", "step,", "row 10: a row of kind 'step' needs its 'name'"),
        ("step,E2", "step,E1", "row 10: step 'E1' stands already in the elevator spar"),
        (
            ",E1,,,\nstep",
            ",E9,,,\nstep",
            "row 10: step E2: 'after' names 'E9', which is no step of this print",
        ),
        ("UNI,E1", "UNI,E7", "row 9: 'E7' is no step of a row above"),
        ("on hand", "", "row 9: an alternate of step E1 needs 'material:' and the reason, 'because:'"),
        (
            "BID,,,,,,,,,,9.6 mil",
            "BID,,,,,7,,,,,9.6 mil",
            "row 3: 'plies' is not for a row of kind 'material'",
        ),
        ("9.6 mil", "9.6 kg", "row 3: the thickness of BID is given as a length above zero"),
        ("part,elevator spar", "part,rib", "row 6: 'elevator spar' is no part of a row above; there is: rib"),
        ("print,Quillwing,", "item,x,", "row 2: 'revision' is not for a row of kind 'item'"),
        ("row,name", "thing,name", "row 1: 'thing' is not a column of a schedule; did you mean 'row'?"),
        ("row,name", "row,name,name", "row 1: the column 'name' stands twice; keep one"),
        ("sides", "wings", "row 1: 'wings' is not a column of a schedule"),
        (",on hand", ",on hand, so to say", "row 9: more cells than the heading has columns"),
        (",C,", ",,", "row 1: the schedule needs the print's revision"),
        ('face,"', 'part,elevator spar\nface,"', "row 6: the part 'elevator spar' stands already"),
        (
            "material,UNI",
            "print,again,,,,,,,,,,,D,\nmaterial,UNI",
            "row 4: the print stands already in a row above",
        ),
    ],
)
def test_a_mistake_is_told_with_its_row(was, now, message):
    assert was in SMALL

    assert message in refused(SMALL.replace(was, now, 1))


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "row 1: the file is empty; a table begins with its heading"),
        ("row,name\n", "row 1: the schedule needs a row of kind 'print'"),
        ("name\n", "row 1: the heading needs a column 'row'"),
        ("row;name\nprint;Quillwing\n", "row 1: the columns are parted by another sign"),
        ('row,name\nprint,"Quill\n', "row 2: this is not readable as a table"),
        ('row,name\nprint,"Quill"wing\n', "row 2: this is not readable as a table"),
    ],
)
def test_what_is_no_table_of_a_schedule_is_refused(text, message):
    assert message in refused(text)


def test_every_problem_is_told_at_once_and_not_only_the_first():
    told = refused(SMALL.replace("7,BID", "7,BDI").replace("step,E3", "step,E3?"))

    assert [line.split(":")[0] for line in told.splitlines()] == ["row 10", "row 11"]


def test_empty_rows_and_columns_without_a_heading_do_no_harm():
    spaced = "\n".join(
        line + "," if line else line for line in SMALL.replace("part,", "\npart,", 1).splitlines()
    )

    assert schedule_from_csv(spaced) == schedule_from_csv(SMALL)


def test_a_name_said_in_its_own_way_has_a_row_of_its_own():
    text = SMALL.replace("because\n", "because,said as\n").replace(
        'face,"fore, aft",elevator spar,,,,,,,,,,,',
        'face,fore,elevator spar,,,,,,,,,,,,"fore, front"\nface,aft,elevator spar,,,,,,,,,,,,',
    )

    assert schedule_from_csv(text).parts[0].faces[0].spoken == ("fore", "front")


def test_every_column_is_of_some_row():
    assert set(COLUMNS) == {"row", "name", *(column for columns in ROWS.values() for column in columns)}


def test_a_table_taken_as_the_print_still_counts_after_a_restart_and_in_a_copy(tmp_path):
    file = tmp_path / "print.csv"
    file.write_text(SMALL)
    folder = tmp_path / "log"
    log = BuildLog(folder, MachineClock())
    PrintShelf(folder, log.documents).take(file, Wall(0, 0))
    log.close()

    backup(folder, tmp_path / "copy", lambda *_: None)

    log = BuildLog(folder, MachineClock())
    assert PrintShelf(folder, log.documents).current() == schedule_from_csv(SMALL)
    log.close()
    assert [path.suffix for path in (tmp_path / "copy/schedules").iterdir()] == [".csv"]


def test_a_print_kept_before_there_were_tables_still_counts(tmp_path):
    log = BuildLog(tmp_path, MachineClock())
    shelf = PrintShelf(tmp_path, log.documents)
    schedule = shelf.take(QUILLWING, Wall(0, 0))
    with log.documents.table("schedules") as table:
        row = dict(table.all()[-1])
        del row["kind"]
        table.truncate()
        table.insert(row)

    assert shelf.current() == schedule
    log.close()
