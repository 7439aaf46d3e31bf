"""The command line: thin commands over the bench.

Every way to fail has an exit code of its own, listed in `failing.py`.
"""

from __future__ import annotations

import json
import tempfile
from collections.abc import Sequence
from pathlib import Path

import click
from rich.console import Console

from plytally import __version__
from plytally.clock_commands import clocks
from plytally.core.answering import owed as owed_lines
from plytally.core.entry import Place
from plytally.core.hearing import typed
from plytally.core.telling import left_off_told
from plytally.failing import telling_failures
from plytally.find_commands import find
from plytally.folder_commands import backup, restore, verify
from plytally.history_demo import tell_day, tell_history
from plytally.on_screen import only_text
from plytally.opened import opened
from plytally.options import data_option, engine_options, sound_alone_option
from plytally.progress import waiting
from plytally.record_commands import COMMANDS as RECORD_COMMANDS
from plytally.schedule_commands import COMMANDS as SCHEDULE_COMMANDS
from plytally.serve_commands import desk, phones, serve
from plytally.shop_commands import shop
from plytally.showing import counted, show_heard, show_log, show_reply
from plytally.speech.engines import open_engine
from plytally.visit_commands import visits
from plytally.voice_commands import voices
from plytally.workshop.demo import run_demo
from plytally.workshop.hearing_files import hear_file

out = Console(highlight=False, soft_wrap=True)


@click.group()
@click.version_option(__version__)
@click.pass_context
def main(context: click.Context) -> None:
    """Say what you laid; keep the log; know what the print still asks for.

    plytally advises. The plans, the builder and the inspector decide.
    """
    context.with_resource(only_text())


@main.command()
@engine_options
@click.option("--data", type=click.Path(path_type=Path), help="Keep the demo's log in this new folder.")
@click.option("--history", is_flag=True, help="Replay some months of typed notes instead of the recordings.")
@click.option("--day", type=click.Path(path_type=Path), help="Make a day for the desk in this new folder.")
@telling_failures
def demo(data: Path | None, history: bool, day: Path | None, engine: str, model: Path | None) -> None:
    """Hear the demo's recordings and show the entries made and the plies then owed."""
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


@main.command()
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


@main.command()
@click.argument("text", nargs=-1, required=True)
@data_option
@telling_failures
def note(text: Sequence[str], data: Path) -> None:
    """Take a typed note, as if it had been spoken."""
    with opened(data) as bench:
        show_reply(out, bench.take(typed(" ".join(text))))


@main.command()
@click.argument("where", nargs=-1)
@data_option
@telling_failures
def owed(where: Sequence[str], data: Path) -> None:
    """What the print still asks for: everywhere, or at a place ("right elevator spar aft face")."""
    with opened(data) as bench:
        for line in owed_lines(bench.ledger, bench.place(" ".join(where))):
            click.echo(line)


@main.command("left-off")
@click.argument("where", nargs=-1)
@data_option
@telling_failures
def left_off(where: Sequence[str], data: Path) -> None:
    """The last work noted, with its date, and the steps that can be worked next."""
    with opened(data) as bench:
        place = bench.place(" ".join(where))
        for line in left_off_told(bench.ledger.left_off(place), place):
            click.echo(line)


@main.command()
@click.option("--json", "as_json", is_flag=True, help="One JSON object a line, a line an entry.")
@click.option("--last", type=click.IntRange(min=1), help="Only so many of the newest entries.")
@data_option
@telling_failures
def log(as_json: bool, last: int | None, data: Path) -> None:
    """All entries in the order in which they were done, with their open doubts."""
    with opened(data) as bench:
        show_log(out, bench.log.state.order[-last if last else 0 :], as_json=as_json)


@main.command()
@click.argument("list_name", metavar="LIST")
@click.argument("name")
@click.argument("said_as", nargs=-1)
@data_option
@telling_failures
def word(list_name: str, name: str, said_as: Sequence[str], data: Path) -> None:
    """Add a word of your own: a NAME in one of the LISTs (materials, items …) and how it is said.

    Example: plytally word materials "kevlar cloth" "kevlar" "aramid cloth"
    """
    with opened(data) as bench:
        bench.add_words(list_name, name, list(said_as) or [name])
        click.echo(f"{list_name}: {name}, said as {', '.join(said_as) or name}")


for command in (
    serve,
    clocks,
    phones,
    desk,
    visits,
    voices,
    find,
    shop,
    verify,
    backup,
    restore,
    *SCHEDULE_COMMANDS,
    *RECORD_COMMANDS,
):
    main.add_command(command)
for command in main.commands.values():  # its first sentence whole: the list of commands cuts it otherwise
    command.short_help = command.get_short_help_str(limit=400)
