"""The command line: thin commands over the bench.

Every way to fail has an exit code of its own, listed in `failing.py`.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

import click
from rich.console import Console

from plytally import __version__
from plytally.core.answering import owed as owed_lines
from plytally.core.hearing import typed
from plytally.core.telling import left_off_told
from plytally.failing import telling_failures
from plytally.late_commands import LateGroup
from plytally.on_screen import only_text
from plytally.opened import opened
from plytally.options import data_option
from plytally.showing import show_log, show_reply

out = Console(highlight=False, soft_wrap=True, emoji=False)


HOMES = {
    "demo": "hearing_commands:demo",
    "hear": "hearing_commands:hear",
    "serve": "serve_commands:serve",
    "phones": "serve_commands:phones",
    "desk": "serve_commands:desk",
    "clocks": "clock_commands:clocks",
    "visits": "visit_commands:visits",
    "voices": "voice_commands:voices",
    "find": "find_commands:find",
    "shop": "shop_commands:shop",
    "verify": "folder_commands:verify",
    "backup": "folder_commands:backup",
    "restore": "folder_commands:restore",
    "schedule": "schedule_commands:schedule",
    "order": "schedule_commands:order",
    "next": "schedule_commands:next_",
    "snags": "schedule_commands:snags",
    "checklist": "schedule_commands:checklist",
    "record": "record_commands:record",
    "stock": "record_commands:stock",
    "export": "record_commands:export_",
    "import": "record_commands:import_",
    "take-in": "record_commands:take_in",
}
"""The commands that are not written here: each is loaded when it is called."""


class Commands(LateGroup):
    """The group of all commands: whatever one of them shows, its help and its errors too, is text alone."""

    def main(self, *args: Any, **kwargs: Any) -> Any:
        """Run the command that the words name."""
        with only_text():
            return super().main(*args, **kwargs)


@click.group(cls=Commands, homes={name: f"plytally.{home}" for name, home in HOMES.items()})
@click.version_option(__version__)
def main() -> None:
    """Say what you laid; keep the log; know what the print still asks for.

    plytally advises. The plans, the builder and the inspector decide.
    """


@main.command()
@click.argument("text", nargs=-1, required=True)
@data_option
@telling_failures
def note(text: Sequence[str], data: Path) -> None:
    """Take a typed note, as if it had been spoken."""
    if not " ".join(text).strip():
        raise click.UsageError("there are no words in it; say what was done: plytally note bagged the spar")
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
        entries = bench.log.state.order[-last if last else 0 :]
        show_log(out, entries, as_json=as_json)
        if not entries and not as_json:
            click.echo(f"nothing is noted yet in {data}", err=True)


@main.command()
@click.argument("list_name", metavar="LIST")
@click.argument("name")
@click.argument("said_as", nargs=-1)
@click.option("--take-back", is_flag=True, help="Let all that was taught of this name count no more.")
@data_option
@telling_failures
def word(list_name: str, name: str, said_as: Sequence[str], take_back: bool, data: Path) -> None:
    """Add a word of your own: a NAME in one of the LISTs (materials, items …) and how it is said.

    Example: plytally word materials "aramid cloth" "aramid" "aramid bid"
    """
    with opened(data) as bench:
        if take_back:
            bench.taught.take_back_name(list_name, name, "builder")
            click.echo(f"{list_name}: {name} is taken back; what is in the log stays as it was noted")
            return
        bench.add_words(list_name, name, list(said_as) or [name])
        click.echo(f"{list_name}: {name}, said as {', '.join(said_as) or name}")
