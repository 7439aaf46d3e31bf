"""Where something is, as it is said: the part with its side, face, feature and station, or an assembly.

What is only typed stands beside what a grammar listens for: other words for a face ("bottom" for "lower"), a
part told of its assembly ("the bottom skin of the left elevator"), and the assembly by itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from plytally.core.assemblies import assemblies
from plytally.core.grammar import Either, Maybe, Means, Node, Say, Seq, Typed
from plytally.core.names import Name
from plytally.core.other_words import other_ways
from plytally.core.vocabulary import SIDES, PartWords, Vocabulary


def one_of(field: str, names: Iterable[Name]) -> Either:
    """One of some names: the field that it makes has the name."""
    return Either(tuple(Means(said(name), field, name.name) for name in names))


def with_other_words(field: str, names: Iterable[Name]) -> Node:
    """The same, and the trade's other words for them where they are typed."""
    listed = tuple(names)
    heard, others = one_of(field, listed), other_ways(listed)
    return Either((*heard.options, Typed(one_of(field, others)))) if others else heard


def said(name: Name) -> Node:
    """The ways of saying a name."""
    ways = tuple(_words(way) for way in name.spoken)
    return ways[0] if len(ways) == 1 else Either(ways)


def _words(text: str) -> Node:
    words = tuple(Say(word) for word in text.split())
    return words[0] if len(words) == 1 else Seq(words)


def places(vocabulary: Vocabulary) -> Iterable[Node]:
    """Every way of saying a place."""
    others = {name.name: name for name in other_ways(words.part for words in vocabulary.parts)}
    for words in vocabulary.parts:
        yield _part_first(words)
        if words.faces:
            yield _face_first(words)
            yield from _noun_face_first(words)
        if words.features:
            yield Typed(_feature_first(words))
        if words.part.name in others:
            yield Typed(_part_first(replace(words, part=others[words.part.name])))
            if words.faces:
                yield Typed(Either(tuple(_noun_face_first(replace(words, part=others[words.part.name])))))
    yield from map(Typed, _of_assemblies(vocabulary))
    faces = tuple(dict.fromkeys(face for words in vocabulary.parts for face in words.faces))
    if faces:
        yield Seq((THE, face_of(faces), FACE_WORD))
    yield Means(Either((_words("the same place"), Say("here"))), "same", "place")


def _of_assemblies(vocabulary: Vocabulary) -> Iterator[Node]:
    """[the] left elevator; [the] bottom skin of [the] left elevator."""
    for thing in vocabulary.assemblies:
        whole = said(thing.part)
        yield Seq((THE, Maybe(_SIDE), Means(whole, "part", thing.part.name)))
        of = tuple(w for w in vocabulary.parts if w.part.name in _parts_of(thing, vocabulary))
        short = tuple(Name(w.part.name, tuple(_shortened(w.part, thing.part))) for w in of)
        names = Either((one_of("part", (n for n in short if n.said_as)), one_of("part", other_ways(short))))
        face = Maybe(Seq((THE, face_of(_all_faces(of)), Maybe(FACE_WORD), Say("of"), THE)))
        yield Seq(
            (
                face,
                THE,
                names,
                Either(tuple(map(Say, ("of", "on", "onto", "to", "for")))),
                THE,
                Maybe(_SIDE),
                whole,
            )
        )


def _parts_of(thing: PartWords, vocabulary: Vocabulary) -> tuple[str, ...]:
    return assemblies(tuple(words.part.name for words in vocabulary.parts))[thing.part.name]


def _shortened(part: Name, thing: Name) -> Iterator[str]:
    for way in part.spoken:
        if (short := way.removeprefix(f"{thing.spoken[0]} ")) != way:
            yield short


def _all_faces(parts: Iterable[PartWords]) -> tuple[Name, ...]:
    return tuple({(face.name): face for words in parts for face in words.faces}.values())


NOUNS = frozenset(("inside", "outside", "top", "bottom", "front", "back"))
"""Faces that need no "face": "the inside of the skin". "Aft of the spar" is somewhere else."""

THE = Maybe(Say("the"))
FACE_WORD = Either((Say("face"), Typed(Say("side"))))


def _part_first(words: PartWords) -> Node:
    """[the] right elevator spar [aft [face]] [lug] [[at] hinge two] [right side]."""
    parts: list[Node] = [THE, *_sided_part(words)]
    if words.faces:
        face = face_of(words.faces)
        parts.append(Maybe(Either((Seq((face, FACE_WORD)), Typed(face)))))
    if words.features:
        parts.append(Maybe(with_other_words("feature", words.features)))
    if words.sided:
        return Seq((*parts, *_station(words), Maybe(Typed(Seq((_SIDE, Say("side")))))))
    return Seq((*parts, *_station(words)))


def _face_first(words: PartWords) -> Node:
    """[the] aft face of [the] right elevator spar [[at] hinge two]."""
    face = (THE, face_of(words.faces), FACE_WORD, Say("of"), THE)
    return Seq((*face, *_sided_part(words), *_station(words)))


def _noun_face_first(words: PartWords) -> Iterable[Node]:
    """The inside of [the] right elevator upper skin: for faces whose name is a noun by itself."""
    nouns = tuple(face for face in words.faces if NOUNS.intersection(face.spoken))
    if nouns:
        face = (Say("the"), face_of(nouns), Say("of"), THE)
        yield Typed(Seq((*face, *_sided_part(words), *_station(words))))


def _feature_first(words: PartWords) -> Node:
    """[the] upper cap of [the] right elevator spar [fore face]."""
    feature = (THE, with_other_words("feature", words.features), Say("of"), THE)
    face = (Maybe(Seq((face_of(words.faces), FACE_WORD))),) if words.faces else ()
    return Seq((*feature, *_sided_part(words), *face, *_station(words)))


def face_of(faces: Iterable[Name]) -> Node:
    """One of some faces, without the word "face"."""
    bare = (Name(face.name, tuple(way.removesuffix(" face") for way in face.spoken)) for face in faces)
    return with_other_words("face", bare)


def _sided_part(words: PartWords) -> Iterable[Node]:
    if words.sided:
        yield Maybe(one_of("side", map(Name, SIDES)))
    yield Means(said(words.part), "part", words.part.name)


_SIDE = Either(tuple(Means(Say(side), "side", side) for side in SIDES))


def _station(words: PartWords) -> Iterable[Node]:
    if words.stations:
        yield Maybe(Seq((Maybe(Say("at")), one_of("station", words.stations))))
