"""The first page a phone sees: how to trust this shop's certificate, and the code to pair with."""

from __future__ import annotations

from dataclasses import dataclass

from flask import Blueprint, Response, make_response, render_template

from plytally.web.headers import PAGE
from plytally.web.problem import Problem
from plytally.web.tls import Authority


@dataclass(frozen=True)
class Install:
    """The routes of the install page; `authority` is None while only this machine is served."""

    authority: Authority | None

    def page(self) -> Response:
        """How to trust this shop, and how to pair."""
        mark = self.authority.fingerprint if self.authority else ""
        response = make_response(render_template("install.html", fingerprint=grouped(mark)))
        response.headers["Content-Security-Policy"] = PAGE
        return response

    def certificate(self) -> Response:
        """The authority's certificate, as a file that phones offer to install."""
        if self.authority is None:
            raise Problem(
                "not-found", "this shop serves its own machine only; start it with --lan for phones"
            )
        response = Response(self.authority.pem, content_type="application/x-x509-ca-cert")
        response.headers["Content-Disposition"] = 'attachment; filename="plytally-shop.crt"'
        return response


def grouped(fingerprint: str) -> str:
    """A fingerprint in eight groups of eight, for people to compare.

    >>> grouped("00112233445566778899aabbccddeeff" * 2)[:26]
    '00112233 44556677 8899aabb'
    """
    return " ".join(fingerprint[at : at + 8] for at in range(0, len(fingerprint), 8))


def blueprint(authority: Authority | None) -> Blueprint:
    """The routes, bound to one authority."""
    here, pages = Install(authority), Blueprint("install", __name__)
    pages.add_url_rule("/install", "page", here.page)
    pages.add_url_rule("/install/shop.crt", "certificate", here.certificate)
    return pages
