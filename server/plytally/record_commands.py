"""Commands about the record that is handed over: the PDF, the stock list beside it, export and import."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

import click

from plytally.clock import MachineClock, fresh_id
from plytally.core.wall import Wall
from plytally.failing import NOT_ALL, telling_failures
from plytally.opened import opened
from plytally.options import data_option
from plytally.progress import counting
from plytally.record.book import PAPERS, write_pdf
from plytally.record.content import NO_APPROVAL, Scope
from plytally.record.export import export
from plytally.record.reading import read_folder
from plytally.showing import counted
from plytally.store.errors import telling
from plytally.web.record_photos import small_photos
from plytally.workshop.carrying import take_export
from plytally.workshop.phone_file import take_phone_file
from plytally.workshop.record_copy import content_of, scope_of
from plytally.workshop.stock_shelf import TABLE, stock_in, take_stock


def a_day(context: click.Context, parameter: click.Parameter, value: str) -> str:
    """A day as it stands in the log."""
    if value:
        try:
            if date.fromisoformat(value).isoformat() != value:
                raise ValueError
        except ValueError as problem:
            raise click.BadParameter(f"{value!r} is no day; write it like 2026-03-14") from problem
    return value


def now() -> Wall:
    """The time now, with the local offset."""
    clock = MachineClock()
    return Wall(clock.now_millis(), clock.offset_min())


@click.command()
@click.argument("out", type=click.Path(path_type=Path, dir_okay=False))
@click.option(
    "--part",
    "parts",
    multiple=True,
    metavar="PART",
    help="Only this part; again for more. Left out: all.",
)
@click.option(
    "--from",
    "first",
    default="",
    callback=a_day,
    metavar="DAY",
    help="Only from this day, like 2026-03-14.",
)
@click.option("--to", "last", default="", callback=a_day, metavar="DAY", help="Only up to this day.")
@click.option("--paper", type=click.Choice([*PAPERS]), default="a4", show_default=True, help="Its size.")
@data_option
@telling_failures
def record(out: Path, parts: Sequence[str], first: str, last: str, paper: str, data: Path) -> None:
    """Write the build record as a PDF into OUT, to be printed, signed and handed over.

    It reads the log as it stands, also while the server runs. It is no approval.
    """
    if first and last and first > last:
        raise click.UsageError(f"--from {first} is after --to {last}")
    with counting("reading the log") as step:
        reading = read_folder(data, step)
    content = content_of(reading, scope_of(reading, parts, first, last), now())
    part = out.with_name(out.name + ".part")
    try:
        with telling("writing", out), part.open("wb") as file, counting("making pages") as step:
            pages = write_pdf(content, file, small_photos(reading.media), paper, step)
        with telling("writing", out):
            part.replace(out)
    finally:
        part.unlink(missing_ok=True)
    entries = counted(len(content.entries), "entry", "entries")
    click.echo(f"{out}: {counted(pages, 'page', 'pages')}, {entries}, {content.scope.told}")
    click.echo(NO_APPROVAL)


@click.command()
@click.argument("file", required=False, type=click.Path(path_type=Path, dir_okay=False))
@data_option
@telling_failures
def stock(file: Path | None, data: Path) -> None:
    """Take FILE (YAML) as the list of resin and cloth in stock, or say what is on the list that counts.

    The pictures and the record hold what was mixed and laid against it; docs/record.md shows one.
    """
    with opened(data) as bench:
        if file:
            with telling("reading", file):
                text = file.read_text("utf-8", "replace")
            take_stock(bench.log.documents, text, bench.now())
        with bench.log.documents.table(TABLE) as table:
            listed = stock_in(table.all())
    for kind, items in (("resin", listed.resin), ("cloth", listed.cloth)):
        for item in items:
            batch = f", batch {item.batch}" if item.batch else ""
            until = f", good until {item.expires}" if item.expires else ""
            click.echo(f"{kind}: {item.name}{batch}: {item.amount}{until}")
    if not (listed.resin or listed.cloth):
        click.echo("nothing is on the stock list; docs/record.md shows how to write one")


@click.command("export")
@click.argument("to", type=click.Path(path_type=Path))
@data_option
@telling_failures
def export_(to: Path, data: Path) -> None:
    """Write everything into the new folder TO: the log as JSON Lines, tables as CSV, sounds and photos.

    It reads the log as it stands, also while the server runs. 'plytally import' makes the same log from it.
    """
    with counting("reading the log") as step:
        reading = read_folder(data, step)
    content = content_of(reading, Scope(), now())
    with counting("exporting") as step:
        about = export(reading, content, to, step)
    lines = counted(about["lines"], "line", "lines")
    media = counted(about["media"], "sound or photo", "sounds and photos")
    click.echo(f"{to}: {lines} of the log and {media}; the last line's hash is {about['head']}")


@click.command("import")
@click.argument("source", metavar="FROM", type=click.Path(path_type=Path))
@data_option
@telling_failures
def import_(source: Path, data: Path) -> None:
    """Make a new log from the export in the folder FROM: the same lines, sounds and photos, or nothing."""
    with counting("importing") as step:
        found = take_export(source, data, fresh_id, now(), step)
    lines = counted(found.lines, "line", "lines")
    media = counted(found.media, "sound or photo", "sounds and photos")
    click.echo(f"{data}: {lines} of the log and {media}; the last line's hash is {found.head.hash}")


@click.command("take-in")
@click.argument("file", type=click.Path(path_type=Path, dir_okay=False))
@data_option
@telling_failures
def take_in(file: Path, data: Path) -> None:
    """Bring FILE, which a phone saved ("Save everything to a file"), into the log.

    For a phone that cannot sync any more. Taking it twice changes nothing; stop 'plytally serve' before.
    """
    with opened(data) as bench, counting("taking in") as step:
        taken = take_phone_file(bench, file, step)
    changes = counted(taken.new, "new note or change", "new notes and changes")
    media = counted(taken.media, "sound or photo", "sounds and photos")
    click.echo(f"{file}: {changes}, {taken.known} known already, {media}")
    if taken.notes:
        click.echo(f"{counted(taken.notes, 'entry', 'entries')} made of what the phone had not gone through")
    for refused in taken.refused:
        click.echo(f"put aside: {refused}", err=True)
    for name in taken.damaged:
        click.echo(f"damaged in the file, not taken: {name}", err=True)
    if taken.refused or taken.damaged:
        raise SystemExit(NOT_ALL)
