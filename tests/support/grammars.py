"""Grammars for recognisers, made of a few JSGF rules."""

from plytally.core.automaton import automaton
from plytally.core.grammar import Rule, words_of
from plytally.core.jsgf import phrase, write_jsgf
from plytally.core.listening import Grammar, sample


def grammar_of(public, **rules):
    """A grammar whose sentences are `public`; each rule may use the ones before it."""
    named = {}
    for name, text in rules.items():
        named[name] = Rule(name, phrase(text, named))
    root = phrase(public, named)
    return Grammar(automaton(root), write_jsgf(root), words_of(root), tuple(sample(root, 200)))
