"""Commands about the data folder as a whole: look at it, copy it, make it anew from a copy."""

from __future__ import annotations

from pathlib import Path

import click
from rich.console import Console

from plytally.clock import Clock, MachineClock, fresh_id
from plytally.core.telling import day_told
from plytally.core.wall import read_wall
from plytally.failing import LOG_DAMAGED, telling_failures
from plytally.options import data_option
from plytally.progress import counting
from plytally.record.errors import NoLog
from plytally.showing import counted, show_report
from plytally.store.backup import backup as make_backup
from plytally.store.backup import restore as restore_from
from plytally.store.journal import JOURNAL_NAME
from plytally.store.log import BuildLog
from plytally.store.repair import repair as mend
from plytally.store.verify import verify as verify_folder
from plytally.web.phones import Phones
from plytally.web.visits import Visits

out = Console(highlight=False, soft_wrap=True, emoji=False)


@click.command()
@click.option("--repair", is_flag=True, help="Put what is damaged aside and keep the rest; deletes nothing.")
@data_option
@telling_failures
def verify(repair: bool, data: Path) -> None:
    """Check every line of the log and every kept sound and photo against its hash."""
    if not (data / JOURNAL_NAME).is_dir():
        raise NoLog(f"{data} holds no log, so nothing was looked at; name its folder with --data")
    with counting("reading") as step:
        report = mend(data, fresh_id, step) if repair else verify_folder(data, step)
    show_report(out, report, mended=repair)
    if not report.sound and not repair:
        raise SystemExit(LOG_DAMAGED)


@click.command()
@click.argument("to", type=click.Path(path_type=Path))
@data_option
@telling_failures
def backup(to: Path, data: Path) -> None:
    """Bring the backup in the folder TO up to date, also while the log is in use, and verify it."""
    with counting("copying") as step:
        added = make_backup(data, to, step)
    media = counted(added.media, "sound or photo", "sounds and photos")
    click.echo(f"added {added.lines_bytes} bytes of the log and {media}")
    show_report(out, added.report)
    if not added.report.sound:
        click.echo(f"{to} is no good copy: make a new one in another folder, and keep this one beside it")
        raise SystemExit(LOG_DAMAGED)


@click.command()
@click.argument("source", metavar="FROM", type=click.Path(path_type=Path))
@data_option
@telling_failures
def restore(source: Path, data: Path) -> None:
    """Make the log's folder anew from the backup in FROM; phones notice and send what it lacks."""
    show_report(out, restore_from(source, data, fresh_id))
    with BuildLog(data) as log:
        clock = MachineClock()
        click.echo(newest_told(log))
        for line in doors_told(Phones(log.documents, clock), Visits(log.documents, clock), clock):
            click.echo(line)


def newest_told(log: BuildLog) -> str:
    """How far a backup reaches, since whoever restores one has to know what is missing."""
    newest = max((each.wall for each in log.state.order), key=lambda wall: read_wall(wall).millis, default="")
    if not newest:
        return "nothing is noted in it"
    return (
        f"the newest entry in it is of {day_told(newest)}, {newest[11:16]}; what came after the backup comes "
        "from the phones that noted it, not from here"
    )


def doors_told(phones: Phones, visits: Visits, clock: Clock) -> list[str]:
    """Who is let in by what a backup brought along: its lines are held against their hashes, this is not."""
    named = [f"{phone.name} ({phone.device})" for phone in phones if phone.revoked is None]
    links = [
        f"{visit.name} ({visit.id})"
        for visit in visits
        if visit.as_json(clock.now_millis())["state"] == "open"
    ]
    return [
        "let in, as the backup has it; end what you do not know:",
        f"  phones: {', '.join(named) or 'none'}; plytally phones --revoke DEVICE",
        f"  links for an inspector: {', '.join(links) or 'none'}; plytally visits --end VISIT",
        "  the desk's passphrase is the backup's; if that was in other hands, set another: plytally desk",
    ]
