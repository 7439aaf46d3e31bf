"""All cards, in the order in which they are offered."""

from __future__ import annotations

from collections.abc import Mapping

from plytally.core.cards.air import AIR, VACUUM
from plytally.core.cards.bagging import BAGGING
from plytally.core.cards.balancing import BALANCING
from plytally.core.cards.card import Card
from plytally.core.cards.curing import CURING
from plytally.core.cards.fitting import FITTING
from plytally.core.cards.laying import LAYING
from plytally.core.cards.mixing import MIXING
from plytally.core.cards.units import UNIT_CARDS

CARDS: Mapping[str, Card] = {
    card.name: card
    for cards in (LAYING, MIXING, CURING, VACUUM, BAGGING, AIR, FITTING, BALANCING, UNIT_CARDS)
    for card in cards
}
