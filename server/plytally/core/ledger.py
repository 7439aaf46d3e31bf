"""Laid against asked: what is owed, over, out of order, not on the print, and where you left off.

A read model: built from a schedule and the log's entries, kept current by `add`, which takes an entry
that is new, amended or withdrawn. Adding one touches one place; nothing else is counted again.
"""

from __future__ import annotations

from bisect import bisect_left, insort
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from plytally.core.account import LeftOff, NextStep, StationTotal, Tally
from plytally.core.board import Board
from plytally.core.crediting import Dated, Demand, Match, Row, Spot
from plytally.core.entry import PLACE, Entry, Place
from plytally.core.placing import UNPLACED, canonical, misplaced, nothing_asked
from plytally.core.schedule import DO, Schedule, Step
from plytally.core.wall import wall_millis

WORK = frozenset(DO.values()) | {"laid", "bagged", "vacuum", "bag_off", "mixed"}
"""Kinds of entry that say work was done; photos, notes and questions are about it."""
ANYWHERE = Place()


@dataclass(frozen=True, slots=True)
class _Site:
    """A place that entries name: in the print's spelling, its spot for layups, the work on its part."""

    place: Place
    layup: Spot | None
    worked: list[Row]


class Ledger:
    """What was laid, held against one schedule.

    In every question a Place leaves out what does not matter; None or an empty Place is the whole print.
    """

    def __init__(self, schedule: Schedule, entries: Iterable[Dated] = ()) -> None:
        self.schedule = schedule
        self.board = Board(schedule)
        self._home: dict[str, tuple[Row, Place, Spot | None]] = {}
        self._stray: dict[str, tuple[Dated, Place, Match]] = {}
        self._reasons: dict[Place, Match] = {}
        self._sites: dict[tuple[object, ...], _Site] = {}
        self._behind: set[Spot] = set()
        self._worked: dict[tuple[str, str], list[Row]] = {}
        for dated in entries:
            self.add(dated)

    def add(self, dated: Dated) -> None:
        """Take in an entry, in place of the one with the same id. WallError if `when` is no time."""
        row = (wall_millis(dated.when), dated.id, dated)
        if dated.id in self._home:
            self._remove(dated.id)
        entry = dated.entry
        if dated.withdrawn or entry.kind not in WORK:
            return
        site = self._site(entry)
        _insert(site.worked, row)
        if site.layup and entry.kind == "laid" and "plies" in entry.fields and "material" in entry.fields:
            spot: Spot | None = site.layup
            stray: Match | None = None
        else:
            spot, stray = self.home(entry, site.place)
        if spot:
            spot.put(row)
            self._behind.add(spot)
        elif stray:
            self._stray[dated.id] = (dated, site.place, stray)
        self._home[dated.id] = (row, site.place, spot)

    def _remove(self, entry_id: str) -> None:
        self._stray.pop(entry_id, None)
        row, place, spot = self._home.pop(entry_id)
        rows = self._worked[place.part, place.side]
        del rows[bisect_left(rows, row)]
        if spot:
            spot.remove(row)
            self._behind.add(spot)

    def _site(self, entry: Entry) -> _Site:
        """Where an entry is, as the print spells it; thousands of entries share a few hundred places."""
        said = tuple(map(entry.fields.get, PLACE))
        site = self._sites.get(said)
        if site is None:
            place = self.spelt(entry.place)
            worked = self._worked.setdefault((place.part, place.side), [])
            site = self._sites[said] = _Site(place, self.board.layup.get(place), worked)
        return site

    def spelt(self, place: Place | None) -> Place:
        """Give a place in the print's own spelling."""
        if place is None or place in self.board.layup:
            return place or ANYWHERE
        return canonical(self.schedule, place)

    def home(self, entry: Entry, place: Place) -> tuple[Spot | None, Match | None]:
        """Give the spot where an entry counts; where it has none and should, the reason.

        Work other than layup may be none of the print's steps, and then there is nothing to say.
        """
        if entry.kind != "laid":
            spot = self.board.work.get((entry.kind, place.part, place.side))
            return spot, None if spot else self._why_sideless(entry.kind, place)
        lacking = next((name for name in ("plies", "material") if name not in entry.fields), None)
        if lacking:
            return None, Match((), UNPLACED, lacking, "", f"the {lacking} was not said")
        spot = self.board.layup.get(place)
        if spot is None and place not in self._reasons:
            self._reasons[place] = self._why_stray(place)
        return (spot, None) if spot else (None, self._reasons[place])

    def _why_sideless(self, kind: str, place: Place) -> Match | None:
        wrong = misplaced(self.schedule, place, needs_face=False)
        if wrong and wrong.field == "side" and any(key[:2] == (kind, place.part) for key in self.board.work):
            return Match((), UNPLACED, "side", wrong.near, wrong.why)
        return None

    def _why_stray(self, place: Place) -> Match:
        wrong = misplaced(self.schedule, place, needs_face=True)
        part = self.schedule.part(place.part)
        if wrong or part is None:
            return Match((), UNPLACED, wrong.field, wrong.near, wrong.why) if wrong else Match()
        return nothing_asked(part, place, self._asking(place.part, place.side))

    def _asking(self, part: str, side: str) -> list[Place]:
        demands = self.board.by_part.get((part, side), ())
        return list(dict.fromkeys(place_of(demand) for demand in demands if demand.step.is_layup))

    def moment(self, dated: Dated) -> tuple[int, str]:
        """Give what orders an entry of this ledger in time: Unix milliseconds, then its id."""
        return self._home[dated.id][0][:2]

    def strays(self, where: Place | None = None) -> Iterator[tuple[Dated, Place, Match]]:
        """Give the entries that count nowhere, and why; one that leaves its place out may be anywhere."""
        asked = self.spelt(where)
        return (stray for stray in self._stray.values() if may_be_at(asked, stray[1], self.schedule))

    def tallies(self, where: Place | None = None) -> tuple[Tally, ...]:
        """Give laid against asked, one tally for each material and orientation at a place."""
        groups: dict[tuple[Place, str, str], list[Demand]] = {}
        for demand in self.board.demands(self.spelt(where)):
            if demand.step.is_layup:
                key = (place_of(demand), demand.step.material, demand.step.orientation)
                groups.setdefault(key, []).append(demand)
        return tuple(_tally(*key, demands) for key, demands in groups.items())

    def owed(self, where: Place | None = None) -> tuple[Tally, ...]:
        """Give the tallies of which plies are still owed."""
        return tuple(tally for tally in self.tallies(where) if tally.owed > 0)

    def totals(self, where: Place | None = None) -> tuple[StationTotal, ...]:
        """Give what lies on each face at each station, the layers over the whole face included."""
        asked = self.spelt(where)
        by_face: dict[Place, list[Tally]] = {}
        for tally in self.tallies(asked):
            by_face.setdefault(replace(tally.place, station=""), []).append(tally)
        return tuple(
            _total(replace(face, station=station), tallies)
            for face, tallies in by_face.items()
            for station in self._stations(face, tallies, asked.station)
        )

    def _stations(self, face: Place, tallies: list[Tally], asked: str) -> Iterable[str]:
        """The stations where a face has plies of its own, and the one asked about if the part has it."""
        part = self.schedule.part(face.part)
        also = [asked] if part and any(asked == station.name for station in part.stations) else []
        return dict.fromkeys([*also, *(tally.place.station for tally in tallies if tally.place.station)])

    def next_steps(self, where: Place | None = None) -> tuple[NextStep, ...]:
        """Give the steps that have something open and wait for nothing."""
        self.settle()
        ready: dict[tuple[str, str], list[Demand]] = {}
        for demand in self.board.demands(self.spelt(where)):
            if demand.asked > demand.laid + demand.in_doubt and not self.board.is_held_up(demand):
                ready.setdefault((demand.step.id, demand.step.side), []).append(demand)
        return tuple(_next(demands[0].step, demands) for demands in ready.values())

    def left_off(self, where: Place | None = None) -> LeftOff:
        """Give the last work noted there, and the steps that can be worked next."""
        asked = self.spelt(where)
        whole_part = not (asked.face or asked.feature or asked.station)
        last: Row | None = None
        for (part, side), rows in self._worked.items():
            if (
                self.schedule.takes_in(asked.part, part)
                and asked.side in ("", side)
                and rows
                and (not last or last < rows[-1])
            ):
                found = rows[-1] if whole_part else self._last_at(asked, rows)
                last = found if found and (not last or last < found) else last
        return LeftOff(last[2] if last else None, self.next_steps(asked))

    def settle(self) -> None:
        """Count everything now that would be counted when it is asked for."""
        for spot in self._behind:
            spot.settle()
        self._behind.clear()

    def worked(self, part: str, side: str) -> Iterator[tuple[Row, Place]]:
        """Give the work noted on a part and side, the latest first, and where on it."""
        return ((row, self._home[row[1]][1]) for row in reversed(self._worked.get((part, side), ())))

    def _last_at(self, where: Place, rows: list[Row]) -> Row | None:
        return next((row for row in reversed(rows) if self._is_at(where, row)), None)

    def _is_at(self, where: Place, row: Row) -> bool:
        place = self._home[row[1]][1]
        return all(
            asked in ("", has)
            for asked, has in (
                (where.face, place.face),
                (where.feature, place.feature),
                (where.station, place.station),
            )
        )


def place_of(demand: Demand) -> Place:
    """Where a demand is."""
    step = demand.step
    return Place(step.part, step.side, step.face, step.feature, demand.station)


def may_be_at(where: Place, place: Place, schedule: Schedule) -> bool:
    """Whether a place, which may leave things out, can be one that another, which may too, takes in.

    What was noted of an assembly may be about each of its parts.
    """
    parts = schedule.takes_in(where.part, place.part) or schedule.takes_in(place.part, where.part)
    return parts and all(
        not asked or not has or asked == has
        for asked, has in (
            (where.side, place.side),
            (where.face, place.face),
            (where.feature, place.feature),
            (where.station, place.station),
        )
    )


def _insert(rows: list[Row], row: Row) -> None:
    if not rows or rows[-1] < row:
        rows.append(row)
    else:
        insort(rows, row)


def _tally(place: Place, material: str, orientation: str, demands: list[Demand]) -> Tally:
    spot = demands[0].spot
    spot.settle()
    over = [remark for remark in spot.remarks() if remark.near in demands and not remark.entry.in_doubt]
    credited = [credit.entry for demand in demands for credit in demand.credits]
    evidence = {dated.id: dated for dated in (*credited, *(remark.entry for remark in over))}
    laid_as = (str(dated.entry.fields["material"]) for dated in evidence.values())
    return Tally(
        place=place,
        material=material,
        orientation=orientation,
        asked=sum(demand.asked for demand in demands),
        laid=sum(demand.laid for demand in demands),
        in_doubt=sum(demand.in_doubt for demand in demands),
        over=sum(remark.plies for remark in over),
        steps=tuple(demand.step.id for demand in demands),
        evidence=tuple(evidence.values()),
        instead=tuple(dict.fromkeys(name for name in laid_as if name.casefold() != material.casefold())),
    )


def _total(place: Place, tallies: list[Tally]) -> StationTotal:
    here = [tally for tally in tallies if tally.place.station in ("", place.station)]
    return StationTotal(
        place,
        asked=sum(tally.asked for tally in here),
        laid=sum(tally.laid + tally.over for tally in here),
        in_doubt=sum(tally.in_doubt for tally in here),
    )


def _next(step: Step, demands: list[Demand]) -> NextStep:
    stations = tuple([demand.station for demand in demands]) if step.stations else ()
    return NextStep(step, stations, sum([demand.open for demand in demands]) if step.is_layup else 0)
