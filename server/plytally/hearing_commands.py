"""The commands that hear: recordings of one's own, and the demo's."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Sequence
from pathlib import Path

import click
from rich.console import Console

from plytally.core.answering import owed as owed_lines
from plytally.core.entry import Place
from plytally.failing import telling_failures
from plytally.history_demo import tell_day, tell_history
from plytally.opened import opened
from plytally.options import data_option, engine_options, sound_alone_option
from plytally.progress import waiting
from plytally.showing import counted, show_heard
from plytally.speech.engines import open_engine
from plytally.workshop.demo import run_demo
from plytally.workshop.hearing_files import hear_file

out = Console(highlight=False, soft_wrap=True, emoji=False)


@click.command()
@engine_options
@click.option("--data", type=click.Path(path_type=Path), help="Keep the demo's log in this new folder.")
@click.option("--history", is_flag=True, help="Replay some months of typed notes instead of the recordings.")
@click.option("--day", type=click.Path(path_type=Path), help="Make a day for the desk in this new folder.")
@telling_failures
def demo(data: Path | None, history: bool, day: Path | None, engine: str, model: Path | None) -> None:
    """Hear the demo's recordings and show the entries made and the plies then owed."""
    for folder, option in ((data, "--data"), (day, "--day")):
        if folder is not None and folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise click.BadParameter(f"{folder} is not empty; name a new folder", param_hint=option)
    if day is not None:
        tell_day(out, day)
        return
    with tempfile.TemporaryDirectory(prefix="plytally-demo-") as scratch:
        folder = data or Path(scratch) / "log"
        if history:
            tell_history(out, folder)
            return
        out.print("[bold]The Quillwing, an evening at the right elevator spar.[/bold]")
        out.print("A program spoke these notes; they are heard here and now.\n")
        recogniser = open_engine(folder, engine, model)
        bench = run_demo(folder, recogniser, lambda wall, heard: show_heard(out, heard, str(wall)[11:16]))
        try:
            where = Place("elevator spar", "right")
            out.print("\n[bold]Owed on the right elevator spar, by the print:[/bold]")
            for line in owed_lines(bench.ledger, where):
                out.print(f"  {line}", markup=False)
            entries = counted(len(bench.entries()), "entry", "entries")
            out.print(f"\nheard by {recogniser.name}; {entries} in the log")
        finally:
            bench.close()


@click.command()
@click.argument("files", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line, a line a file.")
@click.option("--only-show", is_flag=True, help="Show what was heard and put nothing into the log.")
@data_option
@engine_options
@sound_alone_option
@telling_failures
def hear(
    files: Sequence[Path],
    as_json: bool,
    only_show: bool,
    data: Path,
    engine: str,
    model: Path | None,
    by_sound_alone: bool,
) -> None:
    """Hear recordings: words with their confidence, the entry they make, and its doubts."""
    with opened(data) as bench:
        recogniser = open_engine(data, engine, model)
        for file in waiting(files, "hearing"):
            heard = hear_file(file, recogniser, bench, keep=not only_show, leaning=not by_sound_alone)
            if as_json:
                click.echo(json.dumps(heard.as_json()))
            else:
                show_heard(out, heard, str(file))
