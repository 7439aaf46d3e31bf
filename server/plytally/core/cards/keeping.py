"""A card worked out for a page, and its result as an entry of the log.

The entry's text holds what was given and what came out; a few cards give it fields besides, from which later
questions are answered. Nothing in it was heard, so nothing is in doubt.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from plytally.core.cards.card import Card, CardError, Told
from plytally.core.cards.own import cloths, places
from plytally.core.cards.reading import read
from plytally.core.cards.table import CARDS
from plytally.core.cards.telling import card_json, kept_text, told_json
from plytally.core.crediting import Dated
from plytally.core.entry import PLACE, Entry
from plytally.core.schedule import Schedule
from plytally.core.shop.errors import ShopError

WORKED = "worked"
Json = dict[str, Any]


def bench_cards(schedule: Schedule, log: Sequence[Dated], last: Mapping[str, str]) -> Json:
    """All that a page needs to offer the cards; `last` is the place of the entry before."""
    return {
        "cards": [card_json(card) for card in CARDS.values()],
        "cloths": cloths(schedule, log),
        "places": places(schedule),
        "last": dict(last),
    }


def work_out(name: str, given: Mapping[str, Any]) -> Json:
    """What a page shows of a card: its answers, or under `wrong` where it was refused and what to do."""
    try:
        return told_json(_told(_card(name), given)) | {"wrong": None}
    except CardError as problem:
        return {"wrong": {"where": problem.where, "why": problem.problem}}
    except ShopError as problem:
        return {"wrong": {"where": problem.where, "why": f"found {problem.found}; {problem.what_to_do}"}}


def entry_of(name: str, given: Mapping[str, Any], where: Mapping[str, str]) -> Entry:
    """The entry that keeps a card's result; `where` is a place's fields, or empty. CardError, ShopError."""
    card = _card(name)
    told = _told(card, given)
    more = card.keeps(**read(card, given)) if card.keeps else {}
    place = {field: where[field] for field in PLACE if where.get(field)}
    return Entry(WORKED, {"text": kept_text(card, given, told), **more, **place})


def _told(card: Card, given: Mapping[str, Any]) -> Told:
    return card.work(**read(card, given))


def _card(name: str) -> Card:
    if name not in CARDS:
        raise CardError("", f"{name!r} is no card; cards: {', '.join(CARDS)}")
    return CARDS[name]
