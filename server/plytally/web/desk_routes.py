"""The desk's own calls: sign in and out, change the passphrase, settings."""

from __future__ import annotations

from dataclasses import dataclass

import structlog
from flask import Blueprint, Response, jsonify, make_response, request

from plytally.web.access import COOKIE, SECURE_COOKIE, caller
from plytally.web.desk import Desk, PassphraseError
from plytally.web.problem import Problem
from plytally.web.schemas import ChangePassphrase, Settings, SignIn, load

log = structlog.get_logger(__name__)


@dataclass(frozen=True)
class DeskRoutes:
    """The routes of the desk."""

    desk: Desk

    def sign_in(self) -> Response:
        """Begin a session: the cookie, and the token that our pages send with each change."""
        secret, session = self.desk.sign_in(load(SignIn)["passphrase"])
        log.info("desk_signed_in")
        response = make_response(jsonify(csrf=session.csrf), 201)
        secure = request.is_secure
        response.set_cookie(
            SECURE_COOKIE if secure else COOKIE,
            secret,
            secure=secure,
            httponly=True,
            samesite="Strict",
            path="/",
        )
        return response

    def session(self) -> Response:
        """Whether this browser is signed in, and its token."""
        session = caller().session
        return jsonify(csrf=session.csrf if session else None)

    def sign_out(self) -> Response:
        """End this browser's session."""
        session = caller().session
        if session is not None:
            self.desk.sign_out(session)
        response = make_response("", 204)
        response.delete_cookie(SECURE_COOKIE if request.is_secure else COOKIE, secure=request.is_secure)
        return response

    def change_passphrase(self) -> tuple[str, int]:
        """Another passphrase; every session ends, this one too."""
        asked = load(ChangePassphrase)
        if caller().session is not None and not self.desk.opens(asked["current"]):
            raise Problem("wrong-passphrase", "'current' is not the desk's passphrase; nothing was changed")
        try:
            self.desk.set_passphrase(asked["fresh"])
        except PassphraseError as problem:
            wrong = [{"field": "fresh", "why": str(problem)}]
            raise Problem("invalid", str(problem), errors=wrong) from problem
        log.info("passphrase_changed")
        return "", 204

    def settings(self) -> Response:
        """Every setting."""
        return jsonify(self.desk.settings)

    def change_settings(self) -> Response:
        """Change those given."""
        for name, value in load(Settings).items():
            self.desk.set(name, value)
        return self.settings()


def blueprint(desk: Desk) -> Blueprint:
    """The routes, bound to one desk."""
    here, pages = DeskRoutes(desk), Blueprint("desk", __name__)
    session = "/api/desk/session"
    pages.add_url_rule(session, "sign_in", here.sign_in, methods=["POST"])
    pages.add_url_rule(session, "session", here.session)
    pages.add_url_rule(session, "sign_out", here.sign_out, methods=["DELETE"])
    pages.add_url_rule("/api/desk/passphrase", "change_passphrase", here.change_passphrase, methods=["PUT"])
    pages.add_url_rule("/api/desk/settings", "settings", here.settings)
    pages.add_url_rule("/api/desk/settings", "change_settings", here.change_settings, methods=["PATCH"])
    return pages
