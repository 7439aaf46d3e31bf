"""What a run of notes comes to: error rates with Wilson's 95 % intervals, and whether confidences hold."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import jiwer

from plytally.core.entry import value_to_json
from plytally.core.hearing import Hearing
from plytally.core.understand import understand
from plytally.core.vocabulary import Vocabulary

NUMBERS = frozenset(
    (
        "plies",
        "mass",
        "ratio",
        "gauge",
        "measure",
        "temperature",
        "humidity",
        "duration",
        "grit",
        "holes",
        "drill",
        "batch",
        "number",
    )
)
WHERE = frozenset(("side", "face"))
BINS = 10


def judged_note(phrase: dict[str, Any], hearing: Hearing, vocabulary: Vocabulary) -> dict[str, Any]:
    """One note against what it should have made."""
    meant = understand(hearing, vocabulary)
    fields = {name: value_to_json(value) for name, value in meant.fields.items()}
    wanted, doubted = phrase["fields"], {doubt.field for doubt in meant.doubts}
    same_kind = (meant.makes, meant.name) == (phrase["makes"], phrase["name"])
    wrong = {name for name in fields if fields[name] != wanted.get(name)} - doubted
    plain = meant.name == "note"
    exact = same_kind and (fields == wanted or phrase["name"] == "note")
    return {
        "say": phrase["say"],
        "heard": hearing.text,
        "exact": exact,
        "fields": len(wanted),
        "fields_right": sum(fields.get(name) == value for name, value in wanted.items()) if same_kind else 0,
        "wrong_number": bool(wrong & NUMBERS) and not plain,
        "wrong_where": bool(wrong & WHERE) and not plain,
        "wrong": not exact and not plain and not doubted,
        "plain": plain and phrase["name"] != "note",
        "doubted": bool(doubted),
        "doubts": sorted(doubted),
        "words": words_right(phrase["say"], hearing) if hearing.covered else [],
        "seconds": hearing.seconds,
    }


def words_right(truth: str, hearing: Hearing) -> list[tuple[float, bool]]:
    """Each heard word's confidence, and whether the word was said there."""
    aligned = jiwer.process_words(truth, hearing.text).alignments[0] if hearing.words else []
    right = {
        at
        for chunk in aligned
        if chunk.type == "equal"
        for at in range(chunk.hyp_start_idx, chunk.hyp_end_idx)
    }
    return [(word.confidence, at in right) for at, word in enumerate(hearing.words)]


def rates(rows: Sequence[dict[str, Any]]) -> dict[str, Any]:
    """The figures of one condition."""
    count = len(rows)

    def of(name: str) -> dict[str, float]:
        return share(sum(row[name] for row in rows), count)

    fields = sum(row["fields"] for row in rows)
    words = [word for row in rows for word in row["words"]]
    return {
        "notes": count,
        "word_error_rate": round(jiwer.wer([r["say"] for r in rows], [r["heard"] or " " for r in rows]), 4),
        "exact": of("exact"),
        "fields_right": share(sum(row["fields_right"] for row in rows), fields) if fields else {},
        "wrong_number_without_doubt": of("wrong_number"),
        "wrong_side_or_face_without_doubt": of("wrong_where"),
        "anything_wrong_without_doubt": of("wrong"),
        "kept_as_plain_note": of("plain"),
        "with_a_doubt": of("doubted"),
        "exact_but_doubted": share(sum(r["exact"] and r["doubted"] for r in rows), count),
        "expected_calibration_error": round(calibration_error(words), 4),
        "reliability": reliability(words),
    }


def reliability(words: Sequence[tuple[float, bool]]) -> list[tuple[float, float, int]]:
    """By tenth of confidence: the mean confidence, the share that was right, and how many there were."""
    bins: list[list[tuple[float, bool]]] = [[] for _ in range(BINS)]
    for confidence, right in words:
        bins[min(BINS - 1, int(confidence * BINS))].append((confidence, right))
    return [
        (
            round(sum(c for c, _ in each) / len(each), 3),
            round(sum(r for _, r in each) / len(each), 3),
            len(each),
        )
        for each in bins
        if each
    ]


def calibration_error(words: Sequence[tuple[float, bool]]) -> float:
    """How far confidence is from the share that was right, a bin weighing as many words as it holds.

    C. Guo et al., "On Calibration of Modern Neural Networks", ICML 2017, equation 3 (from memory).
    """
    return sum(n * abs(c - r) for c, r, n in reliability(words)) / len(words) if words else 0.0


def share(hits: int, count: int) -> dict[str, float]:
    """A share with Wilson's 95 % interval."""
    z, p = 1.96, hits / count
    middle = (p + z * z / (2 * count)) / (1 + z * z / count)
    half = z * math.sqrt(p * (1 - p) / count + z * z / (4 * count * count)) / (1 + z * z / count)
    low, high = max(0.0, middle - half), min(1.0, middle + half)
    return {"share": round(p, 4), "low": round(low, 4), "high": round(high, 4), "n": count}


def print_figures(heading: str, figures: dict[str, Any]) -> None:
    """One condition's figures as lines of text."""
    print(f"\n{heading}: {figures['notes']} notes")
    for name, value in figures.items():
        if isinstance(value, dict) and value:
            between = f"{value['low']:.1%} to {value['high']:.1%}, n {value['n']}"
            print(f"  {name:34} {value['share']:.1%}  ({between})")
        elif name != "notes":
            print(f"  {name:34} {value}")
