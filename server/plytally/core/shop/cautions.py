"""What to watch for, said wherever it applies. None of it replaces local rules or the maker's data sheet."""

from __future__ import annotations

from plytally.core.shop.sources import ARMY, TRADE

DECIDE = "plytally advises; the kit manual, local rules and your inspector decide."
MEASURE = f"A figure to plan with: measure a coupon of your own before you rely on it. {DECIDE}"

EPOXY = (
    "Uncured resin and hardener sensitise skin: laminated or thick nitrile gloves, rubber protects poorly. "
    f"Work in fresh air ({TRADE}) and by the maker's data sheet."
)
RUNAWAY = (
    "Don't mix several batches at once. A cup that runs away gets hot and gives off toxic gas: don't handle "
    f"it ({ARMY}, p.28 and p.166). Spread what is left in a shallow pan, outdoors."
)
MIXING = f"{EPOXY} {RUNAWAY}"
DUST = (
    "Glass dust: NIOSH recommends at most 3 fibres/cm³ and 5 mg/m³ in all over a shift; 29 CFR 1910.1000 "
    "allows 15 mg/m³ of nuisance dust, 5 of it respirable. Wear a respirator and don't blow dust off with "
    f"air ({TRADE}). Sand filler, not the plies that the plans ask for. {DECIDE}"
)
CURE = (
    "An estimate of time, no proof of cure: the maker's data sheet decides, and a test piece from the same "
    f"cup tells ({TRADE}). Only fully cured resin no longer sensitises skin."
)
POT = (
    "Note the start of the pot life when mixing is complete "
    f"({ARMY}, p.169). Resin in a deep cup is warmer than the air and goes sooner ({TRADE})."
)
GAUGE = f"A gauge shows what it is fixed to: read one at the far end of the bag too ({TRADE}). {DECIDE}"
BAG = f"A core that is too weak for the pressure crushes: check its strength first ({TRADE}). {DECIDE}"
HINGE = f"A hinge line out of true binds and loads its brackets: the plans' limits rule. {DECIDE}"
BALANCE = (
    "An unbalanced control surface can flutter and break up in flight: the plans' limits rule, weigh the "
    "finished and painted surface, and have an inspector approve it before flight."
)
