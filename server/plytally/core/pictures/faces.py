"""A part's faces as ply diagrams: a look at the edge of the laminate, the span to the right, plies piled up.

What covers the whole face runs along the span; on top of it, at each station, lie the plies of its own.
From the mould up each pile has what is laid, then what is in doubt, what is owed, and what is too much.
"""

from __future__ import annotations

from collections.abc import Container, Iterator, Sequence
from dataclasses import replace

from plytally.core.account import Tally
from plytally.core.crediting import Demand
from plytally.core.entry import Place
from plytally.core.findings import findings
from plytally.core.ledger import Ledger
from plytally.core.likes import USUAL, Likes
from plytally.core.pictures.drawing import Box, Drawing, Figure, Shape, Stroke, Table, Words, legend
from plytally.core.telling import finding_told, place_told, step_told

WIDTH, LEFT, RIGHT = 720.0, 14.0, 500.0
PLY, TALLEST, SQUEEZED = 10.0, 300.0, 2.5
HEAD = ("where", "cloth", "asked", "laid", "in doubt", "owed", "over", "last laid", "steps")
STEPS_HEAD = ("step", "what the print asks", "state", "on")
NOTHING = "the print asks for no plies here"


def part_figures(
    ledger: Ledger, where: Place, only: Container[str] | None = None, likes: Likes = USUAL
) -> tuple[Figure, ...]:
    """A figure for each face of a part, side by side, in the order of the print; `where` must name the part.

    What the log has there and the print does not ask for stands with the first figure, as remarks; with
    `only` those remarks are of these entries alone, as one that leaves its part out may be anywhere.
    """
    by_face: dict[Place, list[Tally]] = {}
    for tally in ledger.tallies(where):
        by_face.setdefault(replace(tally.place, station=""), []).append(tally)
    figures = [face_figure(ledger, face, tallies, likes) for face, tallies in by_face.items()]
    found = (each for each in findings(ledger, where) if only is None or each.entry.id in only)
    snags = tuple(dict.fromkeys(likes.days_in(finding_told(each)) for each in found))
    if not figures:
        empty = Table(f"plies, {place_told(where)}", HEAD, ())
        return (Figure(place_told(where), None, empty, (NOTHING, *snags)),)
    return (replace(figures[0], remarks=snags), *figures[1:])


def steps_figure(ledger: Ledger, where: Place, likes: Likes = USUAL) -> Figure | None:
    """The steps of a part that lay nothing (mount, bond, drill, check), None where it has none."""
    ledger.settle()
    rows = tuple(
        (
            demand.step.id,
            step_told(demand.step, (demand.station,) if demand.station else ()),
            *_done(demand, likes),
        )
        for demand in ledger.board.demands(ledger.spelt(where))
        if not demand.step.is_layup
    )
    title = f"{place_told(where)}, other steps"
    return Figure(title, None, Table(title, STEPS_HEAD, rows)) if rows else None


def _done(demand: Demand, likes: Likes) -> tuple[str, str]:
    last = demand.done_at()
    state = "done" if demand.laid >= demand.asked else "in doubt" if demand.in_doubt else "open"
    return state, likes.day(last.entry.when) if last else ""


def face_figure(ledger: Ledger, face: Place, tallies: Sequence[Tally], likes: Likes = USUAL) -> Figure:
    """One face, from its tallies."""
    rows = tuple(_row(tally, likes) for tally in tallies)
    title = place_told(face)
    return Figure(title, _drawn(ledger, face, tallies, title), Table(f"plies, {title}", HEAD, rows))


def _row(tally: Tally, likes: Likes) -> tuple[str, ...]:
    last = max((dated.when for dated in tally.evidence), default="")
    numbers = (tally.asked, tally.laid, tally.in_doubt, tally.owed, tally.over)
    steps = ", ".join(dict.fromkeys(tally.steps))
    return (_where(tally), _cloth(tally), *map(str, numbers), likes.day(last) if last else "", steps)


def _where(tally: Tally) -> str:
    """The station; what has none covers the whole face, or runs along a feature of it, such as a cap."""
    return tally.place.station or ("all along it" if tally.place.feature else "whole face")


def _is_angle(orientation: str) -> bool:
    """Whether an orientation is in degrees: "45", "0/90", "±45", and no word of the print's own."""
    return bool(orientation) and set(orientation) <= set("0123456789/+-±")


def _cloth(tally: Tally) -> str:
    angle = f" at {tally.orientation}{'°' * _is_angle(tally.orientation)}" if tally.orientation else ""
    instead = f" ({', '.join(tally.instead)} in its place)" if tally.instead else ""
    return f"{tally.material}{angle}{instead}"


def _drawn(ledger: Ledger, face: Place, tallies: Sequence[Tally], title: str) -> Drawing:
    whole = [tally for tally in tallies if not tally.place.station]
    stations = _stations(ledger, face, tallies)
    at = {name: [tally for tally in tallies if tally.place.station == name] for name in stations}
    base, most = sum(map(_pile, whole)), max((sum(map(_pile, each)) for each in at.values()), default=0)
    ply = min(PLY, max(SQUEEZED, TALLEST / max(1, base + most)))
    words_above = 16 + 26 * max((len(each) for each in at.values()), default=0)
    mould = words_above + (base + most) * ply
    shapes: list[Shape] = [Stroke(LEFT - 6, mould, RIGHT + 6, mould, 2)]
    top = mould
    for tally in whole:
        shapes += _bars(tally, LEFT, RIGHT - LEFT, top, ply)
        middle = top - _pile(tally) * ply / 2
        shapes += _label(tally, RIGHT + 14, middle)
        top -= _pile(tally) * ply
    wide = (RIGHT - LEFT) / max(1, len(stations))
    for number, name in enumerate(stations):
        centre = LEFT + wide * (number + 0.5)
        shapes += _at_station(name, at[name], centre, min(110.0, wide * 0.72), top, mould, ply)
    shapes += legend(("laid", "doubt", "owed", "over"), LEFT, mould + 44)
    return Drawing(f"ply diagram: {title}. {_in_words(tallies)}", WIDTH, mould + 54, tuple(shapes))


def _at_station(
    name: str, tallies: Sequence[Tally], centre: float, width: float, top: float, mould: float, ply: float
) -> Iterator[Shape]:
    for tally in tallies:
        yield from _bars(tally, centre - width / 2, width, top, ply)
        top -= _pile(tally) * ply
    for number, tally in enumerate(reversed(tallies)):
        y = top - 20 - 26 * number if len(tallies) > 1 else top - 18
        yield Words(centre, y, _count(tally), "middle", 11, bold=True)
        yield Words(centre, y + 12, _cloth(tally), "middle", 9)
    yield Words(centre, mould + 16, f"station {name}" if name.isdigit() else name, "middle", 11)


def _bars(tally: Tally, x: float, width: float, foot: float, ply: float) -> Iterator[Box]:
    """A bar for each ply, from the mould up."""
    owed = tally.asked - tally.laid - tally.in_doubt
    marks = ("laid", tally.laid), ("doubt", tally.in_doubt), ("owed", owed), ("over", tally.over)
    for mark, count in marks:
        for _ in range(count):
            yield Box(x, foot - ply + 1, width, ply - min(2.0, ply / 3), mark)
            foot -= ply


def _label(tally: Tally, x: float, middle: float) -> Iterator[Words]:
    yield Words(x, middle, _count(tally), "start", 11, bold=True)
    yield Words(x, middle + 12, _cloth(tally), "start", 9)


def _count(tally: Tally) -> str:
    more = [f"{tally.in_doubt} in doubt"] if tally.in_doubt else []
    more += [f"{tally.over} over"] if tally.over else []
    return ", ".join((f"{tally.laid} of {tally.asked}", *more))


def _pile(tally: Tally) -> int:
    return tally.asked + tally.over


def _stations(ledger: Ledger, face: Place, tallies: Sequence[Tally]) -> list[str]:
    """The stations of a face that have plies of their own, in the order of the part's own list."""
    part, named = ledger.schedule.part(face.part), {tally.place.station for tally in tallies}
    known = [station.name for station in part.stations] if part else []
    return [name for name in known if name in named]


def _in_words(tallies: Sequence[Tally]) -> str:
    return "; ".join(f"{_where(tally)}: {_count(tally)} laid" for tally in tallies)
