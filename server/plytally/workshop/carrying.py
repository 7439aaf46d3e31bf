"""An export taken in as a builder's new log, with the print and the lists that came in it."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from plytally.core.schedule import Schedule
from plytally.core.stock import StockError, stock_from_json
from plytally.core.vocabulary import VocabularyError, from_schedule
from plytally.core.wall import Wall
from plytally.record.errors import ImportRefused
from plytally.record.export import STOCK, WORDS
from plytally.record.importing import Imported, import_log, small_file
from plytally.record.reading import Progress
from plytally.schedule_file import read_schedule_file
from plytally.store.log import BuildLog
from plytally.workshop.print_copy import words_in
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
    """Make a new data folder from an export. ImportRefused or ScheduleError: nothing is made."""
    lists = _lists(source)
    imported = import_log(source, folder, fresh_epoch, progress)
    with BuildLog(folder) as log:
        if lists.print_file:
            PrintShelf(folder, log.documents).take(lists.print_file, now)
        if lists.words:
            with log.documents.table("words") as table:
                table.insert_multiple(lists.words)
        if lists.stock:
            with log.documents.table(TABLE) as table:
                table.insert({"list": lists.stock, "taken": str(now)})
    return imported


def _lists(source: Path) -> _Lists:
    files = [source / name for name in PRINTS if small_file(source, name) is not None]
    print_file = files[0] if files else None
    schedule = read_schedule_file(print_file) if print_file else NO_PRINT
    words, stock = _json(source, WORDS) or [], _json(source, STOCK)
    return _Lists(print_file, _words(source / WORDS, words, schedule), _stock(source / STOCK, stock))


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
        from_schedule(schedule, words_in(rows))
    except VocabularyError as problem:
        raise ImportRefused(f"{path}: {problem}") from problem
    return rows


def _is_word(row: Any) -> bool:
    return (
        isinstance(row, dict)
        and row.keys() == {"list", "name", "said_as"}
        and isinstance(row["list"], str)
        and isinstance(row["name"], str)
        and isinstance(row["said_as"], list)
        and all(isinstance(word, str) for word in row["said_as"])
    )


def _stock(path: Path, raw: Any) -> Any:
    try:
        return stock_from_json(raw) and raw if raw is not None else None
    except StockError as problem:
        raise ImportRefused(f"{path}: {problem}") from problem
