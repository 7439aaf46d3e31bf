"""Commands about the server: run it, bring phones in, list and revoke them, set the desk's passphrase."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import click

from plytally.asking_server import NotServing, ask_server, serving_at
from plytally.clock import MachineClock
from plytally.failing import telling_failures
from plytally.options import data_option, engine_options, sound_alone_option
from plytally.remind.calling import calling
from plytally.remind.contact import WITHOUT, contact_of, keep_contact, kept_contact
from plytally.remind.relays import allowing, origin_of
from plytally.speech.engines import model_in
from plytally.speech.phone_model import PhoneModel
from plytally.store.documents import Documents
from plytally.store.log import BuildLog
from plytally.web.desk import Desk
from plytally.web.install import grouped
from plytally.web.pairing import invite, qr_text
from plytally.web.phones import Phones
from plytally.web.serve import DESK_PORT, PHONE_PORT, Plan, Running
from plytally.web.serve import serve as run_server
from plytally.web.shop import Beside
from plytally.workshop.bench import Bench
from plytally.workshop.ear import Ear
from plytally.workshop.print_copy import print_copy
from plytally.workshop.second_hearing import SecondHearing
from plytally.workshop.voice_work import VoiceWork
from plytally.workshop.voices import Voices

A_PORT = click.IntRange(0, 65535)
ASK = "An address at which push services may reach you, mailto:… or https:… (nothing for none)"


@click.command()
@click.option(
    "--port",
    type=A_PORT,
    default=DESK_PORT,
    show_default=True,
    help="The desk's port on this machine; 0: any.",
)
@click.option("--lan", is_flag=True, help="Also serve phones on the local network, over TLS.")
@click.option("--name", help="This machine's name for phones, such as shop.local.")
@click.option("--lan-host", default="0.0.0.0", show_default=True, help="The address phones reach.")  # noqa: S104
@click.option(
    "--lan-port", type=A_PORT, default=PHONE_PORT, show_default=True, help="The port phones reach; 0: any."
)
@click.option("--hear/--no-hear", default=True, help="Hear arriving recordings a second time.")
@click.option("--contact", help="For push services: mailto:you@… or https:…; kept. Asked for at first.")
@click.option(
    "--push-relay",
    "relays",
    multiple=True,
    metavar="ORIGIN",
    envvar="PLYTALLY_PUSH_RELAY",
    show_envvar=True,
    help="A push service of your own on your network, https://HOST:PORT, to which calls may go.",
)
@click.option(
    "--phone-model",
    type=click.Path(path_type=Path),
    envvar="PLYTALLY_PHONE_MODEL",
    show_envvar=True,
    help="A folder with a Vosk model to offer to phones; left out, the one that hears here.",
)
@data_option
@engine_options
@sound_alone_option
@telling_failures
def serve(
    port: int,
    lan: bool,
    name: str | None,
    lan_host: str,
    lan_port: int,
    hear: bool,
    contact: str | None,
    relays: tuple[str, ...],
    phone_model: Path | None,
    data: Path,
    engine: str,
    model: Path | None,
    by_sound_alone: bool,
) -> None:
    """Run the shop computer: the log of record, for the desk here and, with --lan, for phones."""
    allowed = allowing([_given(relay, "--push-relay", origin_of) for relay in relays])
    wanted = None if contact is None else _given(contact, "--contact", contact_of)

    @contextmanager
    def beside(bench: Bench) -> Iterator[Beside]:
        ask_contact(bench.log.documents, wanted)
        with calling(bench.log, bench.resin_times) as calls:
            counts = {"calls": calls.waiting}
            offered = _for_phones(data, engine, phone_model or model)
            if not hear:
                yield Beside(counts, phone_model=offered)
                return
            ear, voices = Ear(data, engine, model), Voices(bench)
            queue = SecondHearing(bench.log, bench, ear, voices.file_of, leaning=not by_sound_alone)
            learner = VoiceWork(bench, voices, ear)
            queue.start()
            learner.start()
            counts |= {"second_hearing": queue.waiting, "second_hearing_given_up": queue.given_up}
            counts |= {"voices": learner.waiting}
            try:
                yield Beside(counts, queue.again, offered, learner.nudge, ear)
            finally:
                learner.close()
                queue.close()
                ear.close()

    copy = partial(print_copy, by_sound_alone=by_sound_alone)
    plan = Plan(data, port, lan, name, lan_host, lan_port, print_copy=copy, beside=beside)
    run_server(replace(plan, endpoint_problem=allowed), _show_running)


def _given(text: str, option: str, read: Callable[[str], str]) -> str:
    try:
        return read(text)
    except ValueError as problem:
        raise click.BadParameter(str(problem), param_hint=option) from problem


def ask_contact(documents: Documents, given: str | None) -> None:
    """Keep the address that was given; ask for one at the first start, and say what none means."""
    if given is not None:
        keep_contact(documents, given)
    elif kept_contact(documents) is None and sys.stdin.isatty():
        keep_contact(documents, click.prompt(ASK, default="", show_default=False, value_proc=_address))
    if not kept_contact(documents):
        click.echo(f"plytally: {WITHOUT}", err=True)


def _address(text: str) -> str:
    try:
        return contact_of(text) if text.strip() else ""
    except ValueError as problem:
        raise click.UsageError(str(problem)) from problem


def _for_phones(data: Path, engine: str, model: Path | None) -> PhoneModel | None:
    """The model that phones are offered, being packed; None where there is no Vosk model."""
    folder = model or (None if engine == "sphinx" else model_in(data))
    if folder is None:
        return None
    offered = PhoneModel(folder, data / "phone_model")
    offered.start()
    return offered


def _show_running(running: Running) -> None:
    for remark in running.remarks:
        click.echo(f"plytally: {remark}", err=True)
    click.echo(f"the desk is at {running.desk_url}; stop with Ctrl-C")
    if running.shop.authority is None:
        click.echo("phones: start with --lan to bring them in")
    else:
        click.echo("the shop's fingerprint, to compare in the phone's certificate details:")
        click.echo(f"  {grouped(running.shop.authority.fingerprint)}")
        _show_invitation(invite(running.shop, running.inside.codes))


def _show_invitation(invitation: Mapping[str, Any]) -> None:
    click.echo(qr_text(invitation["url"]))
    minutes = invitation["seconds"] // 60
    click.echo(f"phones: scan, or open {invitation['url']}")
    click.echo(f"the code {invitation['code']} is good for {minutes} minutes and {invitation['tries']} tries")


@click.command()
@click.option("--add", is_flag=True, help="Open a code for another phone (the server must be running).")
@click.option("--revoke", metavar="DEVICE", help="Void a phone's token; what it recorded stays.")
@data_option
@telling_failures
def phones(add: bool, revoke: str | None, data: Path) -> None:
    """List the paired phones; add one, or revoke one."""
    serving = serving_at(data)
    if add:
        if serving is None:
            raise NotServing("the server is not running; start it with: plytally serve --lan")
        _show_invitation(ask_server(serving, "POST", "/api/pairings"))
    elif serving is not None:
        if revoke:
            ask_server(serving, "DELETE", f"/api/phones/{revoke}")
        _show_phones(ask_server(serving, "GET", "/api/phones")["phones"])
    else:
        with BuildLog(data) as log:
            known = Phones(log.documents, MachineClock())
            if revoke and not known.revoke(revoke):
                raise click.BadParameter(f"no phone is called {revoke!r}", param_hint="--revoke")
            _show_phones([phone.as_json() for phone in known])


def _show_phones(rows: list[dict[str, Any]]) -> None:
    if not rows:
        click.echo("no phone is paired yet; add one with: plytally phones --add")
    for row in rows:
        state = (
            f"revoked {row['revoked'][:16]}" if row["revoked"] else f"last here {row['last_seen'] or 'never'}"
        )
        clock = "" if not row["skew_ms"] else f", its clock is {row['skew_ms'] / 1000:+.1f} s off"
        click.echo(f"{row['device']}  {row['name']}  paired {row['paired'][:16]}, {state}{clock}")


@click.command()
@click.option(
    "--passphrase", prompt=True, hide_input=True, confirmation_prompt=True, help="Asked for if left out."
)
@data_option
@telling_failures
def desk(passphrase: str, data: Path) -> None:
    """Set the desk's passphrase (12 characters or more); every browser that is signed in is signed out."""
    serving = serving_at(data)
    if serving is not None:
        ask_server(serving, "PUT", "/api/desk/passphrase", {"fresh": passphrase})
    else:
        with BuildLog(data) as log:
            Desk(log.documents, MachineClock()).set_passphrase(passphrase)
    click.echo("the desk's passphrase is set")
