"""Sums of pieces, exact: which totals a handful of pieces can make, and the fewest pieces that make one.

Sizes are whole numbers of a common grain. A set of totals is one long integer, bit t set where t can be made,
so that adding a piece is a shift: 12 kinds of 8 pieces make 9^12 handfuls, but only so many totals.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

Sizes = Sequence[int]
Counts = Sequence[int]
_SPARE = 2  # pieces looked for beyond the fewest that could reach; doubled until a handful is found


def nearest_totals(sizes: Sizes, counts: Counts, aim: int) -> tuple[int, ...]:
    """The totals nearest to `aim` that can be made of at least one piece: one, or two equally far from it."""
    totals = _all_totals(sizes, counts, aim + max(sizes)) & ~1
    below = (totals & ((1 << (aim + 1)) - 1)).bit_length() - 1
    above = aim + _lowest(totals >> aim)
    found = [total for total in (below, above) if total >= 1 and totals >> total & 1]
    least = min(abs(total - aim) for total in found)
    return tuple(sorted({total for total in found if abs(total - aim) == least}))


def fewest_pieces(sizes: Sizes, counts: Counts, low: int, high: int, aim: int) -> tuple[int, ...] | None:
    """How many of each size make a total from `low` to `high`, both included; None if nothing does.

    Fewest pieces first; then nearest to `aim`, below rather than above; then as many as can be of the
    kinds listed last.
    """
    low = max(low, 1)
    if low > high or not _all_totals(sizes, counts, high) >> low:
        return None
    spare, fewest = _SPARE, _thickest_first(sizes, counts, low)
    while True:
        levels = _levels(sizes, counts, high, min(fewest + spare, sum(counts)))
        for pieces, totals in enumerate(levels[-1]):
            if totals >> low:
                return _retrace(sizes, counts, levels, pieces, _nearest(totals, low, aim))
        spare *= 2


def _thickest_first(sizes: Sizes, counts: Counts, low: int) -> int:
    """How many pieces it takes at the very least to reach `low`."""
    pieces = 0
    for size, count in sorted(zip(sizes, counts, strict=True), reverse=True):
        taken = min(count, -(-low // size))
        pieces, low = pieces + taken, low - taken * size
        if low <= 0:
            break
    return pieces


def _all_totals(sizes: Sizes, counts: Counts, limit: int) -> int:
    mask, totals = (1 << (limit + 1)) - 1, 1
    for size, count in zip(sizes, counts, strict=True):
        for bundle in _bundles(min(count, limit // size)):
            totals |= totals << bundle * size & mask
    return totals


def _levels(sizes: Sizes, counts: Counts, limit: int, cap: int) -> list[list[int]]:
    """After each kind, the totals that exactly 0, 1 … `cap` pieces make."""
    mask = (1 << (limit + 1)) - 1
    levels = [[1] + [0] * cap]
    for size, count in zip(sizes, counts, strict=True):
        now = levels[-1].copy()
        for bundle in _bundles(min(count, cap, limit // size)):
            for pieces in range(cap, bundle - 1, -1):
                if now[pieces - bundle]:
                    now[pieces] |= now[pieces - bundle] << bundle * size & mask
        levels.append(now)
    return levels


def _bundles(count: int) -> Iterator[int]:
    """Bundles of pieces that together make every number from 0 to `count`: 8 -> 1, 2, 4, 1."""
    bundle = 1
    while count:
        taken = min(bundle, count)
        yield taken
        count, bundle = count - taken, 2 * bundle


def _nearest(totals: int, low: int, aim: int) -> int:
    """The total nearest to `aim` among those from `low` up."""
    below = (totals & ((1 << (aim + 1)) - 1)).bit_length() - 1
    above = aim + _lowest(totals >> aim)
    if below < low:
        return above
    return above if above - aim < aim - below and totals >> above & 1 else below


def _lowest(bits: int) -> int:
    """Place of the lowest bit that is set; 0 where none is."""
    return max(0, (bits & -bits).bit_length() - 1)


def _retrace(
    sizes: Sizes, counts: Counts, levels: list[list[int]], pieces: int, total: int
) -> tuple[int, ...]:
    """Follow a total back through the kinds, taking as few of each earlier one as will do."""
    taken = [0] * len(sizes)
    for kind in range(len(sizes) - 1, -1, -1):
        before = levels[kind]
        for number in range(min(counts[kind], pieces, total // sizes[kind]), -1, -1):
            if before[pieces - number] >> (total - number * sizes[kind]) & 1:
                taken[kind] = number
                pieces, total = pieces - number, total - number * sizes[kind]
                break
    return tuple(taken)
