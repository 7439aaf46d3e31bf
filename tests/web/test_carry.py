"""Everything out as one file and in again at the desk: the same bytes, an empty log only, nothing half."""

import hashlib
import io
import json
import stat
import threading
import zipfile

import pytest
from support.desk_days import OwnProgram, copied, until
from support.shop_computer import PRINT
from support.shops import TestShop

from plytally.core.entry import Entry
from plytally.store.verify import verify

PIECE = "application/offset+octet-stream"


@pytest.fixture(scope="module")
def sent(made, tmp_path_factory):
    """The demo's day as the desk wrote it into one file."""
    shop = TestShop(copied(made, tmp_path_factory.mktemp("out") / "data"))
    content = written(OwnProgram(shop))
    shop.close()
    return content


@pytest.fixture
def empty(tmp_path):
    shop = TestShop(tmp_path / "data")
    yield shop
    shop.close()


@pytest.fixture
def desk(empty):
    return OwnProgram(empty)


def waited(desk, path):
    """The job once it is done."""
    until(lambda: desk.ask("GET", path).json["state"] not in ("working", "coming"))
    return desk.ask("GET", path).json


def written(desk):
    job = desk.ask("POST", "/api/desk/exports").json
    path = f"/api/desk/exports/{job['id']}"
    done = waited(desk, path)
    assert done["state"] == "ready", done
    with desk.ask("GET", f"{path}/zip") as answer:
        assert (answer.mimetype, len(answer.data)) == ("application/zip", done["size"])
        return answer.data


def begun(desk, content):
    answer = desk.ask("POST", "/api/desk/imports", json={"size": len(content)})
    assert answer.status_code == 201, answer.text
    return f"/api/desk/imports/{answer.json['id']}"


def taken_in(desk, content, piece=64 * 1024):
    path = begun(desk, content)
    for at in range(0, len(content), piece):
        answer = desk.ask(
            "PATCH",
            path,
            data=content[at : at + piece],
            content_type=PIECE,
            headers={"Upload-Offset": str(at)},
        )
        assert answer.status_code == 200, answer.text
    assert desk.ask("POST", path).status_code == 202
    return waited(desk, path)


def files_in(content):
    with zipfile.ZipFile(io.BytesIO(content)) as packed:
        return {name: packed.read(name) for name in packed.namelist()}


def rewritten(content, change):
    """The file with its members changed: `change` gets and gives a dict of names to bytes."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in change(files_in(content)).items():
            packed.writestr(name, data)
    return out.getvalue()


def nothing_came(shop):
    return shop.log.journal.head.seq == 0 and not list((shop.folder / "media").rglob("*.jsonl"))


def test_out_and_in_and_out_again_gives_the_same_bytes(made, sent, empty, desk):
    done = taken_in(desk, sent)
    assert done["state"] == "ready", done
    assert "the last line's hash is" in done["told"]
    for part in ("journal/*.jsonl", "media/*/*/*"):
        before = {path.name: path.read_bytes() for path in made.glob(part)}
        assert {path.name: path.read_bytes() for path in empty.folder.glob(part)} == before != {}
    assert files_in(written(desk)) == files_in(sent)


def test_what_came_in_is_worked_on_at_once_and_after_a_restart(sent, empty, desk):
    epoch, device = empty.log.journal.epoch, empty.log.device
    before = desk.ask("GET", "/api/desk/find?words=flox").json["count"]
    taken_in(desk, sent)
    assert (before, desk.ask("GET", "/api/desk/find?words=flox").json["count"]) == (0, 1)
    assert desk.ask("GET", "/api/desk/days").json["aircraft"] == "Quillwing"
    assert empty.log.journal.epoch != epoch
    assert empty.log.device != device
    note = empty.log.record(Entry("note", {"text": "more"})).id
    empty.reopen()
    assert note in empty.log.state.entries
    report = verify(empty.folder)
    assert (report.sound, report.lacking) == (True, set())
    assert [path.name for path in (empty.folder / "carrying").glob("*")] == []


def test_phones_read_the_log_that_came_in_anew(sent, empty, desk):
    phone = empty.phone()
    cursor = phone.sync().json["cursor"]
    taken_in(desk, sent)
    pulled = phone.sync([], cursor).json
    assert pulled["cursor"]["epoch"] != cursor["epoch"]
    assert len(pulled["operations"]) > 20


def test_a_log_in_which_anything_is_noted_takes_none_in(sent, empty, desk):
    empty.log.record(Entry("note", {"text": "mine"}))
    answer = desk.ask("POST", "/api/desk/imports", json={"size": len(sent)})
    assert (answer.status_code, "an empty one" in answer.json["detail"]) == (409, True)


def test_what_is_noted_while_the_file_comes_is_not_lost(sent, empty, desk):
    path = begun(desk, sent)
    desk.ask("PATCH", path, data=sent, content_type=PIECE, headers={"Upload-Offset": "0"})
    note = empty.log.record(Entry("note", {"text": "mine"})).id
    desk.ask("POST", path)
    done = waited(desk, path)
    assert (done["state"], "none of them may be lost" in done["why"]) == ("failed", True)
    assert list(empty.log.state.entries) == [note]


def test_a_print_of_ones_own_is_not_replaced(sent, empty, desk):
    text = PRINT.read_text().replace("aircraft: Quillwing", "aircraft: another")
    empty.inside.bench.take_text(text, "yaml")
    done = taken_in(desk, sent)
    assert (done["state"], "a print already" in done["why"]) == ("failed", True)
    assert nothing_came(empty)


def _without(name):
    return lambda files: {each: data for each, data in files.items() if each != name}


def _with(name, data):
    return lambda files: files | {name: data}


def _line_changed(files):
    return files | {"log.jsonl": files["log.jsonl"].replace(b'"plies"', b'"plied"', 1)}


def _medium_changed(files):
    name = next(each for each in files if each.startswith("media/"))
    return files | {name: files[name] + b"x"}


@pytest.mark.parametrize(
    ("change", "why"),
    [
        pytest.param(_with("../out.txt", b"x"), "no such file", id="a name that leads out of the folder"),
        pytest.param(_with("/etc/passwd", b"x"), "no such file", id="a name from the root"),
        pytest.param(_with("media/../log.jsonl", b"x"), "no such file", id="a name through a folder"),
        pytest.param(_with("run.sh", b"x"), "no such file", id="a file of another kind"),
        pytest.param(
            _with("media/" + "0" * 64 + ".jpg", b"x"), "the export is not whole", id="one more than it says"
        ),
        pytest.param(_without("about.json"), "no export", id="not finished"),
        pytest.param(_without("log.jsonl"), "missing", id="no log"),
        pytest.param(_line_changed, "log.jsonl, line", id="a line that was changed"),
        pytest.param(_medium_changed, "not what its name says", id="a sound that was changed"),
        pytest.param(_with("log.jsonl", b"0" * (64 << 20)), "as no log does", id="a bomb"),
        pytest.param(
            _with("print.yaml", b"parts: ["), "not readable as YAML", id="a print that cannot be read"
        ),
        pytest.param(_with("words.json", b"{}"), "words.json", id="words that are no list"),
    ],
)
def test_a_file_that_was_tampered_with_is_refused_and_nothing_is_taken(sent, empty, desk, change, why):
    done = taken_in(desk, rewritten(sent, change), piece=8 << 20)
    assert (done["state"], why in done["why"]) == ("failed", True), done["why"]
    assert nothing_came(empty)
    assert str(empty.folder) not in done["why"]
    assert empty.log.record(Entry("note", {"text": "goes on"})).id in empty.log.state.entries


def _link(content):
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as packed:
        info = zipfile.ZipInfo("log.jsonl")
        info.external_attr = (stat.S_IFLNK | 0o777) << 16
        packed.writestr(info, "/etc/passwd")
    return out.getvalue()


def _twice(content):
    out = io.BytesIO(content)
    with pytest.warns(UserWarning, match="Duplicate"), zipfile.ZipFile(out, "a") as packed:
        packed.writestr("log.jsonl", b"")
    return out.getvalue()


@pytest.mark.parametrize(
    ("made_of", "why"),
    [
        pytest.param(_link, "no link", id="a link"),
        pytest.param(_twice, "there twice", id="a name twice"),
        pytest.param(lambda content: content[: len(content) // 2], "no whole ZIP", id="cut in half"),
        pytest.param(lambda content: b"not at all", "no whole ZIP", id="something else"),
        pytest.param(
            lambda content: content.replace(b"\xff\xd8\xff", b"\xff\xd8\xfe", 1), "ZIP", id="a bit turned"
        ),
    ],
)
def test_a_file_that_is_no_sound_zip_is_refused_and_nothing_is_taken(sent, empty, desk, made_of, why):
    done = taken_in(desk, made_of(sent), piece=8 << 20)
    assert (done["state"], why in done["why"]) == ("failed", True), done["why"]
    assert nothing_came(empty)


def test_pieces_that_do_not_fit_are_refused_and_told_where_to_go_on(sent, desk):
    path = begun(desk, sent)

    def piece(data, at):
        return desk.ask("PATCH", path, data=data, content_type=PIECE, headers={"Upload-Offset": at})

    assert piece(sent[:100], "0").status_code == 200
    again = piece(sent[:100], "0")
    assert (again.status_code, "100 of" in again.json["detail"]) == (409, True)
    assert piece(b"x" * len(sent), "100").status_code == 409
    assert piece(b"x", "minus one").status_code == 400
    assert desk.ask("POST", path).status_code == 409
    assert desk.ask("GET", path).json["done"] == 100


def test_one_at_a_time_and_a_server_that_started_anew_says_so(empty, desk, monkeypatch):
    hold = threading.Event()
    carrier = empty.app.view_functions["carry.begin_export"].__self__.carrier
    before = carrier._write
    monkeypatch.setattr(carrier, "_write", lambda job: (hold.wait(30), before(job)))
    job = desk.ask("POST", "/api/desk/exports").json
    again = desk.ask("POST", "/api/desk/exports")
    assert (again.status_code, "another export" in again.json["detail"]) == (409, True)
    assert desk.ask("GET", f"/api/desk/exports/{job['id']}/zip").status_code == 404
    hold.set()
    assert waited(desk, f"/api/desk/exports/{job['id']}")["state"] == "ready"
    gone = desk.ask("GET", "/api/desk/imports/none")
    assert (gone.status_code, "started anew" in gone.json["detail"]) == (404, True)


def test_the_same_log_at_the_same_time_gives_the_same_file(made, sent, tmp_path):
    shop = TestShop(copied(made, tmp_path / "data"))
    assert hashlib.sha256(written(OwnProgram(shop))).hexdigest() == hashlib.sha256(sent).hexdigest()
    shop.close()
    assert json.loads(files_in(sent)["about.json"])["media"] > 0
