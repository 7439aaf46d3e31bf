"""The builder's stock list, kept among the documents; what counts is the list given last."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

import yaml

from plytally.core.stock import Stock, StockError, stock_from_json
from plytally.core.wall import Wall
from plytally.store.documents import Documents

TABLE = "stock"
MOST_BYTES = 256 * 1024


def stock_from_yaml(text: str) -> Stock:
    """A stock list as a builder writes it; StockError tells all that is wrong with it."""
    return stock_from_json(_plain(text))


def take_stock(documents: Documents, text: str, when: Wall) -> Stock:
    """Make this list the one that counts. StockError, and nothing is changed, if it cannot be used."""
    stock = stock_from_yaml(text)
    with documents.table(TABLE) as table:
        table.truncate()
        table.insert({"list": _plain(text), "taken": str(when)})
    return stock


def stock_in(rows: Sequence[Mapping[str, Any]]) -> Stock:
    """The list that counts, from the rows of its table; an empty one where none was given."""
    return stock_from_json(rows[-1]["list"]) if rows else Stock()


def _plain(text: str) -> Any:
    """YAML with every value as text: "4471" stays a batch, 2026-09-30 a day."""
    if len(text) > MOST_BYTES:
        raise StockError([f"a stock list takes at most {MOST_BYTES} bytes, this one {len(text)}"])
    try:
        return yaml.load(text, yaml.BaseLoader) or {}  # noqa: S506 - the base loader makes texts alone
    except (yaml.YAMLError, RecursionError) as problem:
        raise StockError([f"the stock list cannot be read as YAML: {problem}"]) from problem
