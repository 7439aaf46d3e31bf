"""`plytally shop …`: the shop arithmetic on the command line.

Thin: each command reads amounts with their units, asks core/shop, and prints every answer with its working,
or one JSON object with --json. Nothing is put into the log. Add `shop` to the main group to offer them.
"""

from __future__ import annotations

import click

from plytally.shop_commands.bagging import air, drop_test, hold, pump_down, vacuum
from plytally.shop_commands.fitting import balance, hinges, spacer, straight
from plytally.shop_commands.laying import own_ply, plies_for, thickness
from plytally.shop_commands.mixing import clock, mix, ratio, scale, time_at, weighed


@click.group("shop")
def shop() -> None:
    """Shop arithmetic, each answer with its formula, source and caution.

    Write amounts with their unit: "0.085 in", "6 oz/yd2", "22 inHg", "35 %". plytally advises; the plans,
    the kit manual and the inspector decide.
    """


for _command in (
    *(thickness, own_ply, plies_for),
    *(mix, weighed, scale, ratio, time_at, clock),
    *(air, vacuum, drop_test, pump_down, hold),
    *(spacer, straight, hinges, balance),
):
    shop.add_command(_command)

__all__ = ["shop"]
