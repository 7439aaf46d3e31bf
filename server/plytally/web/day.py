"""The desk's days: entries to go over, and one route for every act on them.

An act is asked with a `key` that the page makes (a UUIDv7): asked again with the same key and words it
changes nothing and is answered as before. It is on the medium when it is answered.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

import structlog
from flask import Blueprint, Response, jsonify

from plytally.core.desk.acts import ActError, Asker
from plytally.core.desk.answers import AnswerError
from plytally.core.desk.photos import Photo
from plytally.core.desk.typed_value import TypedValueError
from plytally.core.operation import OperationError
from plytally.core.vocabulary import VocabularyError
from plytally.web.bodies import read_json
from plytally.web.day_shapes import Standing, Teach, Typed, act_of
from plytally.web.desk import Desk
from plytally.web.phones import Phones
from plytally.web.photos import PhotoError, facts
from plytally.web.problem import Problem
from plytally.web.schemas import load
from plytally.web.sniff import type_of
from plytally.workshop.desk import DeskWork, EntryChanged, NoEntry

KB = 1024
LARGEST_ACT = 64 * KB
_DAY = re.compile(r"\d{4}-\d\d-\d\d", re.ASCII)
log = structlog.get_logger(__name__)


@dataclass(frozen=True)
class DayRoutes:
    """The routes of the days."""

    work: DeskWork
    desk: Desk
    phones: Phones

    def days(self) -> Response:
        """Every day that has entries, the latest first."""
        return jsonify(self.work.days() | {"devices": self._devices()})

    def day(self, day: str) -> Response:
        """One day's entries and hours."""
        if not _DAY.fullmatch(day):
            raise Problem("not-found", f"{day!r} is no day; a day is written 2026-03-21")
        return jsonify(self.work.day(day, self.desk.likes) | {"devices": self._devices()})

    def entry(self, entry_id: str) -> Response:
        """All of one entry."""
        return jsonify(self.work.entry(entry_id, self.desk.likes))

    def act(self) -> Response:
        """Do one act; what was refused changed nothing."""
        wanted = act_of(read_json(LARGEST_ACT))
        asker = Asker(self.desk.settings["person"], str(wanted["key"]), wanted)
        photos: Any = wanted.get("photos", ())
        wanted = wanted | {"shots": [self._photo(shot) for shot in photos]}
        done = _refused(lambda: self.work.do(asker, wanted, self.desk.likes))
        log.info("desk_acted", act=wanted["act"], operations=len(done["kept"]))
        return jsonify(done)

    def _photo(self, shot: Mapping[str, str]) -> Photo:
        """A photo as it is kept; a Problem if it is not here, or is none."""
        content = self.work.bench.log.media.read(shot["media"])
        try:
            facts(content)
        except PhotoError as problem:
            raise Problem("cannot", f"{shot['name'] or 'this file'} is no photo: {problem}") from problem
        return Photo(shot["media"], type_of(content), len(content), shot["name"])

    def meaning(self) -> Response:
        """What typed words would mean; nothing is kept."""
        asked = load(Typed)
        return jsonify(self.work.meaning(asked["words"], asked["instead_of"], self.desk.likes))

    def words(self) -> Response:
        """Every word list."""
        return jsonify(self.work.vocabulary.lists())

    def teach(self) -> Response:
        """Add a word or a way of saying one; phones get it with their next sync."""
        asked = load(Teach)
        return jsonify(
            _refused(
                lambda: self.work.vocabulary.teach(
                    asked["list"], asked["name"], asked["said_as"], asked["entry"], self._person
                )
            )
        )

    def taught(self) -> Response:
        """Everything that was taught, and what came of it."""
        return jsonify(self.work.vocabulary.taught(self.desk.likes))

    def set_standing(self) -> Response:
        """Take back what was taught, or teach it again; phones get that with their next sync."""
        asked = load(Standing)
        done = _refused(lambda: self.work.vocabulary.set_standing(**asked, author=self._person))
        log.info("taught_stands", stands=done["stands"])
        return jsonify(done)

    @property
    def _person(self) -> str:
        """The role of who sits at the desk."""
        return str(self.desk.settings["person"])

    def _devices(self) -> dict[str, str]:
        """What each device is called; the desk's own name is the shop computer's."""
        return {phone.device: phone.name for phone in self.phones} | {self.work.device: "the desk"}


def _refused(do: Callable[[], dict[str, Any]]) -> dict[str, Any]:
    """Do it; what cannot be done becomes a Problem that says why."""
    try:
        return do()
    except EntryChanged as problem:
        raise Problem("changed", str(problem)) from problem
    except (ActError, AnswerError, NoEntry, OperationError, VocabularyError) as problem:
        raise Problem("cannot", str(problem)) from problem
    except TypedValueError as problem:
        wrong = [{"field": "words", "why": str(problem)}]
        raise Problem("invalid", str(problem), errors=wrong) from problem


def blueprint(work: DeskWork, desk: Desk, phones: Phones) -> Blueprint:
    """The routes, bound to one desk."""
    here, pages = DayRoutes(work, desk, phones), Blueprint("day", __name__)
    pages.add_url_rule("/api/desk/days", "days", here.days)
    pages.add_url_rule("/api/desk/days/<day>", "day", here.day)
    pages.add_url_rule("/api/desk/entries/<entry_id>", "entry", here.entry)
    pages.add_url_rule("/api/desk/acts", "act", here.act, methods=["POST"])
    pages.add_url_rule("/api/desk/meaning", "meaning", here.meaning, methods=["POST"])
    pages.add_url_rule("/api/desk/words", "words", here.words)
    pages.add_url_rule("/api/desk/words", "teach", here.teach, methods=["POST"])
    pages.add_url_rule("/api/desk/words/taught", "taught", here.taught)
    pages.add_url_rule("/api/desk/words/taught", "set_standing", here.set_standing, methods=["PATCH"])
    return pages
