"""The ledger's answers as short lines, to be shown or spoken.

"right elevator spar, aft face: 2 of 4 BID laid, 2 owed."
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence

from plytally.core.account import Answer, Finding, LeftOff, NextStep, Tally
from plytally.core.crediting import Dated
from plytally.core.entry import KINDS, Place
from plytally.core.schedule import Step
from plytally.core.wall import DAY_MS, read_wall

_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_ALREADY_A_FACE = ("face", "side", "inside", "outside")


def place_told(place: Place) -> str:
    """Give a place as a builder says it: "right elevator spar, aft face, at hinge 1".

    >>> place_told(Place("elevator spar", "right", "aft", "", "2"))
    'right elevator spar, aft face, at station 2'
    """
    part = " ".join(word for word in (place.side, place.part) if word)
    words = (part, _face(place.face), place.feature, _at((place.station,) if place.station else ()))
    return ", ".join(word for word in words if word)


def step_told(step: Step, stations: Sequence[str] = ()) -> str:
    """Give what a step asks for, without its part: "2 BID on the aft face at hinge 1, hinge 2"."""
    if step.is_layup:
        words = [f"{step.plies} {step.material}", f"at {step.orientation}" if step.orientation else ""]
    else:
        words = [step.do, step.item]
    where = ", ".join(word for word in (_face(step.face), step.feature) if word)
    words += [f"on the {where}" if where else "", _at(stations or step.stations)]
    return " ".join(word for word in words if word)


def day_told(when: str) -> str:
    """Give the day of an RFC 3339 time, as the clock on the shop's wall had it: "3 March 2026"."""
    year, month, day = when[:10].split("-")
    return f"{int(day)} {_MONTHS[int(month) - 1]} {int(year)}"


def ago_told(when: str, now: str) -> str:
    """Give how long before `now` it was, in the largest unit that fits twice: "14 months", "3 days".

    >>> ago_told("2025-01-20T10:00:00Z", "2026-03-21T09:00:00Z")
    '14 months'
    """
    then, today = read_wall(when), read_wall(now)
    minutes = max(0, today.millis - then.millis) // 60_000
    days = max(0, today.millis - then.millis) // DAY_MS
    months = (int(now[:4]) - int(when[:4])) * 12 + int(now[5:7]) - int(when[5:7]) - (now[8:10] < when[8:10])
    for amount, unit in (
        (months // 12, "years"),
        (months, "months"),
        (days, "days"),
        (minutes // 60, "hours"),
    ):
        if amount >= 2:
            return f"{amount} {unit}"
    return f"{minutes} minutes" if minutes != 1 else "1 minute"


def tally_told(tally: Tally, *, orientation: bool = False) -> str:
    """Give one line on one material at one place; with its orientation where another is asked there too."""
    angle = f" at {tally.orientation}" if orientation and tally.orientation else ""
    instead = f" ({', '.join(tally.instead)} in its place)" if tally.instead else ""
    words = [f"{tally.laid} of {tally.asked} {tally.material}{angle} laid{instead}"]
    words += [
        f"{count} {what}"
        for count, what in ((tally.in_doubt, "more in doubt"), (tally.owed, "owed"))
        if count
    ]
    words += [f"{tally.over} over"] if tally.over else []
    return f"{place_told(tally.place)}: {', '.join(words)}."


def owed_told(tallies: Sequence[Tally], where: Place) -> tuple[str, ...]:
    """Give the answer to "what is still owed?", a line for each tally."""
    if not tallies:
        on = f" on the {place_told(where)}" if where.part else ""
        return (f"nothing is owed{on}.",)
    twice = Counter((tally.place, tally.material) for tally in tallies)
    return tuple(tally_told(tally, orientation=twice[tally.place, tally.material] > 1) for tally in tallies)


def assembly_owed_told(plies: Mapping[Place, int], where: Place, most: int = 8) -> str:
    """Give what an assembly owes in one line: "left elevator: 9 plies owed on 2 parts: spar: 6, rib 1: 3"."""
    whole = place_told(Place(where.part, where.side))
    if not plies:
        return f"nothing is owed on the {whole}."
    parts = [
        (f"{part.side if part.side != where.side else ''} {part.part.removeprefix(f'{where.part} ')}", count)
        for part, count in plies.items()
    ]
    told = ", ".join(f"{name.strip()}: {count}" for name, count in parts[:most])
    more = f", and {len(parts) - most} more" if len(parts) > most else ""
    on = f"{len(parts)} parts" if len(parts) > 1 else "1 part"
    return f"{whole}: {sum(plies.values())} plies owed on {on}: {told}{more}."


def left_off_told(left_off: LeftOff, where: Place, most: int = 3) -> tuple[str, ...]:
    """Give the answer to "where did I leave off?": the last work, then up to `most` steps to go on with."""
    if left_off.last is None:
        on = f" on the {place_told(where)}" if where.part else ""
        first = f"no work is noted{on}."
    else:
        first = f"last: {entry_told(left_off.last)}, on {day_told(left_off.last.when)}."
    return (first, *_steps_told(left_off.next, most))


def next_steps_told(steps: Sequence[NextStep], where: Place, most: int = 3) -> tuple[str, ...]:
    """Give the answer to "what is next?": up to `most` steps that wait for nothing."""
    on = f" on the {place_told(where)}" if where.part else ""
    return _steps_told(steps, most) or (f"nothing can be worked next{on}.",)


def _steps_told(steps: Sequence[NextStep], most: int) -> tuple[str, ...]:
    told = [f"next: {next_told(step)}." for step in steps[:most]]
    more = len(steps) - most
    return (*told, *([f"and {more} more can be worked."] if more > 0 else []))


def next_told(next_step: NextStep) -> str:
    """Give a step that can be worked now: "right elevator spar, E4: 2 BID on the aft face at hinge 1"."""
    step = next_step.step
    part = " ".join(word for word in (step.side, step.part) if word)
    what = step_told(step, next_step.stations)
    stations = max(1, len(next_step.stations))
    open_ = f" ({next_step.plies} still open)" if 0 < next_step.plies < step.plies * stations else ""
    return f"{part}, {step.id}: {what}{open_}"


def entry_told(dated: Dated) -> str:
    """Give what an entry says in few words: "2 BID laid on right elevator spar, aft face"."""
    entry = dated.entry
    if entry.kind == "laid":
        amount = f"{entry.fields.get('plies', 'some')} {entry.fields.get('material', 'plies')}"
        did = f"{amount} laid"
    else:
        did = " ".join(str(word) for word in (entry.fields.get("item", ""), _kind(entry.kind)) if word)
    place = place_told(entry.place)
    return f"{did} on {place}" if place else did


def answer_told(answer: Answer) -> tuple[str, ...]:
    """Give the answer to "have I laid it?" and what speaks for it."""
    if answer.why:
        return (f"I cannot say: {answer.why}.",)
    each = answer.each or (answer,)
    return (*(_one_answer_told(one) for one in each), *_unplaced_told(answer.unplaced))


def finding_told(finding: Finding) -> str:
    """Give one disagreement with the print in one line."""
    line = f"{finding.kind}: {entry_told(finding.entry)}, {day_told(finding.entry.when)}: {finding.why}"
    return line if line.endswith("?") else f"{line}."


def _one_answer_told(answer: Answer) -> str:
    amount = f"{answer.laid} {answer.material or 'plies'} laid"
    missing = f" of {answer.wanted}" if answer.laid < answer.wanted else ""
    doubt = f", {answer.in_doubt} more in doubt" if answer.in_doubt else ""
    last = f", last on {day_told(answer.evidence[-1].when)}" if answer.evidence else ""
    return (
        f"{answer.verdict}: {place_told(answer.place)}: {amount.replace(' ', f'{missing} ', 1)}{doubt}{last}."
    )


def _unplaced_told(entries: Sequence[Dated]) -> Iterator[str]:
    if entries:
        noted = "; ".join(f"{entry_told(dated)}, {day_told(dated.when)}" for dated in entries)
        yield f"also noted, but not where: {noted}."


def _face(face: str) -> str:
    return face if not face or face.endswith(_ALREADY_A_FACE) else f"{face} face"


def _at(stations: Sequence[str]) -> str:
    return (
        "at " + ", ".join(f"station {name}" if name.isdigit() else name for name in stations)
        if stations
        else ""
    )


def _kind(kind: str) -> str:
    return KINDS[kind].label or kind
