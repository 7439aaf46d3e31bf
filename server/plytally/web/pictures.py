"""The desk's pictures: each is made from the log as it is now, with the table that says the same.

GET /api/desk/pictures              the parts there are, and the whole build
GET /api/desk/pictures/part         ?part=&side=: its faces
GET /api/desk/pictures/work         hours and days
GET /api/desk/pictures/stores       resin and cloth
"""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, jsonify, request

from plytally.core.entry import Place
from plytally.core.hours import hours
from plytally.core.pictures.build import build_figure
from plytally.core.pictures.faces import part_figures, steps_figure
from plytally.core.pictures.stores import stores_figures
from plytally.core.pictures.work import days_figure, hours_figures
from plytally.core.telling import place_told
from plytally.web.books import Books, figure_json
from plytally.web.problem import Problem
from plytally.web.record_shapes import places_of


@dataclass(frozen=True)
class PictureRoutes:
    """The routes of pictures."""

    books: Books

    def overview(self) -> Response:
        """Every part and side of the print, and how far the whole build is."""
        with self.books.open() as content:
            parts = [
                {"part": place.part, "side": place.side, "told": place_told(place)}
                for place in places_of(content.schedule)
            ]
            return jsonify(
                aircraft=content.schedule.aircraft,
                revision=content.schedule.revision,
                parts=parts,
                figures=[figure_json(build_figure(content.ledger))],
            )

    def part(self) -> Response:
        """The faces of one part on one side."""
        place = Place(request.args.get("part", ""), request.args.get("side", ""))
        with self.books.open() as content:
            if place not in places_of(content.schedule):
                raise Problem("not-found", "the print has no such part and side; the list has them all")
            likes = self.books.likes
            other = steps_figure(content.ledger, place, likes)
            figures = [*part_figures(content.ledger, place, likes=likes), *([other] if other else [])]
            return jsonify(told=place_told(place), figures=[figure_json(figure) for figure in figures])

    def work(self) -> Response:
        """Hours by part, category and week, and the days worked."""
        state = self.books.bench.log.state
        worked = hours(state.order)
        likes = self.books.likes
        figures = (*hours_figures(worked, likes), days_figure(state.order, worked, likes))
        return jsonify(figures=[figure_json(figure) for figure in figures])

    def stores(self) -> Response:
        """Resin and cloth, used and in stock."""
        state, today = self.books.bench.log.state, str(self.books.bench.now())[:10]
        figures = stores_figures(state.order, self.books.stock, today, self.books.likes)
        return jsonify(figures=[figure_json(figure) for figure in figures])


def blueprint(books: Books) -> Blueprint:
    """The routes, bound to one shop."""
    here, pages = PictureRoutes(books), Blueprint("pictures", __name__)
    pages.add_url_rule("/api/desk/pictures", "overview", here.overview)
    pages.add_url_rule("/api/desk/pictures/part", "part", here.part)
    pages.add_url_rule("/api/desk/pictures/work", "work", here.work)
    pages.add_url_rule("/api/desk/pictures/stores", "stores", here.stores)
    return pages
