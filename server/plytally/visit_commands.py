"""Visits from the command line: open a read-only link for an inspector, list them, end one."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from plytally.asking_server import NotServing, ask_server, serving_at
from plytally.clock import MachineClock
from plytally.failing import telling_failures
from plytally.opened import opened
from plytally.options import data_option
from plytally.record.reading import read_folder
from plytally.web.pairing import qr_text
from plytally.web.visits import LEAST_DAYS, MOST_DAYS, USUAL_DAYS, Visits
from plytally.workshop.record_copy import scope_of


@click.command()
@click.option(
    "--show", "parts", multiple=True, metavar="PART", help="Open a visit of this part; again for more."
)
@click.option(
    "--for", "name", default="the inspector", show_default=True, help="Whom it is for, for your list."
)
@click.option(
    "--days",
    type=click.IntRange(LEAST_DAYS, MOST_DAYS),
    default=USUAL_DAYS,
    show_default=True,
    help="How long.",
)
@click.option("--end", metavar="VISIT", help="End a visit now; its link opens nothing any more.")
@data_option
@telling_failures
def visits(parts: Sequence[str], name: str, days: int, end: str | None, data: Path) -> None:
    """List the read-only links that you gave to inspectors; open one with --show, end one with --end.

    A link shows the entries, photos and diagrams of its parts to whoever has it, until its day.
    """
    serving = serving_at(data)
    if parts:
        if serving is None:
            raise NotServing("the server is not running; start it with: plytally serve --lan")
        scope = scope_of(read_folder(data), parts)
        asked = [{"part": place.part, "side": place.side} for place in scope.parts]
        _show_link(
            ask_server(serving, "POST", "/api/desk/visits", {"name": name, "parts": asked, "days": days})
        )
    elif serving is not None:
        if end:
            ask_server(serving, "DELETE", f"/api/desk/visits/{end}")
        _show(ask_server(serving, "GET", "/api/desk/visits")["visits"])
    else:
        with opened(data) as bench:
            known, clock = Visits(bench.log.documents, MachineClock()), MachineClock()
            if end and not known.revoke(end):
                raise click.BadParameter(f"no visit is called {end!r}", param_hint="--end")
            _show([visit.as_json(clock.now_millis()) for visit in known])


def _show_link(visit: Mapping[str, Any]) -> None:
    click.echo(f"{visit['told']}, for {visit['name']}, until {visit['expires'][:16]}:")
    click.echo(f"  {visit['url']}")
    if visit["lan"]:
        click.echo(qr_text(visit["url"]))
    click.echo("Whoever has this link can read these parts, and nothing else. It is shown only now.")
    if not visit["lan"]:
        click.echo("It works on this machine alone: serve with --lan for others on the network.")


def _show(rows: Sequence[Mapping[str, Any]]) -> None:
    if not rows:
        click.echo("no visit was ever opened; open one with: plytally visits --show PART")
    for row in rows:
        ends = {"revoked": f"ended {str(row['revoked'])[:16]}", "over": "over"}.get(
            row["state"], f"open until {row['expires'][:16]}"
        )
        seen = f", last used {row['last_seen'][:16]}" if row["last_seen"] else ", never used"
        click.echo(f"{row['id']}  {row['name']}: {row['told']}; {ends}{seen}")
