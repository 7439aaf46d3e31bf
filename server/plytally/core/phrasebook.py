"""One table: what can be said, and which entry, command or question it makes.

Each row is a phrase in JSGF expansion syntax. `<on>`, `<place>`, `<plies>` and the rest are the slots of
`slots.py`, filled from the builder's vocabulary, so that no part or material is named here. `<rest>`
takes all words to the end: only typed or freely heard words can fill it, a grammar cannot listen for it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from plytally.core.grammar import Found, Known, Node, Words, match, words_of
from plytally.core.jsgf import phrase
from plytally.core.shop_phrases import SHOP_PHRASES
from plytally.core.slots import slots
from plytally.core.vocabulary import Vocabulary

ENTRIES: dict[str, tuple[str, ...]] = {
    "laid": (
        "[i] <laid> <layers> [of] <material> [<orientation>] <on> <place> [<cloth_batch>]",
        "([i] <laid> <layers> [of] <material> <on> <place> <orientation> [<cloth_batch>]) {typed}",
        "[i] <laid> <layers> [of] <material> [<orientation>] [<cloth_batch>]",
        "<counted_layers> of <material> [<orientation>] [laid | down] <on> <place>",
        "<place> (has | got {typed} | gets {typed}) <layers> [of] <material> [<orientation>]",
        "<place> <counted_layers> [of] <material> [<orientation>]",
        "<on> <place> i <laid> <layers> [of] <material> [<orientation>]",
        "(<layers> [of] <material> [<orientation>] [laid | down] <on> <place>) {typed}",
    ),
    "mixed": (
        "[i] (mixed | mixed up) <mass> [of] [<resin>] [at] <ratio> [<resin_batch>]",
        "[i] (mixed | mixed up) <mass> [of] [<resin>] [<resin_batch>]",
        "(new cup | fresh cup) [of] <mass> [of] [<resin>] [at] [<ratio>] [<resin_batch>]",
        "[i] mixed <resin> <mass> [at] [<ratio>] [<resin_batch>]",
    ),
    "bagged": (
        "[i] bagged <place>",
        "bag [is] on <place>",
        "<place> is bagged",
        "<place> is in the bag",
    ),
    "vacuum": (
        "vacuum [is] [at] <gauge> [<on> <place>]",
        "[the] gauge (reads | is at | shows) <gauge> [<on> <place>]",
        "(pulling | holding) <gauge> [<on> <place>]",
        "vacuum <on> <place> [is] <gauge>",
        "(we have | i have) <gauge> [of vacuum] [<on> <place>]",
    ),
    "bag_off": (
        "bag [is] off <place>",
        "[i] took the bag off <place>",
        "<place> is out of the bag",
        "bag came off <place>",
    ),
    "clamped": (
        "[i] clamped [the] <item> (on | to) <place>",
        "[i] clamped <place>",
        "<place> is clamped",
        "[the] <item> is clamped (on | to) <place>",
    ),
    "bonded": (
        "[i] (bonded | glued) [the] <item> (on | to | in) <place>",
        "[i] (bonded | glued) <place>",
        "<place> is bonded",
        "[the] <item> is bonded (on | to | in) <place>",
    ),
    "cured": (
        "<place> is cured",
        "<place> cured [for] <duration> [at <temperature>]",
        "cured <place> [for <duration>] [at <temperature>]",
        "cure [is] finished on <place>",
    ),
    "peeled": (
        "[i] (pulled | took) [the] peel ply (off | from) <place>",
        "peel ply [is] off <place>",
        "[i] removed [the] peel ply from <place>",
    ),
    "trimmed": (
        "[i] trimmed <place>",
        "<place> is trimmed",
        "trimming [is] done on <place>",
    ),
    "sanded": (
        "[i] sanded <place>",
        "[i] sanded <place> (with | to | at) <grit>",
        "<place> is sanded [(with | to) <grit>]",
        "sanding [is] done on <place>",
    ),
    "drilled": (
        "[i] drilled <holes> (hole | holes) (in | on) <place>",
        "[i] drilled <holes> <drill> (hole | holes) (in | on) <place>",
        "[i] drilled <place> [with a <drill> [drill]]",
        "<place> is drilled",
    ),
    "measured": (
        "[the] <quality> [is] <measure> (at | on) <place>",
        "[i] measured <quality> <measure> (at | on) <place>",
        "[the] <quality> (at | on) <place> is <measure>",
        "[i] measured <measure> <quality> (at | on) <place>",
    ),
    "weighed": (
        "<place> weighs <mass>",
        "[i] weighed <place> [at] <mass>",
        "weight of <place> is <mass>",
    ),
    "mounted": (
        "[i] (mounted | fitted) [the] <item> (on | to | in) <place>",
        "[the] <item> is (mounted | fitted) (on | to | in) <place>",
        "[i] (mounted | fitted) <place>",
    ),
    "checked": (
        "[i] checked <place>",
        "<place> [was] checked by <by>",
        "<by> checked <place>",
        "<place> is checked",
    ),
    "shop_air": (
        "[the] shop [is] [at] <temperature> [and] [<humidity>] [humidity]",
        "shop air <temperature> [and] [<humidity>]",
        "humidity [is] <humidity>",
        "[the] temperature [is] <temperature>",
    ),
    "started": (
        "(started | starting) <category> [<on> <place>]",
        "(started | starting) work <on> <place>",
        "(started | starting) work",
    ),
    "stopped": (
        "(stopped | stopping | finished) <category> [<on> <place>]",
        "(stopped | stopping | finished) work [<on> <place>]",
        "done for today",
    ),
    "photo": (
        "(photo | picture) of <place>",
        "(photo | picture) of [the] [clamped | mounted | bonded] <item> [on <place>]",
        "this is a (photo | picture) of <place>",
    ),
    "clock": (
        "[start] [the] <timer> timer [for] <duration> [<on> <place>]",
        "start [the] <timer> timer",
        "start a timer [for] <duration>",
        "<timer> <when> [<on> <place>]",
        "(call | remind) me <when>",
        "(call | remind) me <when> to <rest>",
        "(<timer> [<on>] <place> <when>) {typed}",
    ),
    "note": (
        "[make a] note that <rest>",
        "note <rest>",
        "for the record <rest>",
    ),
    "worked": (
        "[i] worked out [that] <rest>",
        "[i] reckoned [that] <rest>",
        "by my sums <rest>",
    ),
    "to_do": (
        "to do <action> <place>",
        "[i] still need to <action> <place>",
        "remember to <action> <place>",
        "(to do | remember to | i still need to) <rest>",
    ),
    "to_answer": (
        "ask <by> about <place>",
        "question for <by> about <place>",
        "question about <place>",
        "(ask | question for) <by> <rest>",
    ),
}

COMMANDS: dict[str, tuple[str, ...]] = {
    "scratch": ("scratch that", "scratch that one", "strike that"),
    "make_it": ("make it <new_value>", "make that <new_value>", "change it to <new_value>"),
    "confirm": ("confirm", "that is right", "yes that is right"),
    "read_back": ("read it back", "read that back", "say it again"),
    "new_photo": ("new photo", "take a photo", "another photo"),
    "stop_timer": ("stop the [<timer>] timer", "[the] <timer> timer off", "timer off"),
    "snooze": (
        "snooze [the <timer> timer] [for] [<duration>]",
        "snooze it",
        "(call | remind) me again [in <duration>]",
    ),
}

QUESTIONS: dict[str, tuple[str, ...]] = {
    "left_off": (
        "where did i (leave off | stop) [<on> <place>]",
        "where was i [<on> <place>]",
        "what did i do last [<on> <place>]",
    ),
    "owed": (
        "what is [still] owed [<on> <place>]",
        "what's [still] (owed | left) [<on> <place>]",
        "what do i still (owe | need) [<on> <place>]",
        "how many plies (are [still] owed | do i still need) [<on> <place>]",
    ),
    "have_laid": (
        "have i laid <layers> [of] <material> <on> <place>",
        "have i laid [the] <material> <on> <place>",
        "did i lay <layers> [of] <material> <on> <place>",
        "is the <material> laid <on> <place>",
    ),
    "cup_age": (
        "how long has the cup been mixed",
        "how old is the cup",
        "how long since i mixed [the cup]",
    ),
    "clocks": (
        "(what | which) (clocks | timers) are running",
        "how (long | much time) is left [on the <timer> timer]",
        "what is running",
    ),
    "last_vacuum": (
        "what vacuum did i last read [<on> <place>]",
        "what was the last vacuum [reading] [<on> <place>]",
        "last vacuum reading [<on> <place>]",
    ),
    **SHOP_PHRASES,
}


@dataclass(frozen=True)
class Phrase:
    """One row of the table: `makes` is "entry", "command" or "question", `name` which one."""

    makes: str
    name: str
    text: str
    node: Node


@dataclass(frozen=True)
class Reading:
    """A phrase found in words `start` to `end`, with its fields."""

    phrase: Phrase
    start: int
    end: int
    found: tuple[Found, ...]


@lru_cache(maxsize=4)
def phrases(vocabulary: Vocabulary) -> tuple[Phrase, ...]:
    """The whole table for one builder."""
    named = slots(vocabulary)
    tables = (("entry", ENTRIES), ("command", COMMANDS), ("question", QUESTIONS))
    return tuple(
        Phrase(makes, name, text, phrase(text, named))
        for makes, table in tables
        for name, texts in table.items()
        for text in texts
        if _can_be_said(text, named)
    )


def _can_be_said(text: str, named: dict[str, Node]) -> bool:
    """A builder without parts yet has no places, and a phrase that needs one waits until there is one."""
    return "<place>" not in text or "place" in named


def readings(words: Words, at: int, vocabulary: Vocabulary, known: Known) -> list[Reading]:
    """Every phrase that can be read from word `at` on, each as far as it goes."""
    return [
        Reading(row, at, end, found)
        for row in phrases(vocabulary)
        for end, found in match(row.node, words, at, known)
    ]


@lru_cache(maxsize=4)
def phrase_words(vocabulary: Vocabulary) -> frozenset[str]:
    """Every word that a phrase can hold."""
    return frozenset(word for row in phrases(vocabulary) for word in words_of(row.node))
