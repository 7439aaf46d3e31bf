"""How far to trust what was heard: against what else each field could have been, and against any phones.

An engine searches the sound for the rivals of a sentence and says how far behind each came. What follows
from that is decided here, for the server's engine and for the phone's alike. All scores are of searches in
which no way of saying costs anything, so they tell what the sound fits and not what is likely to be said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from plytally.core.automaton import Automaton, automaton
from plytally.core.doubting import KIND
from plytally.core.grammar import Either, Maybe, Node, Say, Seq
from plytally.core.hearing import Word
from plytally.core.leaning import instead, most_shifted, shifted
from plytally.core.listening import Grammar
from plytally.core.numbers import confusable
from plytally.core.paths import FRAMES_A_SECOND, BestPath, Piece, Sounded
from plytally.core.rivals import NOT_SAID, Rival
from plytally.core.runner_up import beside
from plytally.core.sound_fit import STRANGE, lost, mean_of, misfit, strange_words, strangeness
from plytally.core.trust import ANYBODY, Rule, margin_of, rule_for, trust

STRANGE_TRUST = 0.65
"""How far words are trusted that sound like something else."""

FURTHEST = 80.0
"""Behind the first rival that lies this far back (natural logarithm) none is looked for."""

SMALL = ("the", "of")
"""May come and go before a rival."""


@dataclass(frozen=True)
class Found:
    """What a search found in the place of one rival: its words there, and how far behind they came."""

    rival: Rival
    words: tuple[str, ...]
    margin: float


@dataclass(frozen=True)
class Judged:
    """One rival of a sentence: where it stands, its words there, and how far behind they came."""

    rival: Rival
    words: tuple[str, ...]
    margin: float
    misfit: float = 0.0
    """By how much, a frame, free phones fit better than the heard words that it would replace."""
    shift: float = 0.0
    """By how much what goes on in the shop speaks for it (below 0: against), in the unit of the margin."""
    rule: Rule = ANYBODY

    @property
    def trust(self) -> float:
        """How often what was heard is right, 0 to 1, by sound and shop."""
        return trust(self.sort, self.margin - self.shift, self.misfit, self.rule)

    @property
    def is_close(self) -> bool:
        """Whether it could be what was said. What the sound has near, nothing in the shop makes far."""
        by_sound = trust(self.sort, self.margin, self.misfit, self.rule)
        return self.trust < self.rule.ask[self.sort] or by_sound < self.rule.ask_anyway[self.sort]

    @property
    def is_likelier(self) -> bool:
        """Whether it is likelier than what was heard, by sound and shop together, and only by both."""
        return bool(self.words) and self.shift > 0 and self.margin < self.shift

    @property
    def sort(self) -> str:
        """Which of `trust.SORTS` it is held to."""
        return sort_of(self.rival, self.words)


def sort_of(rival: Rival, words: Sequence[str]) -> str:
    """Which of `trust.SORTS` these words in the rival's place are held to."""
    if not words:
        return "left out"
    if rival.is_number:
        return "alike" if " ".join(words) in confusable(rival.heard) else "number"
    return "kind" if rival.fields == (KIND,) else "name"


def is_a_phrase(heard: Sounded, listens: Automaton) -> bool:
    """Whether it is a sentence of the phrasebook, and sounds like one."""
    return listens.accepts(heard.path.words) and strangeness(heard) < STRANGE


def weighed(
    heard: Sounded, found: Sequence[Found], grammar: Grammar, unweighed: Sequence[Rival] = ()
) -> tuple[Word, ...]:
    """The words of a sentence of the phrasebook with their trust and runner-ups, all witnesses heard.

    What the shop's order finds likelier is put in the place, with what was heard as its runner-up. A place
    whose rivals nobody had the time to search for is as unsure as one that sounds strange. While the voice is
    not known, no margin makes a teen safe from its ty: once the wrong one came 82 ahead of the right one. So
    there the words alone decide, and it is asked about.
    """
    judged = [_judged(each, heard, grammar) for each in found]
    asked = () if heard.learnt else grammar.rivals(" ".join(heard.path.words))
    unsure = {at for rival in unweighed for at in range(rival.start, rival.end)}
    return put_right(words_of(heard.path, judged, strange_words(heard) | unsure, asked), judged)


def reach(rival: Rival, heard: Sounded, grammar: Grammar) -> float:
    """The margin from which on none of the rival's words would be asked about.

    So a search that finds the closest of several rivals this far behind need not be followed by another.
    """
    each = lost(heard)
    worst = max((mean_of([piece], each) for piece in heard.path.spoken[rival.start : rival.end]), default=0.0)
    sorts = {"left out"} if NOT_SAID in rival.others else set()
    if rival.is_number:
        sorts |= {"number"} | {"alike" for other in confusable(rival.heard) if other in rival.others}
    else:
        sorts.add("kind" if rival.fields == (KIND,) else "name")
    shift = most_shifted(" ".join(heard.path.words), rival, grammar)
    rule = rule_for(learnt=heard.learnt)
    by_sound = max(margin_of(sort, rule.ask_anyway[sort], worst, rule) for sort in sorts)
    return max(by_sound, shift + max(margin_of(sort, rule.ask[sort], worst, rule) for sort in sorts))


def _judged(each: Found, heard: Sounded, grammar: Grammar) -> Judged:
    """The rival with what else speaks for it or against."""
    rival, text = each.rival, " ".join(heard.path.words)
    there = heard.path.words[rival.start : rival.end]
    lean = grammar.lean(text, instead(rival, " ".join(each.words)))
    fits = misfit(heard, rival.start, there, each.words)
    return Judged(rival, each.words, each.margin, fits, shifted(lean), rule_for(learnt=heard.learnt))


def rivals_automaton(rivals: Sequence[Rival]) -> Automaton:
    """The sentence with another value in the place of one of the rivals, and nothing else."""
    return automaton(Either(tuple(_changed(rival) for rival in rivals)))


def _changed(rival: Rival) -> Node:
    """Whether a small word stands before the others must not decide: "installed fittings", "… the hinge"."""
    before = rival.before.split()
    if before and before[-1] in SMALL:
        before.pop()
    others = Either(tuple(_sequence(other) for other in rival.others))
    small = Maybe(Either(tuple(Say(word) for word in SMALL)))
    return Seq((_sequence(" ".join(before)), small, others, _sequence(rival.after)))


def heard_automaton(words: Sequence[str]) -> Automaton:
    """What was heard, and nothing else: its score is what the rivals are held against."""
    return automaton(Seq(tuple(Say(word) for word in words)))


def found_by(rivals: Sequence[Rival], heard: BestPath, other: BestPath | None) -> Found | None:
    """Which rival the other path is of, and how far behind it came; None where nothing else fitted at all."""
    if other is None:
        return None
    for rival in rivals:
        words = _instead(rival, other.words)
        if words is not None:
            return Found(rival, words, heard.score - other.score)
    return None


def _instead(rival: Rival, words: Sequence[str]) -> tuple[str, ...] | None:
    """What the words have in the rival's place; None where they are none of its sentences."""
    before, after = tuple(rival.before.split()), tuple(rival.after.split())
    end = len(words) - len(after)
    bare = before[:-1] if before and before[-1] in SMALL else before
    starts = (len(before), len(bare), len(bare) + 1)
    for start in (each for each in starts if each <= end):
        leads = words[len(bare) : start]
        whole = words[: len(bare)] == bare and words[end:] == after and all(w in SMALL for w in leads)
        if whole and " ".join(words[start:end]) in rival.others:
            return tuple(words[start:end])
    return None


def put_right(words: Sequence[Word], found: Sequence[Judged]) -> tuple[Word, ...]:
    """The words, with the likeliest rival in its place where it is likelier than what was heard.

    What was heard stays beside it as the runner-up, so that it is asked about.
    """
    better = [each for each in found if each.is_likelier]
    if not better:
        return tuple(words)
    best = max(better, key=lambda each: each.shift - each.margin)
    start, end = best.rival.start, best.rival.end
    others = beside(best.words, best.rival.heard)
    place = words[start:end]
    unsure = 1 - best.trust
    put = (
        Word(word, place[0].start, place[-1].end, unsure, other)
        for word, other in zip(best.words, others, strict=True)
    )
    return (*words[:start], *put, *words[end:])


def words_of(
    path: BestPath,
    found: Sequence[Judged],
    strange: frozenset[int] = frozenset(),
    asked: Sequence[Rival] = (),
) -> tuple[Word, ...]:
    """The path's words; those with a rival have their confidence and runner-up from it.

    Those that sound `strange` are as unsure as a tie. For each of the rivals in `asked` the amount that
    sounds alike stands beside its words, also where another came closer: of one voice's "fifty", heard as
    "fifteen", "eighteen" was closer than "fifty".
    """
    closest: dict[int, tuple[float, str]] = {}
    for each in sorted(found, key=lambda each: each.trust):
        heard = path.words[each.rival.start : each.rival.end]
        for at, other in enumerate(beside(heard, each.words), each.rival.start):
            closest.setdefault(at, (each.trust, other if each.is_close else ""))
    for at in strange:
        sure, other = closest.get(at, (1.0, ""))
        closest[at] = min(sure, STRANGE_TRUST), other
    for rival in asked:
        places = range(rival.start, rival.end)
        if rival.alike:
            for at, other in zip(places, beside(rival.heard, rival.alike[0].split()), strict=True):
                closest[at] = closest.get(at, (1.0, ""))[0], other
    return tuple(_word(piece, *closest.get(at, (1.0, ""))) for at, piece in enumerate(path.spoken))


def _word(piece: Piece, confidence: float, runner_up: str) -> Word:
    start, end = piece.start / FRAMES_A_SECOND, piece.end / FRAMES_A_SECOND
    return Word(piece.text, start, end, confidence, runner_up)


def _sequence(text: str) -> Node:
    return Seq(tuple(Say(word) for word in text.split()))
