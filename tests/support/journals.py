"""A journal opened in a folder, and filled with notes."""

from contextlib import closing

from support.clocks import SetClock
from support.devices import HEARING, MORNING, Device

from plytally.store.journal import FileJournal
from plytally.store.making import Maker

MONTH_MS = 31 * 86_400_000
NOVEMBER = "2026-11.jsonl"


def opened(folder, **more):
    return FileJournal(folder, Maker(SetClock()).new_id, **more)


def notes(count, phone=None):
    phone = phone or Device()
    return [phone.notes(hearing=HEARING) for _ in range(count)]


def written(folder, count=3):
    operations = notes(count)
    with closing(opened(folder)) as journal:
        journal.append(operations, MORNING)
    return operations


def kept(folder, **more):
    with closing(opened(folder, **more)) as journal:
        return [record.operation for record in journal.read()]
