"""Records made in the background: one at a time, a failure told, not too many at once."""

import threading
import time

from plytally.record.content import Scope
from plytally.web.record_jobs import MOST_KEPT, MOST_WAITING, Records


def waited(job, *states):
    while job.state not in states:
        time.sleep(0.01)
    return job


def broken(scope):
    raise ZeroDivisionError


def test_a_record_that_cannot_be_made_is_told_as_failed_and_the_next_one_is_begun():
    records = Records(broken, lambda address: b"")
    first = waited(records.begin("1", Scope(), "a4"), "failed")
    second = waited(records.begin("2", Scope(), "a4"), "failed")
    assert (first.pdf, second.as_json()["state"]) == (b"", "failed")


def test_only_so_many_wait_and_a_visitor_is_not_kept_waiting():
    gate = threading.Event()

    def slow(scope):
        gate.wait()
        raise ZeroDivisionError

    records = Records(slow, lambda address: b"")
    jobs = [records.begin(str(number), Scope(), "a4") for number in range(MOST_WAITING)]
    while not any(job.state == "making" for job in jobs):
        time.sleep(0.01)
    assert records.begin("one more", Scope(), "a4") is None
    assert records.make_now(Scope(), "a4") is None
    gate.set()
    for job in jobs:
        waited(job, "failed")


def test_the_oldest_records_make_room():
    records = Records(broken, lambda address: b"")
    names = [str(number) for number in range(MOST_KEPT + 3)]
    for name in names:
        waited(records.begin(name, Scope(), "a4"), "failed")
    kept = [name for name in names if records.find(name)]
    assert kept == names[-MOST_KEPT - 1 :]
