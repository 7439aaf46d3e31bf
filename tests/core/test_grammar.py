"""The grammar tree: what it writes, what it reads, what it refuses."""

import pytest

from plytally.core.grammar import (
    Either,
    Found,
    Maybe,
    Means,
    Reads,
    Rule,
    Say,
    Seq,
    every_sentence,
    match,
    words_of,
)
from plytally.core.jsgf import GrammarError, phrase, write, write_jsgf
from plytally.core.listening import Rival

SIDE = Rule("side", Either((Means(Say("left"), "side", "left"), Means(Say("right"), "side", "right"))))


def read(node, text):
    words = tuple(text.split())
    return [(end, found) for end, found in match(node, words, 0, {})]


def test_a_phrase_reads_its_own_words_and_yields_the_fields():
    node = phrase("bagged [the] <side> skin", {"side": SIDE})

    assert read(node, "bagged the left skin") == [(4, (Found("side", "left", 2, 3),))]


def test_an_optional_word_may_be_left_out():
    node = phrase("bagged [the] <side> skin", {"side": SIDE})

    assert read(node, "bagged right skin") == [(3, (Found("side", "right", 1, 2),))]


def test_words_that_are_not_the_phrase_are_not_read():
    assert read(phrase("bagged <side> skin", {"side": SIDE}), "bagged upper skin") == []


def test_all_ways_of_reading_are_given():
    node = Seq((Say("a"), Maybe(Say("b")), Maybe(Say("b"))))

    assert sorted({end for end, _ in read(node, "a b b")}) == [1, 2, 3]


def test_an_amount_is_read_by_its_reader():
    def reader(words, at):
        return (len(words[at]), at + 1) if at < len(words) else None

    assert read(Reads("plies", Say("x"), reader), "four") == [(1, (Found("plies", 4, 0, 1),))]


def test_a_written_phrase_reads_back_as_the_same_tree():
    node = phrase("laid (one | two [more]) <side>", {"side": SIDE})

    assert phrase(write(node), {"side": SIDE}) == node


def test_jsgf_states_every_rule_once():
    text = write_jsgf(phrase("<side> or <side>", {"side": SIDE}))

    assert text.splitlines() == [
        "#JSGF V1.0;",
        "grammar plytally;",
        "public <phrase> = <side> or <side>;",
        "<side> = (left | right);",
    ]


def test_every_sentence_is_listed():
    node = phrase("a [b] (c | d)", {})

    assert sorted(every_sentence(node)) == ["a b c", "a b d", "a c", "a d"]


def test_words_are_collected_through_rules():
    assert words_of(phrase("bag <side>", {"side": SIDE})) == ("bag", "left", "right")


def test_a_rival_grammar_keeps_the_rest_of_the_sentence():
    rival = Rival(("side",), 1, 2, "bag", "skin", ("right", ""))

    assert "public <phrase> = bag (right | <NULL>) skin;" in rival.jsgf


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("laid (two | three", "')' is missing"),
        ("laid [two", "']' is missing"),
        ("laid <fruit>", "<fruit> is not known"),
        ("laid (two |) plies", "something is missing"),
        ("laid two; plies", "cannot read"),
        ("", "something is missing"),
    ],
)
def test_a_phrase_that_cannot_be_read_says_what_is_wrong(text, says):
    with pytest.raises(
        GrammarError,
        match=says.replace("(", r"\(").replace(")", r"\)").replace("[", r"\[").replace("]", r"\]"),
    ):
        phrase(text, {})
