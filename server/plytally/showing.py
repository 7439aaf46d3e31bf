"""What the terminal shows: notes heard, replies, the log. Colour only underlines what the words say."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import TYPE_CHECKING

from rich.console import Console
from rich.text import Text

from plytally.core.doubting import SURE
from plytally.core.hearing import Hearing
from plytally.core.history import Logged
from plytally.core.readback import asked, shown
from plytally.store.verify import Report
from plytally.workshop.bench import Reply

if TYPE_CHECKING:  # it loads what decodes sound, and most commands need none
    from plytally.workshop.hearing_files import Heard

MENDED = "what is damaged was put aside in the folder 'quarantine', the rest is in use; nothing was deleted"
DAMAGED = (
    "something is not what was written; nothing was changed. Copy the folder before you do anything else."
)


def counted(number: int, one: str, many: str) -> str:
    """A number with its noun.

    >>> counted(1, "entry", "entries"), counted(3, "entry", "entries")
    ('1 entry', '3 entries')
    """
    return f"{number} {one if number == 1 else many}"


def show_heard(console: Console, heard: Heard, label: str) -> None:
    """One recording: its words with what is unsure in them, and what came of it."""
    console.print(Text(f"{label}  ", style="dim").append_text(_words(heard.hearing)))
    for remark in heard.hearing.remarks:
        console.print(f"       note: {remark}", markup=False)
    show_reply(console, heard.reply)


def show_reply(console: Console, reply: Reply) -> None:
    """What a note made, doubts marked with a question mark at the edge."""
    doubts = [] if reply.logged is None else [asked(doubt) for doubt in reply.logged.entry.doubts]
    lines = reply.lines or _meaning(reply)
    for line in lines:
        mark, style = ("?", "bold") if line in doubts else ("=", "")
        console.print(Text(f"     {mark} {line}", style=style))


def show_log(console: Console, entries: Iterable[Logged], *, as_json: bool) -> None:
    """Entries, one a line, withdrawn ones struck out in words."""
    for logged in entries:
        if as_json:
            console.print(json.dumps(_logged_json(logged)), markup=False)
            continue
        withdrawn = f"  (withdrawn: {logged.withdrawn})" if logged.withdrawn is not None else ""
        console.print(f"{logged.wall[:16].replace('T', ' ')}  {shown(logged.entry)}{withdrawn}", markup=False)
        for doubt in logged.entry.doubts:
            console.print(f"                    ? {asked(doubt)}", markup=False)


def show_report(console: Console, report: Report, *, mended: bool = False) -> None:
    """What a look at a data folder found, damage last, with what to do."""
    lines, media = (
        counted(report.records, "line", "lines"),
        counted(report.media, "sound or photo", "sounds and photos"),
    )
    console.print(
        f"{lines} of the log and {media} looked at; the last line's hash is {report.head.hash}", markup=False
    )
    if report.unfinished:
        console.print(
            f"unfinished: {report.unfinished}; the next start cuts it off and keeps it aside", markup=False
        )
    for address in sorted(report.lacking):
        console.print(f"not here (a phone may still have it): {address}", markup=False)
    for damage in report.damage:
        console.print(f"damaged: {damage}", markup=False)
    console.print("all of it is what was written" if report.sound else MENDED if mended else DAMAGED)


def _words(hearing: Hearing) -> Text:
    """The words; a number in brackets is the confidence of one that is not sure."""
    text = Text()
    for word in hearing.words:
        sure = word.confidence >= SURE and not word.runner_up
        doubt = "" if sure else f"[{word.confidence:.2f}{' or ' + word.runner_up if word.runner_up else ''}]"
        text.append(f"{word.text}{doubt} ", style="" if sure else "bold")
    if not hearing.words:
        text.append("(no words)")
    elif not hearing.covered:
        text.append("(not in the phrasebook; a guess)", style="italic")
    return text


def _meaning(reply: Reply) -> tuple[str, ...]:
    """What a note would make, where nothing was kept."""
    understood = reply.understood
    if understood.entry is None:
        return (f"{understood.makes}: {understood.name.replace('_', ' ')}",)
    return (*(asked(doubt) for doubt in understood.doubts), shown(understood.entry))


def _logged_json(logged: Logged) -> dict[str, object]:
    return {
        "id": logged.id,
        "when": logged.wall,
        "author": logged.author,
        "entry": logged.entry.as_json(),
        "doubts": [doubt.as_json() for doubt in logged.entry.doubts],
        "withdrawn": logged.withdrawn,
        "attachments": [attached.media for attached in logged.attachments],
    }
