"""The description of every route, as OpenAPI 3.1: written by hand in `openapi.yaml`, held against the app."""

from __future__ import annotations

from importlib.resources import files

from flask import Blueprint, Response

TEXT = files(__package__).joinpath("openapi.yaml").read_text("utf-8")


def document() -> Response:
    """The description, as YAML (RFC 9512)."""
    return Response(TEXT, content_type="application/yaml")


def blueprint() -> Blueprint:
    """The route."""
    pages = Blueprint("openapi", __name__)
    pages.add_url_rule("/api/openapi.yaml", "document", document)
    return pages
