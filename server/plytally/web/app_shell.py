"""The phone's app and the desk's page: the built files in `app/`, each with how long it may be kept.

What carries a hash or a version in its path never changes and is kept for ever; the page, the service worker
and the manifest are asked for anew each time. Without a build, `/` leads to the install page.
"""

from __future__ import annotations

from pathlib import Path

from flask import Blueprint, redirect, request, send_from_directory, url_for
from werkzeug.wrappers import Response

from plytally.web.problem import Problem

BUILT = Path(__file__).with_name("app")
FOR_EVER = ("assets/", "engine/")
POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; style-src 'self'; "
    "img-src 'self' blob:; media-src 'self' blob:; connect-src 'self'; manifest-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
ITS_OWN = {
    # Vosk's worker makes its glue with Function(); it sees sound and nothing else, and only it may.
    "vosk.worker.js": POLICY.replace("'wasm-unsafe-eval'", "'wasm-unsafe-eval' 'unsafe-eval'"),
}
TYPES = {
    ".webmanifest": "application/manifest+json",
    ".mjs": "text/javascript",
    ".js": "text/javascript",
    ".wasm": "application/wasm",
}


def front() -> Response:
    """The app's page; the install page where no app was built."""
    if not (BUILT / "index.html").exists():
        return redirect(url_for("install.page"))
    return file("index.html")


def desk() -> Response:
    """The desk's page, which tells nothing by itself; the install page where no app was built."""
    return file("desk.html") if (BUILT / "desk.html").exists() else redirect(url_for("install.page"))


def file(name: str) -> Response:
    """One file of the app, by a path that the rules below let through."""
    if not (BUILT / name).is_file():
        raise Problem("not-found", f"the app has no file {request.path!r}")
    response = send_from_directory(BUILT, name, conditional=True, etag=True)
    if kind := TYPES.get(Path(name).suffix):
        response.headers["Content-Type"] = kind
    lasting = name.startswith(FOR_EVER)
    response.headers["Cache-Control"] = "public, max-age=31536000, immutable" if lasting else "no-cache"
    response.headers["Content-Security-Policy"] = ITS_OWN.get(Path(name).name, POLICY)
    return response


def inside(folder: str, rest: str) -> Response:
    """A file in one of the app's folders."""
    return file(f"{folder}/{rest}")


def blueprint() -> Blueprint:
    """The routes."""
    pages = Blueprint("app_shell", __name__)
    pages.add_url_rule("/", "front", front)
    pages.add_url_rule("/desk", "desk", desk)
    for name in ("sw.js", "manifest.webmanifest", "licences.txt"):
        pages.add_url_rule(f"/{name}", "file", file, defaults={"name": name})
    pages.add_url_rule("/<any(assets, engine, icons):folder>/<path:rest>", "inside", inside)
    return pages
