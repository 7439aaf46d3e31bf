"""The slots of the phrasebook: amounts that are read as numbers, and names from the builder's vocabulary.

For every amount two things are said: what a recogniser should listen for, kept narrow because fewer
possibilities are heard better, and how words are read, as wide as numbers are spoken.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from plytally.core.clock_kinds import SPOKEN as CLOCKS
from plytally.core.day_times import read_day_time
from plytally.core.entry import FieldValue
from plytally.core.grammar import Either, Maybe, Means, Node, Reads, Rule, Say, Seq, Typed, Words
from plytally.core.grits_and_drills import read_drill, read_grit
from plytally.core.jsgf import phrase
from plytally.core.measures import read_quantity
from plytally.core.names import Name
from plytally.core.numbers import read_number, read_ratio
from plytally.core.place_slots import FACE_WORD, THE, face_of, one_of, places
from plytally.core.quantities import Dimension
from plytally.core.spelled import read_digits
from plytally.core.vocabulary import SIDES, Vocabulary

Read = Callable[[Words, int], tuple[FieldValue, int] | None]

MOST_PLIES = 99

# What is listened for. Each row may use the rows above it.
AMOUNTS: tuple[tuple[str, str], ...] = (
    ("digit", "one | two | three | four | five | six | seven | eight | nine"),
    ("teen", "thirteen | fourteen | fifteen | sixteen | seventeen | eighteen | nineteen"),
    ("to_nineteen", "<digit> | ten | eleven | twelve | <teen>"),
    ("ten", "twenty | thirty | forty | fifty | sixty | seventy | eighty | ninety"),
    ("to_ninety_nine", "<to_nineteen> | <ten> [<digit>]"),
    ("to_nine_ninety_nine", "<to_ninety_nine> | (a | <digit>) hundred [[and] <to_ninety_nine>]"),
    ("say_plies", "<digit> | ten | eleven | twelve"),
    ("say_count", "<to_ninety_nine>"),
    ("say_grams", "<to_nine_ninety_nine> grams"),
    ("say_mass", "<say_grams> | <to_ninety_nine> [point <digit>] ounces | <digit> [point <digit>] pounds"),
    ("say_ratio", "<digit> to one | a hundred to <to_ninety_nine> | one hundred to <to_ninety_nine>"),
    ("say_gauge", "(<to_nineteen> | twenty [<digit>]) [and a half | point five] [inches]"),
    ("say_thousandths", "(<to_ninety_nine> | (a | one) hundred [[and] <to_ninety_nine>]) thousandths"),
    ("say_decimal", "point (oh | <digit>) <digit> [<digit>]"),
    (
        "say_fraction",
        "one (eighth | sixteenth) | (three | five | seven) (eighths | sixteenths)"
        " | (a | one) (half | quarter) inch",
    ),
    ("say_whole_length", "<to_nineteen> inches | <to_ninety_nine> millimeters | three quarters"),
    ("say_measure", "<say_thousandths> | <say_decimal> | <say_fraction> | <say_whole_length>"),
    ("say_temperature", "(<ten> [<digit>] | (a | one) hundred [[and] <to_ninety_nine>]) degrees"),
    ("say_humidity", "<ten> [<digit>] percent"),
    ("say_duration", "<to_ninety_nine> minutes | <to_ninety_nine> hours | an hour | half an hour | one hour"),
    ("say_area", "(a | one) square foot | <to_nineteen> square feet | <to_ninety_nine> square inches"),
    ("say_elevation", "<digit> thousand [<digit> hundred] feet | <digit> hundred feet"),
    ("say_clock_time", "<say_plies> [thirty | fifteen | forty five]"),
    (
        "say_day_part",
        "tonight | this (evening | afternoon) | in the (morning | evening) | tomorrow [morning]",
    ),
    ("say_day_time", "<say_clock_time> [<say_day_part>] | noon | midnight"),
    ("say_coarse", "thirty six | forty | sixty | eighty | one hundred | one twenty | one fifty"),
    ("say_grit", "(<say_coarse> | one eighty | two twenty | three twenty | four hundred) grit"),
    ("say_drill", "number <to_ninety_nine>"),
    ("say_batch", "<digit> <digit> | <digit> <digit> <digit> | <digit> <digit> <digit> <digit>"),
)


def _whole(words: Words, at: int) -> tuple[FieldValue, int] | None:
    number = read_number(words, at)
    if number is None or number[0] != number[0].to_integral_value() or number[0] < 0:
        return None
    return int(number[0]), number[1]


def _quantity(dimension: Dimension) -> Read:
    return lambda words, at: read_quantity(words, at, dimension)


def _rest(words: Words, at: int) -> tuple[FieldValue, int] | None:
    return (" ".join(words[at:]), len(words)) if at < len(words) else None


# slot, field, what is listened for, how it is read
READ: tuple[tuple[str, str, str, Read], ...] = (
    ("plies", "plies", "say_plies", _whole),
    ("holes", "holes", "say_count", _whole),
    ("mass", "mass", "say_mass", _quantity(Dimension.MASS)),
    ("ratio", "ratio", "say_ratio", read_ratio),
    ("gauge", "gauge", "say_gauge", _quantity(Dimension.PRESSURE)),
    ("measure", "measure", "say_measure", _quantity(Dimension.LENGTH)),
    ("temperature", "temperature", "say_temperature", _quantity(Dimension.TEMPERATURE)),
    ("humidity", "humidity", "say_humidity", _quantity(Dimension.FRACTION)),
    ("duration", "duration", "say_duration", _quantity(Dimension.TIME)),
    ("area", "area", "say_area", _quantity(Dimension.AREA)),
    ("elevation", "elevation", "say_elevation", _quantity(Dimension.LENGTH)),
    ("day_time", "at", "say_day_time", read_day_time),
    ("grit", "grit", "say_grit", read_grit),
    ("drill", "drill", "say_drill", read_drill),
    ("batch", "batch", "say_batch", read_digits),
)

# Slots made of other slots, in phrase syntax.
BUILT: tuple[tuple[str, str], ...] = (
    (
        "counted_layers",
        "[another {typed}] <plies> [more {typed}] (ply | plies | layer | layers) | <one_more>",
    ),
    ("layers", "<counted_layers> | <plies>"),
    ("on", "on | at | to | (onto | in | into) {typed}"),
    ("onto", "on | to | in | (onto | into) {typed}"),
    ("i", "i | i've | (i have | we | we have) [just | now | already] {typed} | (just | now) {typed}"),
    ("is", "is | has been | (is now | are | have been | was) {typed}"),
    ("that_is", "(that is | that's | that was | okay that is) {typed}"),
    ("laid", "[just] (laid [up | down {typed}] | put [down] | added | (put on | applied | did) {typed})"),
    ("mixed", "mixed | mixed up | mixing {typed} | ((mixed | made [up]) a cup of) {typed}"),
    ("a_new", "[<i>] [(starting | made | mixed) {typed}] [a {typed}]"),
    ("new_cup", "new cup | fresh cup | (<a_new> (new | fresh) (cup | batch | mix)) {typed}"),
    ("measures", "[is] | (measures | comes out at | comes to | at) {typed}"),
    ("mounted", "mounted | fitted | installed | bolted | (attached | screwed) {typed}"),
    ("cloth_batch", "batch <batch> | (from [batch] | [from] roll) <batch> {typed}"),
    ("resin_batch", "batch <batch>"),
    ("when", "in <duration> | at <day_time>"),
)

# What a part is said to be, and which quality is meant by it.
DIMENSIONS = (Name("thickness", ("thick",)), Name("width", ("wide",)), Name("height", ("high", "tall")))


def slots(vocabulary: Vocabulary) -> dict[str, Node]:
    """Every slot by name, for one builder; `place` is missing where the builder has no parts yet."""
    named: dict[str, Node] = {"rest": Reads("text", Say("rest"), _rest)}
    for name, text in AMOUNTS:
        named[name] = Rule(name, phrase(text, named))
    for name, field, says, read in READ:
        named[name] = Reads(field, named[says], read)
    named |= _name_slots(vocabulary)
    named["one_more"] = Means(phrase("another (ply | layer)", named), "plies", 1)
    named["as_thick"] = Rule("as_thick", one_of("quality", DIMENSIONS))
    for name, text in BUILT:
        named[name] = Rule(name, phrase(text, named))
    if vocabulary.parts:
        named["place"] = Rule("place", Either(tuple(places(vocabulary))))
    named["new_value"] = Rule("new_value", _new_value(vocabulary, named))
    return named


def _name_slots(vocabulary: Vocabulary) -> dict[str, Node]:
    rows = (
        ("material", "material", vocabulary.materials),
        ("resin", "resin", vocabulary.resins),
        ("quality", "quality", vocabulary.qualities),
        ("item", "item", vocabulary.items),
        ("by", "by", vocabulary.people),
        ("category", "category", vocabulary.categories),
        ("action", "action", vocabulary.actions),
        ("timer", "clock", CLOCKS),
    )
    bare = tuple(
        Name(name.name, tuple(dict.fromkeys(way.removeprefix("at ") for way in name.spoken)))
        for name in vocabulary.orientations
    )
    other_words = Typed(Seq((Maybe(Say("at")), one_of("orientation", bare))))
    heard = one_of("orientation", vocabulary.orientations)
    orientation = Rule("orientation", Either((heard, other_words)))
    named: dict[str, Node] = {slot: Rule(slot, one_of(field, names)) for slot, field, names in rows}
    return named | {"orientation": orientation}


def _new_value(vocabulary: Vocabulary, named: dict[str, Node]) -> Node:
    """What "make it …" can change to: an amount, a side, a face or a material."""
    faces = tuple(dict.fromkeys(face for words in vocabulary.parts for face in words.faces))
    names: tuple[Node, ...] = (one_of("side", map(Name, SIDES)), named["material"])
    if faces:
        names += (Seq((THE, face_of(faces), FACE_WORD)),)
    amounts = ("mass", "measure", "temperature", "humidity", "ratio", "grit", "gauge", "plies", "duration")
    bare = Reads("number", named["to_nine_ninety_nine"], _number)
    return Either((bare, *names, *(named[slot] for slot in amounts)))


def _number(words: Words, at: int) -> tuple[FieldValue, int] | None:
    number: tuple[Decimal, int] | None = read_number(words, at)
    return None if number is None else (format(number[0], "f"), number[1])
