"""The server's own log: one JSON object an event, on standard error.

An event carries names, counts and ids; never what was said, a name of a person, a token or a code. Each
request has an id that stands in every event about it and goes back in `X-Request-Id`.
"""

from __future__ import annotations

import logging
import sys
from collections.abc import Callable
from typing import TextIO

import structlog
from flask import Flask, Response, g, request

from plytally.clock import Clock
from plytally.core.clock import uuid7

log = structlog.get_logger(__name__)


def configure(stream: TextIO | None = None) -> None:
    """Write events as JSON Lines to `stream` (standard error by default), other libraries' warnings too."""
    out = stream or sys.stderr
    structlog.configure(
        processors=[
            structlog.contextvars.merge_contextvars,
            structlog.processors.add_log_level,
            structlog.processors.TimeStamper(fmt="iso", utc=True, key="at"),
            structlog.processors.JSONRenderer(),
        ],
        wrapper_class=structlog.make_filtering_bound_logger(logging.INFO),
        logger_factory=structlog.WriteLoggerFactory(out),
        cache_logger_on_first_use=False,
    )
    forward = _Forward()
    logging.basicConfig(handlers=[forward], level=logging.WARNING, force=True)


class _Forward(logging.Handler):
    """Other libraries' warnings as events: who warned and how often matters, their words may be private."""

    def emit(self, record: logging.LogRecord) -> None:
        log.warning("library_warned", library=record.name, where=f"{record.module}:{record.lineno}")


def register(app: Flask, clock: Clock, ticks: Callable[[], float]) -> None:
    """Give each request an id, and tell of each answer: method, rule, status, milliseconds, who."""

    @app.before_request
    def begin() -> None:
        g.request_id = uuid7(clock.now_millis(), clock.random_bits())
        g.begun = ticks()
        structlog.contextvars.clear_contextvars()
        structlog.contextvars.bind_contextvars(request=g.request_id)

    @app.after_request
    def tell(response: Response) -> Response:
        response.headers["X-Request-Id"] = g.request_id
        log.info(
            "answered",
            method=request.method,
            rule=request.url_rule.rule if request.url_rule else None,
            status=response.status_code,
            ms=round((ticks() - g.begun) * 1000),
            who=g.get("who"),
            problem=g.get("problem"),
        )
        return response
