"""An inspector's look at chosen parts: pages without script, for whoever holds the link, until its day.

    GET /visit/<token>                      the parts: diagrams, tables, entries
    GET /visit/<token>/photo/<address>      a photo of one of these entries, small
    GET /visit/<token>/record.pdf           the record of these parts

and at the desk: open a visit, list them, end one. Nothing else of the log can be reached by a link.
"""

from __future__ import annotations

import io
from dataclasses import dataclass, field
from typing import Any

import structlog
from flask import Blueprint, Response, jsonify, make_response, render_template, request, send_file
from markupsafe import Markup

from plytally.core.entry import Place
from plytally.core.history import Logged
from plytally.core.merge import State
from plytally.core.pictures.drawing import Figure
from plytally.core.pictures.faces import part_figures, steps_figure
from plytally.core.pictures.svg import svg
from plytally.core.readback import asked, shown
from plytally.core.telling import place_told
from plytally.record.content import NO_APPROVAL, Content, device_told, said_of
from plytally.store.media import MediaFolder
from plytally.web.access import caller
from plytally.web.books import Books
from plytally.web.pairing import qr_svg
from plytally.web.photos import PhotoError, small
from plytally.web.problem import KINDS, Problem
from plytally.web.record_jobs import Records
from plytally.web.record_shapes import VisitAsked, places_asked
from plytally.web.records import sent
from plytally.web.schemas import load
from plytally.web.shop import Shop
from plytally.web.visits import Visit, Visits

PAGE = (
    "default-src 'none'; style-src 'self'; img-src 'self'; base-uri 'none'; form-action 'none'; "
    "frame-ancestors 'none'"
)
ROBOTS = "noindex, nofollow, noarchive, noimageindex"
ENTRIES_A_PAGE = 100
SIDES = {"small": 320, "large": 1600}
PHOTO = "photo"
log = structlog.get_logger(__name__)


@dataclass(frozen=True)
class VisitRoutes:
    """The visitor's pages."""

    books: Books
    visits: Visits
    records: Records
    media: MediaFolder
    _known_shots: dict[str, tuple[State, frozenset[str]]] = field(default_factory=dict)

    def page(self, token: str) -> Response:
        """The parts that may be seen."""
        visit = self._visit()
        self.visits.seen(visit)
        number = request.args.get("page", "1")
        at = int(number) if number.isdecimal() and 0 < len(number) < 6 else 1
        with self.books.open(visit.scope) as content:
            last = max(1, -(-len(content.entries) // ENTRIES_A_PAGE))
            at = min(max(at, 1), last)
            seen = content.entries[(at - 1) * ENTRIES_A_PAGE : at * ENTRIES_A_PAGE]
            told = {
                "parts": [_part(content, place) for place in content.places] if at == 1 else [],
                "entries": [_entry(content, logged) for logged in seen],
                "count": len(content.entries),
                "doubts": len(content.doubts),
                "aircraft": content.schedule.aircraft,
                "revision": content.schedule.revision,
                "head": content.head,
            }
        likes = self.books.likes
        return _dressed(
            make_response(
                render_template(
                    "visit.html", token=token, visit=visit, until=likes.moment(visit.expires), at=at,
                    last=last, told=visit.scope.told_as(likes), no_approval=NO_APPROVAL, **told,
                )
            )
        )  # fmt: skip

    def photo(self, token: str, address: str) -> Response:
        """A photo that belongs to one of the entries that may be seen."""
        if address not in self._shots(self._visit()):
            raise Problem("not-found", "there is no such photo among the entries of these parts")
        side = SIDES.get(request.args.get("size", "small"), SIDES["small"])
        try:
            made = small(self.media.read(address), side)
        except PhotoError as problem:
            raise Problem("not-found", f"there is no picture of this: {problem}") from problem
        return _dressed(send_file(io.BytesIO(made), "image/jpeg", download_name=f"{address[:12]}.jpg"))

    def pdf(self, token: str) -> Response:
        """The record of these parts."""
        made = self.records.make_now(self._visit().scope, "a4")
        if made is None:
            raise Problem(
                "busy",
                "a record is being made just now; wait a minute",
                headers={"Retry-After": "60"},
            )
        return _dressed(sent(made))

    def _shots(self, visit: Visit) -> frozenset[str]:
        """The photos that may be seen; looked for again only when the log has changed."""
        state, known = self.books.bench.log.state, self._known_shots.get(visit.id)
        if known is None or known[0] is not state:
            with self.books.open(visit.scope) as content:
                attached = (each for logged in content.entries for each in logged.attachments)
                shots = frozenset(each.media for each in attached if each.role == PHOTO)
            known = self._known_shots[visit.id] = (content.state, shots)
        return known[1]

    def _visit(self) -> Visit:
        return next(visit for visit in self.visits if visit.id == caller().device)


@dataclass(frozen=True)
class VisitDesk:
    """The desk's side of visits."""

    shop: Shop
    books: Books
    visits: Visits

    def listed(self) -> Response:
        """Every visit, the newest first; the links themselves are told only when they are made."""
        now = self.shop.clock.now_millis()
        return jsonify(visits=[visit.as_json(now) for visit in self.visits])

    def open(self) -> tuple[Response, int]:
        """Open a visit; the answer has its link, once."""
        wanted = load(VisitAsked)
        parts = places_asked(self.books.bench.schedule, wanted["parts"])
        secret, visit = self.visits.open(wanted["name"].strip(), parts, wanted["days"])
        log.info("visit_opened", parts=len(parts), days=wanted["days"])
        root = self.shop.url if self.shop.authority else request.host_url.rstrip("/")
        url = f"{root}/visit/{secret}"
        told = visit.as_json(self.shop.clock.now_millis()) | {"url": url, "qr_svg": qr_svg(url)}
        return jsonify(told | {"lan": self.shop.authority is not None}), 201

    def revoke(self, visit_id: str) -> tuple[str, int]:
        """End a visit."""
        if not self.visits.revoke(visit_id):
            raise Problem("not-found", "there is no such visit; the list shows them all")
        log.info("visit_revoked")
        return "", 204


def _part(content: Content, place: Place) -> dict[str, Any]:
    other = steps_figure(content.ledger, place, content.likes)
    drawn_faces = part_figures(content.ledger, place, content.number, content.likes)
    figures = [*drawn_faces, *([other] if other else [])]
    drawn = [{"figure": figure, "svg": _drawn(figure)} for figure in figures]
    return {"name": place_told(place), "figures": drawn}


def _drawn(figure: Figure) -> Markup:
    return Markup(svg(figure.drawing)) if figure.drawing else Markup()  # noqa: S704 - svg escapes every word


def _entry(content: Content, logged: Logged) -> dict[str, Any]:
    likes = content.likes
    return {
        "number": content.number[logged.id],
        "when": likes.moment(logged.wall),
        "line": shown(logged.entry, likes),
        "said": logged.entry.said,
        "author": logged.author,
        "device": device_told(logged.device),
        "id": logged.id,
        "withdrawn": logged.withdrawn,
        "doubts": [asked(likes.doubt(doubt)) for doubt in logged.entry.doubts],
        "history": list(said_of(logged, likes)),
        "photos": [each.media for each in logged.attachments if each.role == PHOTO],
    }


def _refused(problem: Problem) -> Response:
    """A refusal as a page that a person can read."""
    page = render_template("visit_over.html", title=KINDS[problem.kind][1], why=problem.detail)
    response = make_response(page, problem.status)
    response.headers.update(problem.headers)
    return _dressed(response)


def _dressed(response: Response) -> Response:
    response.headers.setdefault("Content-Security-Policy", PAGE)
    response.headers["X-Robots-Tag"] = ROBOTS
    response.headers["Cache-Control"] = "no-store"
    return response


def blueprints(shop: Shop, books: Books, visits: Visits, records: Records) -> tuple[Blueprint, Blueprint]:
    """The visitor's routes and the desk's."""
    here, pages = VisitRoutes(books, visits, records, shop.log.media), Blueprint("visit", __name__)
    pages.register_error_handler(Problem, _refused)
    pages.add_url_rule("/visit/<token>", "page", here.page)
    pages.add_url_rule("/visit/<token>/photo/<address>", "photo", here.photo)
    pages.add_url_rule("/visit/<token>/record.pdf", "pdf", here.pdf)
    desk, desk_pages = VisitDesk(shop, books, visits), Blueprint("visits", __name__)
    desk_pages.add_url_rule("/api/desk/visits", "listed", desk.listed)
    desk_pages.add_url_rule("/api/desk/visits", "open", desk.open, methods=["POST"])
    desk_pages.add_url_rule("/api/desk/visits/<visit_id>", "revoke", desk.revoke, methods=["DELETE"])
    return pages, desk_pages
