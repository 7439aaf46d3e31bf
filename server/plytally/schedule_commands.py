"""Commands about the print: take a schedule, the order of work, what comes next, snags, checklists."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

import click

from plytally.core.checklist import checklist as sheets_of
from plytally.core.checklist import checklist_text
from plytally.core.checklist_page import checklist_html
from plytally.core.clashes import clashes
from plytally.core.entry import Place
from plytally.core.findings import findings
from plytally.core.ledger import Ledger
from plytally.core.order_of_work import OrderOfWork, moment_told
from plytally.core.readiness import CAUTION, bench_told, on_the_bench
from plytally.core.revised import effects, effects_told
from plytally.core.revisions import changes, changes_told
from plytally.core.schedule import Schedule
from plytally.core.shop.cautions import DECIDE
from plytally.core.telling import day_told, finding_told, place_told
from plytally.failing import telling_failures
from plytally.opened import opened
from plytally.options import data_option
from plytally.schedule_file import read_schedule_file
from plytally.schedule_table import csv_from_schedule
from plytally.showing import counted
from plytally.workshop.bench import Bench

where_argument = click.argument("where", nargs=-1)
NO_SCHEDULE = "no layup schedule yet; give one with: plytally schedule FILE.yaml"
AGREES = "nothing in the log disagrees with the print."


@click.command()
@click.argument("file", required=False, type=click.Path(path_type=Path))
@click.option("--compare", is_flag=True, help="Only show what FILE would change; the one that counts stays.")
@click.option("--csv", "as_csv", is_flag=True, help="Print the schedule as CSV, for a spreadsheet.")
@data_option
@telling_failures
def schedule(file: Path | None, compare: bool, as_csv: bool, data: Path) -> None:
    """Take FILE (YAML or CSV) as the layup schedule that counts from now on, and show what it changes.

    Without FILE, say which one counts.
    """
    with opened(data) as bench:
        if compare and not file:
            raise click.UsageError("--compare needs the FILE to compare with the schedule that counts")
        if file and bench.schedule.parts:
            for line in _differences(bench, read_schedule_file(file)):
                click.echo(line)
        taken = bench.take_schedule(file) if file and not compare else bench.schedule
        if as_csv:
            click.echo(csv_from_schedule(taken), nl=False)
        else:
            click.echo(_summary(taken))


@click.command()
@where_argument
@data_option
@telling_failures
def order(where: Sequence[str], data: Path) -> None:
    """The order of work: how early and late each step can come, what it needs and would spoil.

    At the end what the print leaves open: plies over what is fitted, and what a bond closes in.
    """
    with opened(data) as bench:
        place, work = bench.place(" ".join(where)), OrderOfWork(bench.schedule)
        part = ""
        for moment in work.moments(place):
            now = place_told(Place(moment.step.part, moment.step.side))
            if now != part:
                click.echo(f"{now}:")
                part = now
            click.echo(f"  {moment_told(moment, len(bench.schedule.steps))}")
        for clash in clashes(work, place):
            click.echo(f"look at this: {clash}")
        click.echo(DECIDE)


@click.command("next")
@where_argument
@data_option
@telling_failures
def next_(where: Sequence[str], data: Path) -> None:
    """The steps that can be worked next, the part worked last first, and what has to cure before."""
    with opened(data) as bench:
        now = str(bench.now())
        steps = on_the_bench(bench.ledger, now, bench.place(" ".join(where)))
        for step in steps:
            click.echo(f"{'now' if step.is_ready else 'later'}: {bench_told(step, now)}")
        click.echo(CAUTION if steps else "nothing is left to be worked there.")


@click.command()
@where_argument
@data_option
@telling_failures
def snags(where: Sequence[str], data: Path) -> None:
    """Where the log disagrees with the print: over, out of order, not on the print, in doubt."""
    with opened(data) as bench:
        for line in snag_lines(bench, bench.place(" ".join(where))):
            click.echo(line)


@click.command()
@where_argument
@click.option("--html", "as_html", is_flag=True, help="As a page of HTML, to be printed.")
@data_option
@telling_failures
def checklist(where: Sequence[str], as_html: bool, data: Path) -> None:
    """A checklist of a part, or of the whole print: boxes blank, or ticked with day and name."""
    with opened(data) as bench:
        names = {logged.id: logged.author for logged in bench.log.state.order}
        sheets = sheets_of(bench.ledger, bench.place(" ".join(where)), names)
        heading = _heading(bench)
        if as_html:
            click.echo(checklist_html(sheets, heading), nl=False)
        else:
            click.echo("\n".join(checklist_text(sheets, heading)))


def snag_lines(bench: Bench, where: Place) -> Iterator[str]:
    """Every disagreement with the print, the earliest first; one line where there is none."""
    found = findings(bench.ledger, where)
    yield from (finding_told(finding) for finding in found)
    if not found:
        yield AGREES


def _differences(bench: Bench, new: Schedule) -> Iterator[str]:
    yield from changes_told(changes(bench.schedule, new))
    yield "in what is laid:"
    changed = effects(bench.ledger, Ledger(new, bench.entries()))
    yield from (f"  {line}" for line in effects_told(changed))


def _summary(taken: Schedule) -> str:
    if not taken.parts:
        return NO_SCHEDULE
    asked = counted(len(taken.steps), "step", "steps")
    return f"{taken.aircraft}, revision {taken.revision}: {len(taken.parts)} parts, {asked}"


def _heading(bench: Bench) -> str:
    print_, day = bench.schedule, day_told(str(bench.now()))
    return f"{print_.aircraft or 'no print'}, print revision {print_.revision or '-'}: checklist of {day}"
