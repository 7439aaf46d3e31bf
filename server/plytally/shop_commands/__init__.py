"""`plytally shop …`: the shop arithmetic on the command line, one command for each card of core/cards.

The commands are made from the same table as the phone's cards, so that both ask and tell the same. Each
prints every answer with its working, or one JSON object with --json. Nothing is put into the log.
"""

from __future__ import annotations

import click

from plytally.core.cards.table import CARDS
from plytally.shop_commands.making import command_of


@click.group("shop")
def shop() -> None:
    """Shop arithmetic, each answer with its formula, source and caution.

    Write amounts with their unit: "0.085 in", "6 oz/yd2", "22 inHg", "35 %". plytally advises; the plans,
    the kit manual and the inspector decide.
    """


for _card in CARDS.values():
    shop.add_command(command_of(_card))

__all__ = ["shop"]
