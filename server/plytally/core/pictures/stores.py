"""Resin and cloth used, by the log, against the builder's stock list; batches near or past their day."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date

from plytally.core.answering import dated
from plytally.core.history import Logged
from plytally.core.likes import USUAL, Likes
from plytally.core.pictures.bars import Row, bars
from plytally.core.pictures.drawing import Figure, Table
from plytally.core.quantities import Quantity
from plytally.core.stock import Item, Stock, added
from plytally.core.telling import place_told

SOON_DAYS = 30
NO_BATCH = "batch not said"
NO_STOCK = (
    "no stock list yet; write one (docs/record.md shows how) and give it with: plytally stock FILE.yaml"
)
MAKER = "the maker's own date and storage rules decide whether a batch may be used"
RESIN_HEAD = ("resin", "batch", "mixed", "in doubt", "in stock at first", "left", "good until")
CLOTH_HEAD = (
    "cloth",
    "batch",
    "plies laid",
    "plies in doubt",
    "area laid",
    "in stock at first",
    "left",
    "good until",
)


@dataclass(slots=True)
class _Use:
    """What the log says of one name and batch."""

    sure: list[Quantity] = field(default_factory=list)
    doubtful: list[Quantity] = field(default_factory=list)
    plies: int = 0
    plies_in_doubt: int = 0
    no_area: set[str] = field(default_factory=set)
    days: list[str] = field(default_factory=list)


Key = tuple[str, str]


def stores_figures(
    entries: Iterable[Logged], stock: Stock, today: str, likes: Likes = USUAL
) -> tuple[Figure, Figure]:
    """Resin and cloth; `today` is a day such as "2026-03-14". Withdrawn entries do not count."""
    counting = [logged for logged in entries if logged.withdrawn is None]
    return _resin(counting, stock, today, likes), _cloth(counting, stock, today, likes)


def used_figures(entries: Iterable[Logged], stock: Stock, likes: Likes = USUAL) -> tuple[Figure, ...]:
    """What some entries used, without what is in stock and left: only all of the log can say that."""
    return tuple(
        replace(
            figure,
            table=Table(figure.title, figure.table.head[:-3], tuple(row[:-3] for row in figure.table.rows)),
            remarks=tuple(remark for remark in figure.remarks if remark not in (NO_STOCK, MAKER)),
        )
        for figure in stores_figures(entries, Stock(areas=stock.areas), "", likes)
    )


def _resin(entries: Sequence[Logged], stock: Stock, today: str, likes: Likes) -> Figure:
    uses: dict[Key, _Use] = {}
    for logged in entries:
        mass = logged.entry.fields.get("mass")
        if logged.entry.kind == "mixed" and isinstance(mass, Quantity):
            use = uses.setdefault(_key(logged, "resin"), _Use())
            (use.doubtful if dated(logged).in_doubt else use.sure).append(mass)
            use.days.append(logged.wall[:10])
    rows, drawn, remarks = list[tuple[str, ...]](), list[Row](), list[str]()
    for key, item, use in _beside(uses, stock.resin):
        used, doubt = added(use.sure, "g"), added(use.doubtful, "g")
        left = _left(item, use.sure, "g")
        cells = (
            likes.total(used),
            likes.total(doubt) if use.doubtful else "",
            *_stocked(item, left, likes),
        )
        rows.append((key[0] or "resin not said", key[1] or NO_BATCH, *cells))
        drawn.append(_bar(key, used, doubt, left, likes))
        remarks += _expiry(key, item, use, today, likes)
    return _figure("resin mixed", RESIN_HEAD, rows, drawn, (*_lacking(stock.resin), *remarks))


def _cloth(entries: Sequence[Logged], stock: Stock, today: str, likes: Likes) -> Figure:
    uses: dict[Key, _Use] = {}
    for logged in entries:
        plies = logged.entry.fields.get("plies")
        if logged.entry.kind == "laid" and isinstance(plies, int):
            _lay(uses.setdefault(_key(logged, "material"), _Use()), logged, plies, stock)
    rows, drawn, remarks = list[tuple[str, ...]](), list[Row](), list[str]()
    for key, item, use in _beside(uses, stock.cloth):
        area, left = added(use.sure, "m2"), None if use.no_area else _left(item, use.sure, "m2")
        told = "not known" if use.no_area else likes.total(area)
        cells = (str(use.plies), str(use.plies_in_doubt or ""), told, *_stocked(item, left, likes))
        rows.append((key[0] or "cloth not said", key[1] or NO_BATCH, *cells))
        drawn.append(Row(_named(key), (("used", use.plies),), f"{use.plies} plies"))
        remarks += _expiry(key, item, use, today, likes)
        if use.no_area and stock.cloth:
            faces = "; ".join(sorted(use.no_area))
            remarks.append(f"{_named(key)}: the stock list has no area of one ply for: {faces}")
    return _figure("cloth laid", CLOTH_HEAD, rows, drawn, (*_lacking(stock.cloth), *remarks))


def _lay(use: _Use, logged: Logged, plies: int, stock: Stock) -> None:
    place = logged.entry.place
    use.days.append(logged.wall[:10])
    if dated(logged).in_doubt:
        use.plies_in_doubt += plies
        return
    use.plies += plies
    area = stock.area(place)
    if area is None:
        use.no_area.add(place_told(replace(place, side="")))
    else:
        use.sure += [area] * plies


def _beside(uses: dict[Key, _Use], items: Sequence[Item]) -> Iterator[tuple[Key, Item | None, _Use]]:
    """Each name and batch used or in stock, with both."""
    stocked = {(item.name, item.batch): item for item in items}
    for key in dict.fromkeys((*sorted(uses), *stocked)):
        yield key, stocked.get(key), uses.get(key, _Use())


def _key(logged: Logged, name: str) -> Key:
    fields = logged.entry.fields
    return str(fields.get(name, "")), str(fields.get("batch", ""))


def _named(key: Key) -> str:
    return f"{key[0] or 'not said'}, {f'batch {key[1]}' if key[1] else NO_BATCH}"


def _left(item: Item | None, used: list[Quantity], unit: str) -> Quantity | None:
    if item is None:
        return None
    gone, had = added(used, unit), added([item.amount], unit)
    return Quantity(had.amount - gone.amount, gone.unit).to(item.amount.unit)


def _stocked(item: Item | None, left: Quantity | None, likes: Likes) -> tuple[str, str, str]:
    if item is None:
        return "not on the list", "", ""
    good_until = likes.day(item.expires) if item.expires else "not on the list"
    return likes.total(item.amount), likes.total(left) if left else "not known", good_until


def _expiry(key: Key, item: Item | None, use: _Use, today: str, likes: Likes) -> Iterator[str]:
    if item is None or not item.expires:
        return
    late = sorted(day for day in use.days if day > item.expires)
    if late:
        last, until = likes.day(late[-1]), likes.day(item.expires)
        yield f"{_named(key)} was good until {until} and was used after it, last on {last}"
    days = (date.fromisoformat(item.expires) - date.fromisoformat(today)).days
    if days < 0:
        yield f"{_named(key)} is past its day, {likes.day(item.expires)}"
    elif days <= SOON_DAYS:
        yield f"{_named(key)} is good until {likes.day(item.expires)}, {days} more days"


def _lacking(items: Sequence[Item]) -> tuple[str, ...]:
    return () if items else (NO_STOCK,)


def _bar(key: Key, used: Quantity, doubt: Quantity, left: Quantity | None, likes: Likes) -> Row:
    rest = max(0.0, float(left.to("g").amount)) if left else 0.0
    told = f"{likes.total(used)} mixed"
    told += f", {likes.total(doubt)} in doubt" if doubt.amount else ""
    told += f", {likes.total(left)} left" if left else ""
    pieces = (("used", float(used.amount)), ("doubt", float(doubt.amount)), ("left", rest))
    return Row(_named(key), pieces, told)


def _figure(
    title: str, head: tuple[str, ...], rows: list[tuple[str, ...]], drawn: list[Row], remarks: tuple[str, ...]
) -> Figure:
    marks = ("used", "doubt", "left") if any(len(row.pieces) > 1 for row in drawn) else ()
    drawing = bars(title, drawn, marks) if rows else None
    nothing = () if rows else (f"no {title.split()[0]} is noted yet",)
    return Figure(title, drawing, Table(title, head, tuple(rows)), (*nothing, *remarks, MAKER))
