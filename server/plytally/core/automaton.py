"""The grammar tree as the smallest word automaton that accepts the same sentences.

A recogniser's time goes with the number of states it keeps alive. Written out as JSGF, a rule such as
<place> is copied into every phrase that names it; here all phrases that end in a place share one copy.

States are found by derivatives: after a word, what may still follow is a list of tree nodes, and equal
lists are one state (V. Antimirov, "Partial derivatives of regular expressions", 1996). States with the
same future are then merged, from the end of the sentences backwards.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from plytally.core.grammar import Either, Maybe, Means, Node, Reads, Rule, Say, Seq, Typed

Rest = tuple[Node, ...]
Arcs = dict[str, int]


@dataclass(frozen=True)
class Arc:
    """From one state to another by a word."""

    start: int
    end: int
    word: str


@dataclass(frozen=True)
class Automaton:
    """Deterministic and without loops. State 0 is the start; a sentence may end in each of `finals`."""

    states: int
    arcs: tuple[Arc, ...]
    finals: tuple[int, ...]

    @cached_property
    def _by_state(self) -> dict[int, Arcs]:
        table: dict[int, Arcs] = {state: {} for state in range(self.states)}
        for arc in self.arcs:
            table[arc.start][arc.word] = arc.end
        return table

    def accepts(self, words: tuple[str, ...]) -> bool:
        """Whether the words are a whole sentence."""
        state = 0
        for word in words:
            following = self._by_state[state].get(word)
            if following is None:
                return False
            state = following
        return state in self.finals


@dataclass(frozen=True)
class Likelihoods:
    """How likely each arc is to be taken in its state, and each state to be the end; each state sums to 1."""

    arcs: tuple[float, ...]
    ends: dict[int, float]


def likelihoods(made: Automaton, sentences: Iterable[str], unseen: float = 1.0) -> Likelihoods:
    """Counted over sentences of the automaton; `unseen` is added to each count (P. S. de Laplace)."""
    number = {(arc.start, arc.word): at for at, arc in enumerate(made.arcs)}
    counts, ends = [unseen] * len(made.arcs), dict.fromkeys(made.finals, unseen)
    for sentence in sentences:
        state = 0
        for word in sentence.split():
            at = number[state, word]
            counts[at] += 1
            state = made.arcs[at].end
        ends[state] += 1
    totals = [ends.get(state, 0.0) for state in range(made.states)]
    for arc, count in zip(made.arcs, counts, strict=True):
        totals[arc.start] += count
    return Likelihoods(
        tuple(count / totals[arc.start] for arc, count in zip(made.arcs, counts, strict=True)),
        {state: count / totals[state] for state, count in ends.items()},
    )


def automaton(root: Node) -> Automaton:
    """The smallest automaton for the sentences of `root`, which must be finite in number."""
    arcs, finals = _derive((root,))
    return _merged(arcs, finals)


def _derive(start: Rest) -> tuple[list[Arcs], set[int]]:
    """Every state that can be reached, as its arcs; states are numbered as they are met."""
    known: dict[frozenset[Rest], int] = {frozenset({start}): 0}
    waiting = [frozenset({start})]
    arcs: list[Arcs] = []
    finals: set[int] = set()
    for here in waiting:
        following: dict[str, set[Rest]] = {}
        for rest in here:
            for word, after in _steps(rest):
                if word is None:
                    finals.add(len(arcs))
                else:
                    following.setdefault(word, set()).add(after)
        row: Arcs = {}
        for word, rests in following.items():
            state = frozenset(rests)
            if state not in known:
                known[state] = len(waiting)
                waiting.append(state)
            row[word] = known[state]
        arcs.append(row)
    return arcs, finals


def _steps(rest: Rest) -> Iterator[tuple[str | None, Rest]]:
    """Each word that may come next, with what may follow it; (None, ()) where the sentence may end."""
    if not rest:
        yield None, ()
        return
    first, after = rest[0], rest[1:]
    match first:
        case Say(word):
            yield word, after
        case Seq(parts):
            yield from _steps(parts + after)
        case Either(options):
            for option in options:
                yield from _steps((option, *after))
        case Maybe(part):
            yield from _steps((part, *after))
            yield from _steps(after)
        case Means(part, _, _) | Reads(_, part, _) | Typed(part) | Rule(_, part):
            yield from _steps((part, *after))


def _merged(arcs: list[Arcs], finals: set[int]) -> Automaton:
    """States with the same future are one."""
    merged: dict[int, int] = {}
    futures: dict[tuple[bool, frozenset[tuple[str, int]]], int] = {}
    for state in _last_first(arcs):
        future = (state in finals, frozenset((word, merged[end]) for word, end in arcs[state].items()))
        merged[state] = futures.setdefault(future, state)
    kept = sorted(set(merged.values()), key=lambda state: (state != merged[0], state))
    number = {state: at for at, state in enumerate(kept)}
    return Automaton(
        states=len(kept),
        arcs=tuple(
            Arc(number[state], number[merged[end]], word)
            for state in kept
            for word, end in arcs[state].items()
        ),
        finals=tuple(number[state] for state in kept if state in finals),
    )


def _last_first(arcs: list[Arcs]) -> Iterator[int]:
    """The states in an order in which each comes after all that follow it."""
    done: set[int] = set()
    stack: list[tuple[int, Iterator[int]]] = [(0, iter(arcs[0].values()))]
    entered = {0}
    while stack:
        state, ends = stack[-1]
        end = next((e for e in ends if e not in entered), None)
        if end is None:
            stack.pop()
            done.add(state)
            yield state
        else:
            entered.add(end)
            stack.append((end, iter(arcs[end].values())))
