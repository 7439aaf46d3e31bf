"""How well and how fast the phone's app hears, in real Chromium: the bench's sounds in the page's own queue.

    .venv/bin/python tests/bench/phone_page_bench.py --every 2 --out figures.json
    .venv/bin/python tests/bench/phone_page_bench.py --every 7 --slower 4
    .venv/bin/python tests/bench/phone_page_bench.py --every 3 --adapted

The sounds are put into the phone's storage as recordings that an earlier visit kept, the shop computer is
stopped, and the app is opened: it takes them up, hears, weighs and understands each in its workers, and notes
it. The wall-clock shares are those of the workers' own clocks; processor time and memory are the kernel's.
"""

from __future__ import annotations

import argparse
import base64
import hashlib
import json
import logging
import shutil
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

import structlog
from playwright.sync_api import sync_playwright

sys.path.insert(0, str(Path(__file__).parents[1]))

from figures import judged_note, print_figures, rates
from slowed import cpu_seconds, renderer, resident_mb, slowed, thread_seconds
from sound import SIX, TUNING_VOICES, VOICES, Voice
from speech_bench import ROOT, learn, learnt_file, sound_of
from support.browser_phone import FLAGS, Phone
from support.phone_tables import OPENED
from support.shop_computer import ShopComputer

from plytally.core.hearing import Hearing
from plytally.core.vocabulary import from_schedule
from plytally.schedule_file import read_schedule_file
from plytally.speech.sphinx_model import means_file

# What the workers answer about a note is written down as the page gets it.
OVERHEAR = """
  const Real = Worker;
  window.overheard = [];
  window.Worker = class extends Real {
    constructor(...given) {
      super(...given);
      this.addEventListener("message", ({ data }) => {
        const gives = data.gives ?? {};
        const took = data.took / 1000;
        if (took && gives.path !== undefined) overheard.push({ hearing: took });
        if (took && gives.found) overheard.push({ weighing: took });
        const heard = gives.covered !== undefined ? gives : gives.hearing;
        if (heard?.words) overheard.push({ heard });
      });
    }
  };
"""
KEEP = (
    """async (sounds) => {"""
    + OPENED
    + """
  const db = await opened();
  const tx = db.transaction(["media", "pieces"], "readwrite");
  for (const [at, text] of sounds) {
    const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
    const id = `0000-${String(at).padStart(6, "0")}`;
    tx.objectStore("pieces").put(bytes.buffer, [id, 0]);
    tx.objectStore("media").put({
      id, role: "sound", mime: "audio/wav", name: "", stage: "closed",
      startedMillis: 1767225600000 + at * 60000, pieces: 1, bytes: bytes.length, sha256: null, entry: null,
      there: 0, thinned: false,
    });
  }
  await new Promise((done, fail) => { tx.oncomplete = done; tx.onabort = () => fail(tx.error); });
  db.close();
}"""
)
SPANS = "performance.getEntriesByName('words to entry').map((entry) => entry.duration)"
WHOLE = "performance.getEntriesByName('hearing and weighing').map((entry) => entry.duration / 1000)"
LEARNT = (
    """async ([etag, text]) => {"""
    + OPENED
    + """
  const db = await opened();
  const bytes = Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0)).buffer;
  const tx = db.transaction("facts", "readwrite");
  tx.objectStore("facts").put({ etag, bytes }, "means");
  await new Promise((done, fail) => { tx.oncomplete = done; tx.onabort = () => fail(tx.error); });
  db.close();
}"""
)


def main() -> None:
    """Run and print one table."""
    asked = _arguments()
    structlog.configure(wrapper_class=structlog.make_filtering_bound_logger(logging.ERROR))
    phrases = json.loads((ROOT / "tests/vectors/phrases.json").read_text())[asked.skip :: asked.every]
    voices = SIX if asked.adapted else TUNING_VOICES if asked.tune else VOICES
    said = [
        (phrase, voices[at % len(voices)], sound_of(phrase["say"], voices[at % len(voices)], asked.snr, at))
        for at, phrase in enumerate(phrases[: asked.most])
    ]
    runs = [[note for note in said if note[1] == voice] for voice in voices] if asked.adapted else [said]
    runs = [run for run in runs if run]
    vocabulary = from_schedule(read_schedule_file(ROOT / "demo_entries/quillwing.yaml"))
    rows, each = [], []
    for run in runs:
        sounds = [sound for _, _, sound in run]
        means = _means(run[0][1], asked.snr) if asked.adapted else None
        told = _through_the_page(sounds, asked.slower, means)
        heard = [Hearing.from_json(note["heard"]) for note in told["notes"]]
        assert all("learnt" in hearing.engine for hearing in heard) or not asked.adapted
        rows += [judged_note(p, h, vocabulary) for (p, _, _), h in zip(run, heard, strict=True)]
        each.append({"notes": len(run), **_times(told, sounds)})
        print_figures(f"{run[0][1]}, the voice learnt" if asked.adapted else "all voices", each[-1])
    figures = rates(rows)
    learnt = ", the voices learnt" if asked.adapted else ""
    print_figures(f"the phone's page{learnt}, {asked.snr} dB, {asked.slower:g} times slower", figures)
    if asked.errors:
        for row in (row for row in rows if not row["exact"]):
            print(f"  {'!!' if row['wrong'] else '  '} {row['say']} | {row['heard']} | {row['doubts']}")
    if asked.out:
        kept = {"figures": figures, "times": each, "rows": rows}
        Path(asked.out).write_text(json.dumps(kept, indent=1) + "\n")


def _means(voice: Voice, condition: str) -> bytes:
    """The voice as it is learnt from the reading list; kept, so that it is learnt once."""
    file = learnt_file(voice, condition)
    if not file.exists():
        file.write_bytes(means_file(learn(voice, condition).means))
    return file.read_bytes()


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--snr", default="20", help="a condition of speech_bench.py")
    parser.add_argument("--every", type=int, default=2)
    parser.add_argument("--skip", type=int, default=0)
    parser.add_argument("--most", type=int, default=None, help="take only so many notes")
    parser.add_argument("--slower", type=float, default=1.0, help="how much slower than this machine")
    parser.add_argument("--tune", action="store_true", help="the voices that thresholds are set on")
    parser.add_argument(
        "--adapted",
        action="store_true",
        help="six voices, each learnt from the reading list, a page for each",
    )
    parser.add_argument("--errors", action="store_true")
    parser.add_argument("--out", help="write the figures as JSON")
    return parser.parse_args()


def _through_the_page(sounds: list[Any], slower: float, means: bytes | None) -> dict[str, Any]:
    """What the workers answered for each sound, and what the page's process used."""
    folder = Path(tempfile.mkdtemp())
    shop = ShopComputer(folder / "shop")
    with sync_playwright() as playwright:
        chromium = shutil.which("chromium") or "chromium"
        phone = Phone(playwright, chromium, folder / "phone", shop.url, list(FLAGS), faults=[OVERHEAR])
        phone.pair(shop.code())
        phone.until_it_understands()
        phone.until_offline_ready()
        shop.stop()
        if means is not None:
            etag = f'"{hashlib.sha256(means).hexdigest()}"'
            phone.ask(LEARNT, [etag, base64.b64encode(means).decode()])
        pid = renderer(phone)
        before = cpu_seconds(pid)
        phone.page.reload()
        phone.until_it_understands()
        loading = cpu_seconds(pid) - before
        told: dict[str, Any] = {"ready_mb": resident_mb(pid), "loading": loading}
        _keep(phone, sounds)
        before = cpu_seconds(pid)
        phone.page.reload()
        with slowed(pid, slower):
            _until_through(phone, len(sounds), slower)
        phone.until_gone_through()
        told |= {"peak_mb": resident_mb(pid, "VmHWM"), "threads": _shares(pid)}
        told["taken"] = cpu_seconds(pid) - before - loading
        told |= {"notes": list(_notes(phone.ask("overheard"))), "understanding": phone.ask(SPANS)}
        told["whole"] = phone.ask(WHOLE)
        assert pid == renderer(phone)
        phone.close()
    shop.close()
    return told


def _keep(phone: Phone, sounds: list[Any]) -> None:
    """Put them where recordings lie, a few at a time."""
    for at in range(0, len(sounds), 8):
        some = [
            [at + more, base64.b64encode(s.samples.tobytes()).decode()]
            for more, s in enumerate(sounds[at : at + 8])
        ]
        phone.ask(KEEP, some)


def _until_through(phone: Phone, count: int, slower: float) -> None:
    """Asked seldom: each question is work for the page."""
    end = time.monotonic() + 60 + count * 20 * slower
    done = 0
    while done < count and time.monotonic() < end:
        time.sleep(3)
        done = len(phone.ask(SPANS))
        print(f"\r{done} of {count}", end="", flush=True)
    print("\r", end="")


def _notes(overheard: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """For each note what its hearing and weighing took, and what came of them."""
    notes: list[dict[str, Any]] = []
    for each in overheard:
        if "hearing" in each:
            notes.append({"weighing": 0.0})
        notes[-1] |= each
    return notes


def _shares(pid: int) -> dict[str, float]:
    """Processor seconds by the name of the thread."""
    by_name: dict[str, float] = {}
    for (_, name), seconds in thread_seconds(pid).items():
        by_name[name] = by_name.get(name, 0.0) + seconds
    return {name: round(seconds, 1) for name, seconds in sorted(by_name.items()) if seconds > 0.5}


def _times(told: dict[str, Any], sounds: list[Any]) -> dict[str, Any]:
    seconds = [sound.seconds for sound in sounds]
    notes, spans = told["notes"], sorted(told["understanding"])
    whole = sorted(all_of / s for all_of, s in zip(told["whole"], seconds, strict=True))
    return {
        "hearing_share": round(sum(n["hearing"] for n in notes) / sum(seconds), 3),
        "weighing_share": round(sum(n["weighing"] for n in notes) / sum(seconds), 3),
        "whole_share_median": round(whole[len(whole) // 2], 2),
        "whole_share_nine_in_ten": round(whole[len(whole) * 9 // 10], 2),
        "whole_share_most": round(whole[-1], 2),
        "words_to_entry_ms_median": round(spans[len(spans) // 2]),
        "words_to_entry_ms_nine_in_ten": round(spans[len(spans) * 9 // 10]),
        "processor_share": round(told["taken"] / sum(seconds), 3),
        "loading_processor_seconds": round(told["loading"], 1),
        "processor_seconds_by_thread": ", ".join(f"{name} {s}" for name, s in told["threads"].items()),
        "memory_ready_mb": round(told["ready_mb"]),
        "memory_peak_mb": round(told["peak_mb"]),
    }


if __name__ == "__main__":
    main()
