"""Loose ways of asking: what tells a question, wherever in the sentence it stands; see loose_ways.py."""

from __future__ import annotations

from plytally.core.loose_ways import DONE_WAYS, Way

ASKED_WAYS: tuple[Way, ...] = (
    Way(
        "owed",
        (
            "what (is | do | does | has | have | else)"
            " ... (owe | owed | left | missing | need | needs | to do | to go | to lay)",
            "(how many | how much | how many more | how much more)"
            " ... (left | need | needs | owe | owed | goes | go | to go | to lay | remaining | missing)",
            "(anything | what) [is] [still] (left | owed | missing | to do | to lay)",
            "(plies | layers) [still] (left | owed | missing)",
        ),
        (),
        "question",
        alone=True,
    ),
    Way(
        "left_off",
        (
            "where ... (get to | got to | up to | leave off | left off | stop | stopped)",
            "what ... (i do | did i do | i did) ... last [time]",
            "what ... last thing i did",
            "where (was | am) i",
        ),
        (),
        "question",
        alone=True,
    ),
    Way(
        "have_laid",
        (
            "(have i | did i | have we | did we) [already] (put | laid | lay | done | do | got)",
            "(is | has | have | was | are)",
        ),
        ("material", "part"),
        "question",
    ),
    Way(
        "last_vacuum",
        (
            "what ... (vacuum | gauge | vac) [read | show | say] ... [last]",
            "last [vacuum | gauge | vac] reading",
            "what ... last ... (vacuum | gauge | vac) [reading]",
        ),
        (),
        "question",
        alone=True,
    ),
    Way(
        "cup_age",
        (
            "how (long | old) ... (cup | mix | pot | batch) [been going | been mixed | mixed]",
            "when (did i | did we | was) ... (mix | mixed | stir) ... [cup | pot | batch | resin]",
        ),
        (),
        "question",
        alone=True,
    ),
    Way(
        "clocks",
        (
            "(what | which | any | how many) [other] (timers | clocks | timer | clock)"
            " [do | have | are] [i | we] [got | running]",
            "how (long | much) ... [timer | clock | <timer>] ... (timer | clock)",
        ),
        (),
        "question",
        alone=True,
    ),
    Way(
        "next",
        ("what [should | can | could | do] [i | we] [do | lay] ... next", "next (step | steps | job)"),
        (),
        "question",
        alone=True,
    ),
    Way(
        "hours_worked",
        ("how many hours [so far]", "how long ... (worked | spent)", "hours (on | so far)"),
        (),
        "question",
        alone=True,
    ),
    Way(
        "snags",
        (
            "(any | what | which | list) [the] (snags | problems)",
            "what is wrong (with | on)",
            "in doubt",
            "what needs settling",
        ),
        (),
        "question",
        alone=True,
    ),
)

WAYS = (*DONE_WAYS, *ASKED_WAYS)
