"""An export taken in as a builder's new log, with the print and the lists that came in it."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plytally.clock import fresh_id
from plytally.core.schedule import Schedule
from plytally.core.stock import StockError, stock_from_json
from plytally.core.vocabulary import VocabularyError, from_schedule
from plytally.core.wall import Wall
from plytally.record.errors import ImportRefused
from plytally.record.export import STOCK, WORDS
from plytally.record.importing import Imported, import_log, small_file
from plytally.record.reading import Progress
from plytally.record.zipped import unpack
from plytally.schedule_file import read_schedule_file
from plytally.store.adopting import adopt, check_empty
from plytally.store.log import BuildLog
from plytally.workshop.bench import Bench
from plytally.workshop.print_shelf import NO_PRINT, PrintShelf
from plytally.workshop.stock_shelf import TABLE

PRINTS = ("print.yaml", "print.csv")


@dataclass(frozen=True)
class _Lists:
    """What came with the log, looked at."""

    print_file: Path | None
    words: list[dict[str, Any]]
    stock: Any


def take_export(
    source: Path, folder: Path, fresh_epoch: Callable[[], str], now: Wall, progress: Progress | None = None
) -> Imported:
    """Make a new data folder from an export, a folder or a ZIP; nothing if it is refused.

    ImportRefused and ScheduleError say what is wrong with it.
    """
    with _as_folder(source, folder, fresh_epoch) as export:
        lists = _lists(export)
        imported = import_log(export, folder, fresh_epoch, progress)
        with BuildLog(folder) as log:
            _take_lists(lists, log, now)
    return imported


def take_into(bench: Bench, source: Path, work: Path, progress: Progress | None = None) -> Imported:
    """The same for a log that is open and empty: what came becomes its log, print and lists.

    `work` is a folder on the same disk that is not there yet. LogNotEmpty, ImportRefused or ScheduleError:
    the log is as it was. The log's own change comes last, so that after a crash it can be asked again.
    """
    lists, log = _lists(source), bench.log
    _check_lists(lists, log)
    try:
        imported = import_log(source, work, lambda: fresh_id(bench.clock), progress)
        with bench.mutex:
            check_empty(log)
            _take_lists(lists, log, bench.now())
            adopt(log, work)
            bench.begin_anew()
    finally:
        shutil.rmtree(work, ignore_errors=True)  # a copy that was made here; the export is untouched
    return imported


@contextmanager
def _as_folder(source: Path, folder: Path, fresh_epoch: Callable[[], str]) -> Iterator[Path]:
    """The export as a folder: one that came as a file is unpacked beside the new log, for a while."""
    if not source.is_file():
        yield source
        return
    unpacked = folder.with_name(f"{folder.name}.unpacked-{fresh_epoch()}")
    try:
        unpack(source, unpacked)
        yield unpacked
    finally:
        shutil.rmtree(unpacked, ignore_errors=True)


def _check_lists(lists: _Lists, log: BuildLog) -> None:
    """Refuse to put an export's print and lists in the place of others; the same ones do no harm."""
    shelf = PrintShelf(log.folder, log.documents)
    rows = shelf.rows()
    theirs = lists.print_file.read_text("utf-8-sig", "replace") if lists.print_file else ""
    with log.documents.table("words") as table:
        words = [dict(row) for row in table.all()]
    with log.documents.table(TABLE) as table:
        stocked = [row["list"] for row in table.all()]
    for what, differs in (
        ("a print", bool(rows) and shelf.text(rows[-1]) != theirs),
        ("words of its own", bool(words) and words != lists.words),
        ("a stock list", bool(stocked) and stocked[-1] != lists.stock),
    ):
        if differs:
            raise ImportRefused(
                f"this shop has {what} already, in whose place an import would put another: import into a "
                "new folder with 'plytally import', or begin with an empty one"
            )


def _take_lists(lists: _Lists, log: BuildLog, now: Wall) -> None:
    """Keep the print and the lists that came, but for those that are here already."""
    shelf = PrintShelf(log.folder, log.documents)
    if lists.print_file and not shelf.rows():
        shelf.take(lists.print_file, now)
    with log.documents.table("words") as table:
        if lists.words and not table.all():
            table.insert_multiple(lists.words)
    with log.documents.table(TABLE) as table:
        if lists.stock and not table.all():
            table.insert({"list": lists.stock, "taken": str(now)})


def _lists(source: Path) -> _Lists:
    files = [source / name for name in PRINTS if small_file(source, name) is not None]
    print_file = files[0] if files else None
    schedule = read_schedule_file(print_file) if print_file else NO_PRINT
    words, stock = _json(source, WORDS), _json(source, STOCK)
    return _Lists(
        print_file,
        _words(source / WORDS, [] if words is None else words, schedule),
        _stock(source / STOCK, stock),
    )


def _json(source: Path, name: str) -> Any:
    content = small_file(source, name)
    try:
        return None if content is None else json.loads(content)
    except (ValueError, RecursionError) as problem:
        raise ImportRefused(f"{source / name} is no JSON: {problem}") from problem


def _words(path: Path, rows: Any, schedule: Schedule) -> list[dict[str, Any]]:
    if not isinstance(rows, list) or not all(map(_is_word, rows)):
        raise ImportRefused(f"{path}: wanted a list of objects with list, name and said_as")
    try:
        for row in rows:  # each by itself: of two that clash one was taken back
            from_schedule(schedule, {row["list"]: {row["name"]: row["said_as"]}})
    except VocabularyError as problem:
        raise ImportRefused(f"{path}: {problem}") from problem
    return rows


def _is_word(row: Any) -> bool:
    return (
        isinstance(row, dict)
        and {"list", "name", "said_as"} <= row.keys() <= {"list", "name", "said_as", "note", "entry", "heard"}
        and all(isinstance(value, str) for name, value in row.items() if name != "said_as")
        and isinstance(row["said_as"], list)
        and all(isinstance(word, str) for word in row["said_as"])
    )


def _stock(path: Path, raw: Any) -> Any:
    try:
        return stock_from_json(raw) and raw if raw is not None else None
    except StockError as problem:
        raise ImportRefused(f"{path}: {problem}") from problem
