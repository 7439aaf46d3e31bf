"""Voices from the command line: which were learnt, learn one anew, switch one off or on, forget one."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

import click

from plytally.asking_server import ask_server, serving_at
from plytally.failing import telling_failures
from plytally.opened import opened
from plytally.options import data_option, engine_options
from plytally.workshop.bench import Bench
from plytally.workshop.ear import Ear
from plytally.workshop.voice_work import VoiceWork
from plytally.workshop.voices import Voices

Json = dict[str, Any]
_STANDS = {
    "none": "not learnt yet",
    "learning": "being learnt",
    "helps": "learnt; its notes are heard by it",
    "does not help": "learnt, makes nothing better, and is not used",
    "off": "learnt, and switched off",
}


@click.command()
@click.option("--learn", metavar="DEVICE", help="Learn a phone's voice anew.")
@click.option("--on", metavar="DEVICE", help="Hear a phone's notes by its voice.")
@click.option(
    "--off",
    metavar="DEVICE",
    help="Hear a phone's notes as anybody's and learn nothing more; what was learnt stays.",
)
@click.option("--forget", metavar="DEVICE", help="Forget a phone's voice; the recordings stay.")
@data_option
@engine_options
@telling_failures
def voices(
    learn: str | None,
    on: str | None,
    off: str | None,
    forget: str | None,
    data: Path,
    engine: str,
    model: Path | None,
) -> None:
    """List the voices learnt from reading aloud on a phone or from its notes; learn, switch or forget one.

    A voice is used only if notes that it was not learnt from are heard no worse by it.
    """
    acts = [
        (device, method, tail, body)
        for device, method, tail, body in (
            (forget, "DELETE", "", None),
            (off, "PATCH", "", {"on": False}),
            (on, "PATCH", "", {"on": True}),
            (learn, "POST", "/learn", None),
        )
        if device
    ]
    serving = serving_at(data)
    if serving is not None:
        for device, method, tail, body in acts:
            ask_server(serving, method, f"/api/desk/voices/{device}{tail}", body)
        _show(ask_server(serving, "GET", "/api/desk/voices")["voices"])
        return
    with opened(data) as bench:
        known = Voices(bench)
        for device, method, _tail, body in acts:
            _do(known, device, method, body)
        if learn:
            _learn(bench, known, Ear(data, engine, model))
        _show(known.all())


def _do(known: Voices, device: str, method: str, body: Json | None) -> None:
    if not known.knows(device):
        raise click.ClickException(f"nothing is known of a voice of {device!r}; `plytally voices` lists them")
    if method == "DELETE":
        known.forget(device)
    elif body is not None:
        known.switch(device, on=body["on"])
    else:
        known.want(device)


def _learn(bench: Bench, known: Voices, ear: Ear) -> None:
    with closing(ear):
        work = VoiceWork(bench, known, ear)
        while work.learn_next():
            pass


def _show(rows: Sequence[Json]) -> None:
    if not rows:
        click.echo("no voice was learnt yet: read aloud on a phone, in its tab Shop under Your voice,")
        click.echo("or let it learn by itself from notes in which nothing was in doubt")
    for row in rows:
        read = sum(each["read"] for each in row["sentences"])
        name = f"  {row['name']}" if row.get("name") else ""
        share = f"{read} of {len(row['sentences'])} sentences read"
        click.echo(f"{row['device']}{name}: {_STANDS[row['state']]}; {share}")
        if row["right"]:
            without, by = row["right"]
            click.echo(
                f"  of {row['of']} notes held back, {without} heard word for word without it, {by} with it"
            )
        click.echo(f"  {_unasked(**row['unasked'])}")
        if row["problem"]:
            click.echo(f"  could not be learnt the last time: {row['problem']}")
        for each in row["names"]:
            if not each["right"]:
                click.echo(f"  hard to hear: {each['part']}, heard as {each['heard'] or 'nothing'!r}")


def _unasked(on: bool, notes: int, of: int) -> str:
    if not on:
        return "learns nothing from notes by itself"
    return f"learns by itself from {of} sure notes; {min(notes, of)} are there"
