"""A group of commands that are loaded when they are called: a typed note need not wait for the web server."""

from __future__ import annotations

from collections.abc import Mapping
from importlib import import_module
from typing import Any

import click

HELP_AT_MOST = 400  # a command's first sentence whole; the list of commands would cut it


class LateGroup(click.Group):
    """Commands by name; those of `homes` stand at "module:attribute" and are imported when first asked for.

    The list of commands (`--help`) tells of all and so loads all.
    """

    def __init__(self, *args: Any, homes: Mapping[str, str] | None = None, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.homes = homes or {}

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The names of all commands, sorted."""
        return sorted({*super().list_commands(ctx), *self.homes})

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name, None if there is none."""
        if cmd_name not in self.commands and cmd_name in self.homes:
            module, _, attribute = self.homes[cmd_name].partition(":")
            self.add_command(getattr(import_module(module), attribute), cmd_name)
        found = super().get_command(ctx, cmd_name)
        if found is not None:
            found.short_help = found.get_short_help_str(limit=HELP_AT_MOST)
        return found

    def all_commands(self) -> dict[str, click.Command]:
        """Every command by its name, loaded."""
        ctx = click.Context(self)
        found = {name: self.get_command(ctx, name) for name in self.list_commands(ctx)}
        return {name: command for name, command in found.items() if command is not None}
