"""Cards about fit: spacers, straightness, hinges in line."""

from __future__ import annotations

from typing import Any

from plytally.core.cards.card import Ask, Asks, Card, Holds, Told
from plytally.core.quantities import Dimension, Quantity
from plytally.core.shop.hinges import Hinge, Through, hinge_line
from plytally.core.shop.stack import NOTHING, STIFF, Pieces, SpacerKind, nearest_spacer, pick_spacer, stack_up
from plytally.core.shop.straightness import Against, Station, heights_from_steps, spots, straightness

AGAINST = {choice.name.lower().replace("_", "-"): choice for choice in Against}
THROUGH = {choice.name.lower().replace("_", "-"): choice for choice in Through}

_Piece = tuple[str, Quantity, int, Quantity | None, Quantity | None]


def spacer(
    target: Quantity,
    tolerance: Quantity,
    piece: tuple[_Piece, ...],
    clamp_takes: Quantity,
    nearest: bool,
    as_listed: bool,
) -> Told:
    """What is on hand stacked to a thickness: fewest pieces that fit, then nearest; or all of it."""
    kinds = [
        SpacerKind(name, thick, number, squeeze or STIFF, varies or NOTHING)
        for name, thick, number, squeeze, varies in piece
    ]
    if as_listed:
        all_of_it = stack_up(target, tolerance, [Pieces(kind.on_hand, kind) for kind in kinds], clamp_takes)
        return [f"all of it {'fits' if all_of_it.fits else 'DOES NOT FIT'} within {tolerance}", all_of_it]
    found = (nearest_spacer if nearest else pick_spacer)(target, tolerance, kinds, clamp_takes)
    listed = " and ".join(f"{one.number} of {one.kind.name}" for one in found.pieces)
    return [f"take {listed}" if found.fits else f"NOTHING FITS; the nearest is {listed}", found]


def straight(
    at: tuple[tuple[Quantity, Quantity], ...],
    steps: bool,
    allowed: Quantity | None,
    against: str,
    per_ply: Quantity | None,
) -> Told:
    """How straight a surface is, and what to take off or build up where."""
    row = tuple(Station(*station) for station in at)
    heights = heights_from_steps(row) if steps else row
    told: list[Any] = [straightness(heights)]
    if allowed is None:
        return told
    found = spots(heights, allowed, AGAINST[against], per_ply)
    told += [f"{len(found)} spot(s) beyond {allowed}, against {AGAINST[against].value}"]
    for spot in found:
        told += [f"at {spot.at}:", spot]
    return told


def hinges(hinge: tuple[tuple[str, Quantity, Quantity, Quantity | None], ...], through: str) -> Told:
    """Whether three hinges or more lie in one line."""
    found = hinge_line([Hinge(*each) for each in hinge], THROUGH[through])
    return [f"worst: {found.worst}", found]


_MIL = ("mil", "in", "mm")
_INCH = ("in", "mm", "cm")

FITTING = (
    Card(
        "spacer",
        "Spacer out of what is on hand",
        "Fit",
        "Stack what is on hand to a thickness: fewest pieces within the tolerance, then nearest.",
        'spacer "0.080 in" "0.001 in" --piece washer "0.070 in" 8 --piece tape "0.0045 in" 8 '
        '--clamp-takes "0.008 in"',
        (
            Ask("target", "Thickness wanted", Dimension.LENGTH, units=_INCH, needed=True, first=True),
            Ask("tolerance", "Give or take", Dimension.LENGTH, units=_INCH, needed=True, first=True),
            Asks(
                "piece",
                "On hand",
                (
                    Ask("name", "Name", Holds.NAME, needed=True),
                    Ask("thickness", "Thickness", Dimension.LENGTH, units=_INCH, needed=True),
                    Ask("on_hand", "How many", Holds.COUNT, needed=True),
                    Ask("squeeze", "Squeezed by the clamp", Dimension.FRACTION, "Of its thickness."),
                    Ask("varies", "Varies by", Dimension.LENGTH, "Plus or minus.", units=_INCH),
                ),
                most=12,
                shown=2,
                needed=True,
            ),
            Ask(
                "clamp_takes",
                "The clamp takes",
                Dimension.LENGTH,
                "Of the whole stack.",
                units=_INCH,
                usual=str(NOTHING),
            ),
            Ask(
                "as_listed",
                "Stack all of them",
                Holds.YES,
                "All pieces as listed: work that stack out, choose none.",
                rare=True,
            ),
            Ask(
                "nearest",
                "Nearest first",
                Holds.YES,
                "Nearest first, however many pieces it takes.",
                rare=True,
            ),
        ),
        spacer,
    ),
    Card(
        "straight",
        "Straightness along an edge",
        "Fit",
        "How straight a surface is, and what to take off or build up where.",
        'straight --at "0 in" "0 mil" --at "20 in" "12 mil" --at "40 in" "0 mil" --allowed "5 mil" '
        '--per-ply "10 mil"',
        (
            Asks(
                "at",
                "Heights along it",
                (
                    Ask("station", "At", Dimension.LENGTH, units=_INCH, needed=True, signed=True),
                    Ask("height", "Height", Dimension.LENGTH, units=_MIL, needed=True, signed=True),
                ),
                most=24,
                shown=3,
                needed=True,
            ),
            Ask(
                "steps",
                "They are steps",
                Holds.YES,
                "The heights are steps from one station to the next.",
            ),
            Ask(
                "allowed",
                "Straightness allowed",
                Dimension.LENGTH,
                "The straightness allowed: then also the spots beyond it.",
                units=_MIL,
            ),
            Ask(
                "against",
                "Held against",
                Holds.CHOICE,
                usual="zone",
                choices=tuple(AGAINST),
                meanings=tuple(each.value for each in Against),
                rare=True,
            ),
            Ask(
                "per_ply",
                "Thickness of a ply",
                Dimension.LENGTH,
                "Then also how many plies, and how much filler.",
                units=_MIL,
            ),
        ),
        straight,
    ),
    Card(
        "hinges",
        "Hinges in line",
        "Fit",
        "Whether three hinges or more lie in one line.",
        'hinges --hinge 1 "0 in" "0 in" --hinge 2 "30 in" "0.043 in" --hinge 3 "60 in" "0.02 in"',
        (
            Asks(
                "hinge",
                "Hinges",
                (
                    Ask("name", "Name", Holds.NAME, needed=True),
                    Ask("span", "Along the span", Dimension.LENGTH, units=_INCH, needed=True, signed=True),
                    Ask("up", "Up", Dimension.LENGTH, units=("in", "mil", "mm"), needed=True, signed=True),
                    Ask(
                        "aft",
                        "Aft",
                        Dimension.LENGTH,
                        "For each hinge, or none.",
                        units=("in", "mil", "mm"),
                        signed=True,
                    ),
                ),
                most=12,
                shown=3,
                needed=True,
            ),
            Ask(
                "through",
                "The line goes through",
                Holds.CHOICE,
                usual="ends",
                choices=tuple(THROUGH),
                meanings=tuple(each.value for each in Through),
                rare=True,
            ),
        ),
        hinges,
    ),
)
