"""How the shop's sums are asked in passing; a part of the phrasebook's table, in the same syntax.

An amount stands at a phrase's end where it can: endings are shared in the recogniser's automaton, so that it
stays small and quick. `shop_answers` answers each of them.
"""

from __future__ import annotations

from collections.abc import Mapping

SHOP_PHRASES: Mapping[str, tuple[str, ...]] = {
    "how_thick": (
        "how thick (is | are) <counted_layers> [of] <material>",
        "what do <counted_layers> [of] <material> come to",
        "how high do <counted_layers> [of] <material> build",
    ),
    "how_many_plies": (
        "how many plies for <measure>",
        "how many plies of <material> for <measure>",
        "how many plies [of <material>] make <measure>",
    ),
    "how_much_resin": (
        "how much resin for <counted_layers> [of] <material> [(on | over) <area>]",
        "how much resin do i need for <counted_layers> [of] <material> [(on | over) <area>]",
        "how much resin do <counted_layers> [of] <material> take [(on | over) <area>]",
    ),
    "most_vacuum": (
        "what is the most vacuum [i can pull] [at <elevation>]",
        "how much vacuum can i pull [at <elevation>]",
        "what can the gauge show [at <elevation>]",
    ),
    "vacuum_here": (
        "can i pull <gauge> at <elevation>",
        "is <gauge> possible at <elevation>",
        "can the gauge show <gauge> at <elevation>",
    ),
    "presses": (
        "what does <gauge> press with [on <area>]",
        "how hard does <gauge> press [on <area>]",
        "how much does <gauge> press [on <area>]",
    ),
    "pot_life": (
        "how long is the pot life [at <temperature>]",
        "what is the pot life [at <temperature>]",
        "how long does a cup last [at <temperature>]",
    ),
    "hardener": (
        "how much hardener for <mass> [of] [<resin>] [at <ratio>]",
        "how much hardener goes with <mass> [of] [<resin>] [at <ratio>]",
        "what hardener goes with <mass> [of] [<resin>] [at <ratio>]",
    ),
}
