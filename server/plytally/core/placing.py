"""Where an entry belongs on the print, and if nowhere, which of its words to ask about."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from difflib import get_close_matches

from plytally.core.crediting import Demand, Match, Matcher
from plytally.core.entry import KINDS, Entry, Place
from plytally.core.names import Name
from plytally.core.schedule import Part, Schedule

UNPLACED = "unplaced"
NOT_ON_PRINT = "not on print"


@dataclass(frozen=True)
class Misplaced:
    """One field of a place that the print does not know, or needs: `heard` is "" if it was not said."""

    field: str
    heard: str
    near: str
    why: str


def canonical(schedule: Schedule, place: Place) -> Place:
    """Give the place in the print's own spelling; a name the print has not stays as it is."""
    part = schedule.part(place.part) or _alike(schedule.parts, place.part)
    if part is None:
        return place
    return Place(
        part=part.name,
        side=place.side.casefold() if place.side.casefold() in part.sides else place.side,
        face=_spelt(part.faces, place.face),
        feature=_spelt(part.features, place.feature),
        station=_spelt(part.stations, place.station),
    )


def misplaced(schedule: Schedule, place: Place, *, needs_face: bool) -> Misplaced | None:
    """Give the first field of a place that is not on the print or is needed there and was not said."""
    part = schedule.part(place.part)
    if part is None:
        return _unknown_part(schedule, place.part)
    if bool(place.side) != bool(part.sides) or (part.sides and place.side not in part.sides):
        return _wrong_side(part, place.side)
    for name, said, known in (
        ("face", place.face, part.faces),
        ("feature", place.feature, part.features),
        ("station", place.station, part.stations),
    ):
        names = [each.name for each in known]
        if said and said not in names:
            told = f"its {name}s: {', '.join(names)}" if names else f"it has no {name}s"
            why = f"the {part.name} has no {name} '{said}'; {told}"
            return Misplaced(name, said, _near(said, names), why)
    if needs_face and part.faces and not place.face:
        which = " or ".join(face.name for face in part.faces)
        return Misplaced("face", "", "", f"which face of the {part.name}: {which}?")
    return None


def _match_layup(demands: Sequence[Demand], entry: Entry) -> Match:
    """Plies go to the steps that ask for their material, then to those that allow it in place of another."""
    material, orientation = str(entry.fields.get("material", "")), str(entry.fields.get("orientation", ""))
    takers = _takers(demands, material)
    if not takers:
        asked = " or ".join(dict.fromkeys(demand.step.material for demand in demands))
        return Match((), NOT_ON_PRINT, "material", asked, f"the print asks for {asked} here, not {material}")
    directed = [demand for demand in takers if demand.step.orientation]
    free = [demand for demand in takers if not demand.step.orientation]
    angles = dict.fromkeys(demand.step.orientation for demand in directed)
    asked = " or ".join(angles)
    if not orientation and len(angles) > 1:
        why = f"the print asks for {material} at {asked} here: which?"
        return Match((), UNPLACED, "orientation", "", why)
    if not orientation:
        return Match(free + directed)
    same = [demand for demand in directed if demand.step.orientation.casefold() == orientation.casefold()]
    if not same and not free:
        why = f"the print asks for {material} at {asked} here, not at {orientation}"
        return Match((), NOT_ON_PRINT, "orientation", asked, why)
    return Match(same + free)


def _match_work(demands: Sequence[Demand], entry: Entry) -> Match:
    """Work other than layup fits a step if nothing that both name differs.

    A station is never guessed: if steps ask for it at stations and none was said, it is unplaced.
    """
    fits = [demand for demand in demands if all(_agree(*pair) for pair in _named_by_both(demand, entry))]
    items = dict.fromkeys(demand.step.item for demand in fits)
    if len(items) > 1 and _takes_item(entry) and "item" not in entry.fields:
        return Match((), UNPLACED, "item", "", f"the print has several here: {' or '.join(items)}?")
    said = entry.fields.get("station", "")
    stations = dict.fromkeys(demand.station for demand in fits if demand.station and demand.station != said)
    here = [demand for demand in fits if demand.station in ("", said)]
    if here or not stations or said:
        return Match(here)
    which = " or ".join(stations)
    return Match((), UNPLACED, "station", "", f"the print asks for this at {which}: which?")


LAYUP = Matcher(("material", "orientation"), _match_layup)
OTHER_WORK = Matcher(("face", "feature", "station", "item"), _match_work)


def nothing_asked(part: Part, place: Place, spots: Iterable[Place]) -> Match:
    """Say what is wrong with a well-formed place where the print asks for no plies.

    `spots` are the places of this part and side where it does.
    """
    near = [spot for spot in spots if spot.face == place.face]
    features = dict.fromkeys(spot.feature for spot in near if spot.feature and spot.station == place.station)
    if features and not place.feature:
        return Match((), UNPLACED, "feature", "", f"where on this face: {' or '.join(features)}?")
    stations = dict.fromkeys(spot.station for spot in near if spot.station and spot.feature == place.feature)
    if stations and not place.station:
        why = f"the print asks for plies at {' or '.join(stations)}: which?"
        return Match((), UNPLACED, "station", "", why)
    if place.station and any(not spot.station and spot.feature == place.feature for spot in near):
        why = f"the print asks for nothing of its own at {place.station}, only for plies over the whole face"
        return Match((), NOT_ON_PRINT, "station", "", why)
    what = place.station or place.feature or (f"{place.face} face" if place.face else f"{part.name}")
    field = "station" if place.station else "feature" if place.feature else "face" if place.face else "part"
    return Match((), NOT_ON_PRINT, field, "", f"the print asks for no plies on the {what}")


def _takers(demands: Sequence[Demand], material: str) -> list[Demand]:
    folded = material.casefold()
    first = [demand for demand in demands if demand.step.material.casefold() == folded]
    return first + [
        demand
        for demand in demands
        if demand.step.material.casefold() != folded
        and any(other.material.casefold() == folded for other in demand.step.instead)
    ]


def _named_by_both(demand: Demand, entry: Entry) -> Iterator[tuple[str, str]]:
    step = demand.step
    for name in ("face", "feature"):
        yield getattr(step, name), str(entry.fields.get(name, ""))
    if _takes_item(entry):
        yield step.item, str(entry.fields.get("item", ""))


def _takes_item(entry: Entry) -> bool:
    return "item" in KINDS[entry.kind].fields


def _agree(asked: str, said: str) -> bool:
    return not asked or not said or asked.casefold() == said.casefold()


def _unknown_part(schedule: Schedule, said: str) -> Misplaced:
    if not said:
        return Misplaced("part", "", "", "the part was not said")
    if said in schedule.assemblies:
        which = ", ".join(part.removeprefix(f"{said} ") for part in schedule.assemblies[said])
        return Misplaced("part", said, "", f"which part of the {said}: {which}?")
    names = [part.name for part in schedule.parts]
    near = _near(said, names)
    return Misplaced("part", said, near, f"the print has no part '{said}'")


def _wrong_side(part: Part, said: str) -> Misplaced:
    if not part.sides:
        return Misplaced("side", said, "", f"there is one {part.name}, neither left nor right")
    if not said:
        return Misplaced("side", "", "", f"which {part.name}: {' or '.join(part.sides)}?")
    sides = " and ".join(part.sides)
    return Misplaced("side", said, part.sides[0], f"the print has the {part.name} {sides} only, not {said}")


def _near(said: str, known: Sequence[str]) -> str:
    return next(iter(get_close_matches(said, known, n=1)), "")


def _alike(parts: Iterable[Part], said: str) -> Part | None:
    return next((part for part in parts if part.name.casefold() == said.casefold()), None)


def _spelt(known: Iterable[Name], said: str) -> str:
    return next((each.name for each in known if each.name.casefold() == said.casefold()), said)
