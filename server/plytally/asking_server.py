"""Asking the server that runs on a data folder, as this user's own program."""

from __future__ import annotations

import json
import urllib.error
import urllib.request
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import click

from plytally.web.serving_file import SERVING

ANSWER_WITHIN_S = 10


class NotServing(click.ClickException):
    """A command that needs a running server, and there is none on this folder."""


def serving_at(data: Path) -> dict[str, Any] | None:
    """Where the server on this folder is, None if none runs; one that says it is ailing runs."""
    path = data / SERVING
    if not path.is_file():
        return None
    serving: dict[str, Any] = json.loads(path.read_text())
    try:
        ask_server(serving, "GET", "/health")
    except NotServing:
        return None
    except click.ClickException:
        return serving
    return serving


def ask_server(
    serving: Mapping[str, Any], method: str, path: str, body: Mapping[str, Any] | None = None
) -> dict[str, Any]:
    """Ask the running server as this user's own program; NotServing, or its refusal as a ClickException."""
    content = None if body is None else json.dumps(body).encode()
    headers = {"Authorization": f"Bearer {serving['key']}", "Content-Type": "application/json"}
    request = urllib.request.Request(serving["desk"] + path, content, headers, method=method)  # noqa: S310
    try:
        with urllib.request.urlopen(request, timeout=ANSWER_WITHIN_S) as answer:  # noqa: S310
            content = answer.read()
    except urllib.error.HTTPError as problem:
        raise click.ClickException(_why(problem)) from problem
    except (urllib.error.URLError, TimeoutError) as problem:
        raise NotServing(f"no server answers at {serving['desk']}") from problem
    told: dict[str, Any] = json.loads(content) if content else {}
    return told


def _why(problem: urllib.error.HTTPError) -> str:
    """The server's own words for a refusal, or its number."""
    try:
        return str(json.loads(problem.read())["detail"])
    except (ValueError, KeyError):
        return f"the server answered {problem.code}; its page /health says how it is"
