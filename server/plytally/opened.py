"""A data folder opened for one command."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import click

from plytally.workshop.bench import Bench


@contextmanager
def opened(data: Path) -> Iterator[Bench]:
    """The bench in a data folder; what was mended on opening is told on stderr."""
    with Bench.open(data) as bench:
        for remark in bench.log.remarks:
            click.echo(f"plytally: {remark}", err=True)
        yield bench
