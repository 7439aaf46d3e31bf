"""How long the ledger takes wherever Python runs; ledger_on_phone.py calls `run`, here and in Pyodide."""

import gc
import json
import platform
from time import perf_counter

from plytally.core.checking import check_new
from plytally.core.crediting import Dated
from plytally.core.entry import Entry, Place
from plytally.core.findings import findings
from plytally.core.ledger import Ledger
from plytally.core.order_of_work import OrderOfWork
from plytally.core.quantities import parse_quantity
from plytally.core.schedule_reading import schedule_from_json
from plytally.core.shop.stack import SpacerKind, pick_spacer

NOW = "2026-06-01T10:00:00+02:00"


def best(act, rounds=5):
    """The least of several rounds, in milliseconds."""
    found = []
    for _ in range(rounds):
        gc.collect()
        begun = perf_counter()
        kept = act()
        found.append((perf_counter() - begun) * 1000)
        del kept
    return round(min(found), 3)


def run(given):
    """`given` holds `print` and `log`; milliseconds by what was measured."""
    asked = json.loads(given)
    schedule = schedule_from_json(asked["print"])
    log = [Dated(each[0], each[1], Entry.from_json(each[2])) for each in asked["log"]]

    def whole():
        ledger = Ledger(schedule, log)
        ledger.tallies()
        return ledger

    told = {"python": platform.python_version(), "the print laid out": best(lambda: Ledger(schedule))}
    told["whole ledger, collector on"] = best(whole, 3)
    gc.freeze()
    told["whole ledger, what was there before frozen"] = best(whole, 3)
    gc.disable()
    told["whole ledger, collector at rest"] = best(whole, 3)
    ledger = whole()
    gc.enable()
    last, numbers = log[-1].entry, iter(range(1_000_000))

    def more():
        for _ in range(100):
            check_new(ledger, last, NOW)
            ledger.add(Dated(f"z{next(numbers):06}", NOW, last))
            ledger.tallies(Place(last.fields["part"], last.fields["side"]))

    told["one more entry"] = round(best(more, 3) / 100, 3)
    part = Place("part 299", "right")
    told["left off, one part"] = best(lambda: ledger.left_off(part))
    told["left off, whole print"] = best(ledger.left_off)
    gc.freeze()
    told["left off, whole print, ledger frozen"] = best(ledger.left_off)
    told["snags, whole print"] = best(lambda: findings(ledger), 2)
    told["order of work, whole print"] = best(lambda: list(OrderOfWork(schedule).moments()), 2)
    told["spacer, 12 kinds of 8"] = best(spacer)
    return json.dumps(told)


def spacer():
    """Twelve kinds of eight pieces, to a thickness that none of them makes alone."""
    kinds = [
        SpacerKind(f"piece {at}", parse_quantity(f"{0.0035 + at * 0.0041:.4f} in"), 8) for at in range(12)
    ]
    return pick_spacer(parse_quantity("0.6183 in"), parse_quantity("0.0005 in"), kinds)
