"""The app: the one place where the rooms of the web are wired together."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Flask

from plytally.web import (
    access,
    app_shell,
    bodies,
    calls,
    carry,
    clocks,
    day,
    desk_routes,
    find,
    headers,
    health,
    install,
    logs,
    media,
    openapi,
    pairing,
    phone_model,
    pictures,
    print_copy,
    print_desk,
    problem,
    records,
    sync,
    tus,
    visit_routes,
    voices,
)
from plytally.web.books import Books
from plytally.web.buckets import Buckets
from plytally.web.carry_jobs import Carrier
from plytally.web.codes import Codes
from plytally.web.desk import Desk
from plytally.web.phones import Phones
from plytally.web.record_jobs import Records
from plytally.web.record_photos import small_photos
from plytally.web.shop import Shop
from plytally.web.uploads import Uploads
from plytally.web.visits import Visits
from plytally.workshop.bench import Bench
from plytally.workshop.clock_desk import ClockDesk
from plytally.workshop.desk import DeskWork
from plytally.workshop.finding import Finder
from plytally.workshop.print_desk import PrintDesk

_WIRED = "plytally"


@dataclass(frozen=True)
class Wired:
    """What an app holds besides its routes, for whoever serves it."""

    phones: Phones
    desk: Desk
    codes: Codes
    uploads: Uploads
    bench: Bench
    finder: Finder
    visits: Visits


def wired(app: Flask) -> Wired:
    """What `create_app` made for this app."""
    found: Wired = app.extensions[_WIRED]
    return found


def create_app(shop: Shop) -> Flask:
    """The WSGI app of one shop. Nothing is shared with another app in the same process.

    LookupError if a route has no row in `access.ROUTES`.
    """
    app = Flask("plytally.web")
    app.config["PROVIDE_AUTOMATIC_OPTIONS"] = False
    documents = shop.log.documents
    phones, desk, codes = Phones(documents, shop.clock), Desk(documents, shop.clock), Codes(shop.ticks)
    uploads = Uploads(shop.log.folder / "uploads", shop.log.media, shop.clock)
    bench = shop.bench or Bench(shop.log, shop.clock)
    finder = Finder(bench)
    books, visits = Books(bench, lambda: desk.likes), Visits(documents, shop.clock)
    made = Records(books.apart, small_photos(shop.log.media))
    logs.register(app, shop.clock, shop.ticks)
    problem.register(app)
    headers.register(app, shop.names)
    access.register(app, access.Gate(phones, desk, Buckets(shop.ticks), shop.local_key, visits))
    bodies.register(app)
    for pages in (
        health.blueprint(shop, uploads),
        openapi.blueprint(),
        app_shell.blueprint(),
        install.blueprint(shop.authority),
        print_copy.blueprint(shop, desk),
        phone_model.blueprint(shop),
        calls.blueprint(shop),
        clocks.blueprint(shop, ClockDesk(bench), desk, phones),
        pairing.blueprint(shop, phones, codes),
        desk_routes.blueprint(desk),
        find.blueprint(finder, desk),
        day.blueprint(DeskWork(bench, shop.hear_again), desk, phones),
        print_desk.blueprint(PrintDesk(bench, lambda: desk.likes)),
        sync.blueprint(shop.log, phones, shop.clock),
        tus.blueprint(uploads),
        media.blueprint(shop.log.media, desk),
        pictures.blueprint(books),
        records.blueprint(books, made),
        voices.blueprint(shop, bench, phones),
        carry.blueprint(Carrier(bench)),
        *visit_routes.blueprints(shop, books, visits, made),
    ):
        app.register_blueprint(pages)
    access.check_rows(app)
    app.extensions[_WIRED] = Wired(phones, desk, codes, uploads, bench, finder, visits)
    return app
