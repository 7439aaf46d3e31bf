"""What the shop computer costs as its log grows: start, memory, acknowledging, folding, a new phone.

    PYTHONPATH=tests .venv/bin/python tests/bench/sync_bench.py --json figures.json

Each size has a folder, a real `plytally serve` and a bare BuildLog process of its own; batches go to all
sizes in turn, so that whatever else the machine does weighs on each alike. Ratios are of one run. Docs:
docs/server-figures.md.
"""

from __future__ import annotations

import http.client
import json
import os
import platform
import shutil
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from multiprocessing import get_context
from pathlib import Path
from statistics import median, quantiles
from typing import Any

import click
from bench.shop_phones import BATCH, Figures, Recorder, Serving, ask, sync_body
from tinydb import TinyDB

from plytally.clock import MachineClock
from plytally.core.merge import Fold
from plytally.store.log import BuildLog
from plytally.store.verify import verify
from plytally.web.phones import Phones

PHONES, PLAIN_ROUNDS = 20, 5
EACH = 100  # batches of one phone, below where the server would ask it to wait
FORK = get_context("fork")
CROWD = [f"crowd-{number}" for number in range(PHONES)]


def seconds(act: Callable[[], object]) -> float:
    """How long something takes."""
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


def build(folder: Path, size: int, names: list[str]) -> dict[str, str]:
    """A log of `size` operations, recorded by four phones; a token for each of `names`.

    They are paired here because the server lets nobody try ten codes a minute.
    """
    phones = [Recorder(f"early-{number}") for number in range(4)]
    with BuildLog(folder) as log:
        while (left := size - log.journal.head.seq) > 0:
            phone = phones[log.journal.head.seq // 500 % 4]
            refused = log.receive(phone.batch(min(500, left)), phone.device.name).refused
            assert not refused, refused[0]
        known = Phones(log.documents, MachineClock())
        return {name: known.pair(name, name) for name in names}


def bare_log(folder: Path, link: Any) -> None:
    """In a process of its own: open, fold, then a timed batch and a bare fsync for each word that comes."""
    opened: list[BuildLog] = []
    told: Figures = {"open_s": seconds(lambda: opened.append(BuildLog(folder)))}
    log, phone = opened[0], Recorder("bare")
    told["fold_s"] = folding(log)
    log.state  # noqa: B018 - folded once, as a server that was asked has
    link.send(told)
    bare = os.open(folder / "bare.bin", os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    content = _kept_bytes(log, phone.batch())
    while order := link.recv():
        raws = phone.batch()
        acts = [lambda raws=raws: log.receive(raws, "bare"), lambda: _fsync(bare, content)]
        times = {act: seconds(act) for act in acts[::order]}
        link.send(tuple(times[act] for act in acts))
    log.close()


def _fsync(file: int, content: bytes) -> None:
    os.write(file, content)
    os.fsync(file)


def _kept_bytes(log: BuildLog, raws: list[Any]) -> bytes:
    """What a batch takes in the log's file."""
    before = log.journal.extent()[-1][1]
    log.receive(raws, "bare")
    path, end = log.journal.extent()[-1]
    return path.read_bytes()[before:end]


def folding(log: BuildLog) -> float:
    """Seconds to fold the whole log from nothing, its lines read before."""
    operations, fold = [record.operation for record in log.journal.read()], Fold()
    began = time.perf_counter()
    for operation in operations:
        fold.apply(operation)
    fold.state()
    return time.perf_counter() - began


def over_http(servings: list[Serving], rounds: int) -> Iterator[list[float]]:
    """Seconds of a batch at each size; another size begins each round; a fresh phone each EACH rounds."""
    for number in range(rounds):
        device = f"one-{number // EACH}"
        if number % EACH == 0:
            phone = Recorder(device)
        raws, took = phone.batch(), dict[int, float]()
        for at in _turns(number, len(servings)):
            serving = servings[at]
            body = sync_body(device, raws, serving.cursor)
            status, answer, _, took[at] = ask(serving.line, "/api/sync", body, serving.tokens[device])
            assert (status, len(answer["kept"])) == (200, BATCH), answer
            serving.cursor = answer["cursor"]
        yield [took[at] for at in range(len(servings))]


def _turns(number: int, count: int) -> list[int]:
    """Who comes first, second, … in a round: each is first as often as the others."""
    return [(number + at) % count for at in range(count)]


def spread(times: list[float]) -> Figures:
    """p50 and p99 in milliseconds."""
    return {"p50_ms": median(times) * 1000, "p99_ms": quantiles(times, n=100)[98] * 1000}


def crowd_phone(asked: tuple[int, str, str, Any, float]) -> tuple[set[str], list[float], int]:
    """One of the crowd, in a process of its own: syncs without pause; what was acknowledged, and how fast."""
    port, device, token, cursor, until = asked
    phone, line = Recorder(device), http.client.HTTPConnection("127.0.0.1", port, timeout=120)
    kept, times, waits, raws = set[str](), list[float](), 0, list[Any]()
    while time.monotonic() < until:
        raws = raws or phone.batch(phone.chance.randrange(1, BATCH + 1))
        status, answer, _, took = ask(line, "/api/sync", sync_body(device, raws, cursor), token)
        if status == 200:
            kept, cursor, raws = kept | set(answer["kept"]), answer["cursor"], []
            times.append(took)
        else:
            assert status == 429, answer
            waits += 1
            time.sleep(0.2)
    line.close()
    return kept, times, waits


def crowd(serving: Serving, length: float) -> Figures:
    """PHONES phones at once for so many seconds; then the log is looked at with the server stopped."""
    until = time.monotonic() + length
    rows = [(serving.port, name, serving.tokens[name], serving.cursor, until) for name in CROWD]
    with FORK.Pool(PHONES) as pool:
        done = pool.map(crowd_phone, rows, chunksize=1)
    acknowledged = set().union(*(kept for kept, _, _ in done))
    resident = serving.resident()
    serving.stop()
    with BuildLog(serving.folder) as log:
        lost = sum(log.journal.find(one) is None for one in acknowledged)
    times = [each for _, found, _ in done for each in found]
    told = spread(times) | {"requests": len(times), "acknowledged": len(acknowledged), "lost": lost}
    told |= {"asked_to_wait": sum(waits for *_, waits in done), "sound": verify(serving.folder).sound}
    return told | {"p99_over_p50": told["p99_ms"] / told["p50_ms"], "resident_mb": resident}


def plain_tinydb(folder: Path, size: int) -> float:
    """Seconds to add a batch to `size` notes in stock TinyDB on one file, the median of a few."""
    phone = Recorder("plain")
    with TinyDB(folder / "plain.json") as db:
        db.insert_multiple(phone.batch(size))
        return median(seconds(lambda: db.insert_multiple(phone.batch())) for _ in range(PLAIN_ROUNDS))


def machine(folder: Path) -> Figures:
    """What ran this."""
    cpu = Path("/proc/cpuinfo").read_text().partition("model name")[2].partition("\n")[0].strip("\t :")
    kind = subprocess.run(
        ["df", "--output=fstype", str(folder)], capture_output=True, text=True, check=True
    ).stdout.split()[-1]
    told = {"cores": os.cpu_count(), "cpu": cpu, "python": platform.python_version(), "file_system": kind}
    return told | {"load_before": round(os.getloadavg()[0], 1)}


def measure_sizes(home: Path, sizes: list[int], rounds: int, length: float) -> Figures:
    """Everything, by size and as a whole."""
    names = ["new", *(f"one-{number}" for number in range(rounds // EACH + 1)), *CROWD]
    servings, rows = list[Serving](), list[Figures]()
    for size in sizes:
        folder = home / str(size)
        servings.append(Serving(folder, build(folder, size, names)))
        mb = sum(file.stat().st_size for file in (folder / "journal").glob("*.jsonl")) / 1e6
        rows.append({"size": size, "log_mb": mb, "verify_s": seconds(lambda folder=folder: verify(folder))})
        shutil.copytree(folder, home / f"{size}-bare")
    acknowledge_bare(home, sizes, rounds, rows)
    with ExitStack() as stack:
        for serving in servings:
            serving.start()
            stack.callback(serving.stop)
            serving.pull("new")
            serving.told["pulled_memory_mb"] = serving.resident()
        times = zip(*over_http(servings, rounds), strict=True)
        for row, serving, each in zip(rows, servings, times, strict=True):
            row.update(serving.told | {f"http_{name}": told for name, told in spread(list(each)).items()})
        for serving in servings[:-1]:
            serving.stop()
        crowded = crowd(servings[-1], length)
    return {"sizes": rows, "crowd": crowded, "tinydb_s": plain_tinydb(home, sizes[-1])}


def acknowledge_bare(home: Path, sizes: list[int], rounds: int, rows: list[Figures]) -> None:
    """Batches at the level of BuildLog, with no HTTP, beside a bare fsync of the same bytes."""
    links = []
    for size in sizes:
        here, there = FORK.Pipe()
        FORK.Process(target=bare_log, args=(home / f"{size}-bare", there), daemon=True).start()
        links.append(here)
        rows[len(links) - 1].update(here.recv())
    pairs = [_round(links, number) for number in range(rounds)]
    for row, link, found in zip(rows, links, zip(*pairs, strict=True), strict=True):
        link.send(0)
        row.update({f"log_{name}": told for name, told in spread([kept for kept, _ in found]).items()})
        row.update({f"fsync_{name}": told for name, told in spread([bare for _, bare in found]).items()})


def _round(links: list[Any], number: int) -> list[tuple[float, float]]:
    """A batch and a bare fsync at each size; which of the two is first changes from round to round."""
    found: dict[int, tuple[float, float]] = {}
    for at in _turns(number, len(links)):
        links[at].send(1 if number // len(links) % 2 else -1)
        found[at] = links[at].recv()
    return [found[at] for at in range(len(links))]


def show(found: Figures) -> None:
    """The table, and the ratios that the aims are about."""
    rows, first, last = found["sizes"], found["sizes"][0], found["sizes"][-1]
    click.echo(json.dumps(found["machine"]))
    click.echo("| | " + " | ".join(f"{row['size']}" for row in rows) + " | last ÷ first |")
    click.echo("|---|" + "---|" * (len(rows) + 1))
    for name in list(last)[1:]:
        cells = " | ".join(f"{row[name]:.3g}" for row in rows)
        click.echo(f"| {name} | {cells} | {last[name] / first[name]:.2f} |")
    for name, told in found["ratios"].items():
        click.echo(f"{name}: {told:.2f}")
    click.echo(json.dumps(found["crowd"]))


@click.command()
@click.option("--sizes", default="1000,10000,50000", show_default=True, help="Operations in each log.")
@click.option("--rounds", default=300, show_default=True, help="Batches of 20 at each size.")
@click.option("--seconds", "length", default=60.0, show_default=True, help="How long 20 phones sync at once.")
@click.option("--json", "to", type=click.Path(path_type=Path), help="Also write the figures here.")
@click.option("--folder", type=click.Path(path_type=Path), help="Where to work, on the disk that counts.")
def main(sizes: str, rounds: int, length: float, to: Path | None, folder: Path | None) -> None:
    """Measure, print a table, write JSON."""
    with tempfile.TemporaryDirectory(prefix="sync-bench-", dir=folder) as home:
        about = machine(Path(home))
        found = measure_sizes(Path(home), sorted(map(int, sizes.split(","))), rounds, length)
    first, last = found["sizes"][0], found["sizes"][-1]
    found["machine"] = about | {"load_after": round(os.getloadavg()[0], 1)}
    found["ratios"] = {
        "acknowledged over HTTP, largest log over smallest (p50)": last["http_p50_ms"] / first["http_p50_ms"],
        "acknowledged in the log, largest over smallest (p50)": last["log_p50_ms"] / first["log_p50_ms"],
        "acknowledged in the log over a bare fsync (p50)": last["log_p50_ms"] / last["fsync_p50_ms"],
        "acknowledged over HTTP over a bare fsync (p50)": last["http_p50_ms"] / last["fsync_p50_ms"],
        "plain TinyDB over the log": found["tinydb_s"] * 1000 / last["log_p50_ms"],
        "plain TinyDB over HTTP": found["tinydb_s"] * 1000 / last["http_p50_ms"],
    }
    show(found)
    if to:
        to.write_text(json.dumps(found, indent=1) + "\n")


if __name__ == "__main__":
    main()
