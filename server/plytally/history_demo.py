"""`plytally demo --history` and `--day`: some months of typed notes, and a day that waits for the desk."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import structlog
from rich.console import Console

from plytally.core.answering import owed
from plytally.core.entry import Place
from plytally.core.telling import left_off_told
from plytally.core.wall import Wall
from plytally.schedule_commands import snag_lines
from plytally.showing import counted, show_reply
from plytally.workshop.bench import Reply
from plytally.workshop.demo_day import make_day, told
from plytally.workshop.history import replay

SPAR = Place("elevator spar", "right")


def tell_history(out: Console, folder: Path) -> None:
    """Take the notes into a new log in `folder`, show each, then what they come to."""

    def show(when: Wall, by: str, said: str, reply: Reply) -> None:
        out.print(f"{str(when)[:10]}  {by}: {said}", markup=False)
        show_reply(out, reply)

    out.print("[bold]The Quillwing, from September to February, as it was typed.[/bold]\n")
    with replay(folder, show) as bench:
        for heading, lines in (
            ("Owed on the right elevator spar, by the print:", owed(bench.ledger, SPAR)),
            ("Where work on it stopped:", left_off_told(bench.ledger.left_off(SPAR), SPAR)),
            ("Snags, on all of the aeroplane:", tuple(snag_lines(bench, Place()))),
        ):
            out.print(f"\n[bold]{heading}[/bold]")
            for line in lines:
                out.print(f"  {line}", markup=False)
        out.print(f"\n{counted(len(bench.entries()), 'entry', 'entries')} in the log")


def tell_day(out: Console, folder: Path) -> None:
    """Make the day into a new log in `folder`, and say what to do with it."""
    with _quietly(), make_day(folder) as bench:
        for line in told(bench):
            out.print(line, markup=False)
    out.print("\nTo go over it at the desk:", markup=False)
    out.print(f"  plytally desk --data {folder}", markup=False)
    out.print(f"  plytally serve --data {folder}     and open /desk there", markup=False)


@contextmanager
def _quietly() -> Iterator[None]:
    """Without the server's own log, which a terminal need not see."""
    before = structlog.get_config()
    structlog.configure(wrapper_class=structlog.make_filtering_bound_logger(logging.WARNING))
    try:
        yield
    finally:
        structlog.configure(**before)
