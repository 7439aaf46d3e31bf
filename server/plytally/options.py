"""Options that several commands share."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar

import click

Command = TypeVar("Command", bound=Callable[..., Any])


def data_option(command: Command) -> Command:
    """The folder that holds the log."""
    return click.option(
        "--data",
        type=click.Path(path_type=Path, file_okay=False),
        envvar="PLYTALLY_DATA",
        default=Path.home() / "plytally",
        show_default="~/plytally",
        show_envvar=True,
        help="The folder that holds the log.",
    )(command)


def sound_alone_option(command: Command) -> Command:
    """Whether the log and the print may speak for one hearing rather than another."""
    return click.option(
        "--by-sound-alone",
        is_flag=True,
        envvar="PLYTALLY_BY_SOUND_ALONE",
        show_envvar=True,
        help="Hear without regard to the part at work and to what the print asks there.",
    )(command)


def engine_options(command: Command) -> Command:
    """Which recogniser hears."""
    model = click.option(
        "--model",
        type=click.Path(path_type=Path),
        envvar="PLYTALLY_VOSK_MODEL",
        show_envvar=True,
        help="A folder with a Vosk model; see models_readme.",
    )
    engine = click.option(
        "--engine",
        type=click.Choice(["best", "sphinx", "vosk"]),
        default="best",
        show_default=True,
        help="'best' is vosk where a model is in place, else the embedded sphinx.",
    )
    return model(engine(command))
