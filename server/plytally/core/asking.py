"""The question "have I laid it?", answered from the entries themselves, whatever the print asks."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from plytally.core.account import Answer
from plytally.core.crediting import Dated, Row, Spot
from plytally.core.entry import Place
from plytally.core.ledger import Ledger, place_of
from plytally.core.placing import misplaced


def have_laid(ledger: Ledger, where: Place, plies: int | None = None, material: str = "") -> Answer:
    """Say whether so many plies of a material were laid; without a number, as many as the print asks.

    Without a station it is about the layer over the whole face; with one, about the plies of its own
    there, and about all that lies there if more are asked about than that. What else `where` leaves out
    must hold everywhere: without a side, on both. Plies in doubt never make a "yes".
    """
    place = ledger.spelt(where)
    wrong = misplaced(ledger.schedule, place, needs_face=False)
    if wrong and (wrong.heard or wrong.field == "part"):
        return Answer("no", place, material, plies or 0, 0, 0, why=wrong.why)
    faces = _faces(ledger, place, material)
    answers = [_answer(face, spots, plies, material) for face, spots in faces]
    unplaced = tuple(dated for dated, _, _ in ledger.strays(place) if _is_of(dated, material))
    return replace(_together(answers, place, plies, material), unplaced=unplaced)


Spots = Mapping[str, Spot]
"""The spots of one face by station: "" and the one asked about, as far as the print has them."""


def _faces(ledger: Ledger, where: Place, material: str) -> Iterator[tuple[Place, Spots]]:
    faces: dict[Place, dict[str, Spot]] = {}
    for demand in ledger.board.demands(where):
        place = place_of(demand)
        if demand.step.is_layup and place.station in ("", where.station):
            faces.setdefault(replace(place, station=""), {})[place.station] = demand.spot
    if not where.feature and any(not face.feature for face in faces):
        faces = {face: spots for face, spots in faces.items() if not face.feature}
    for face, spots in faces.items():
        if any(_asked(spot, material) or _laid(spot, material) for spot in spots.values()):
            yield replace(face, station=where.station), spots


def _answer(where: Place, spots: Spots, plies: int | None, material: str) -> Answer:
    own = spots.get(where.station)
    all_of_it = own is None or (plies is not None and plies > _asked(own, material))
    counted = list(spots.values()) if own is None or all_of_it else [own]
    wanted = plies or sum(_asked(spot, material) for spot in counted) or 1
    rows = sorted((row for spot in counted for row in _laid(spot, material)), key=lambda row: row[:2])
    evidence = tuple(row[2] for row in rows)
    laid, in_doubt = _plies(evidence, in_doubt=False), _plies(evidence, in_doubt=True)
    verdict = "yes" if laid >= wanted else "partly" if evidence else "no"
    return Answer(verdict, where, material, wanted, laid, in_doubt, evidence)


def _together(answers: Sequence[Answer], where: Place, plies: int | None, material: str) -> Answer:
    if len(answers) < 2:
        return answers[0] if answers else Answer("no", where, material, plies or 0, 0, 0)
    verdicts = {answer.verdict for answer in answers}
    return Answer(
        verdicts.pop() if len(verdicts) == 1 else "partly",
        where,
        material,
        wanted=sum(answer.wanted for answer in answers),
        laid=sum(answer.laid for answer in answers),
        in_doubt=sum(answer.in_doubt for answer in answers),
        evidence=tuple(dated for answer in answers for dated in answer.evidence),
        each=tuple(answers),
    )


def _asked(spot: Spot, material: str) -> int:
    return sum(demand.asked for demand in spot.demands if not material or demand.step.allows(material))


def _laid(spot: Spot, material: str) -> list[Row]:
    return [row for row in spot.rows if _is_of(row[2], material)]


def _is_of(dated: Dated, material: str) -> bool:
    return not material or str(dated.entry.fields.get("material", "")).casefold() == material.casefold()


def _plies(entries: Sequence[Dated], *, in_doubt: bool) -> int:
    counts = (dated.entry.fields["plies"] for dated in entries if dated.in_doubt is in_doubt)
    return sum(count for count in counts if isinstance(count, int))
