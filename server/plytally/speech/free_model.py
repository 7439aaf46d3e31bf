"""The language model of the free hearing: what a builder says, mixed with general English.

General English alone hears "laid two plies" as "late to please"; the phrasebook alone hears every talk as
work. The mixture is a bigram: word pairs counted over sentences of the phrasebook, backed off (I. Witten and
T. Bell, "The zero-frequency problem", IEEE Trans. IT 37, 1991) to single words, of which half are the
phrasebook's and half the commonest of the wheel's general model. pocketsphinx has no interpolation of its
own, so the mixture is written as an ARPA file.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import pairwise

BEGIN, END = "<s>", "</s>"
PHRASEBOOKS_SHARE = 0.5
TRUST_IN_PAIRS = 0.85  # the rest leaves room for general English after a word of the phrasebook
END_IN_GENERAL = 0.1
_NEVER = -99.0
_LEAST = 1e-9


def arpa(sentences: Sequence[str], general: Mapping[str, float]) -> str:
    """The mixture as the text of an ARPA file.

    `general` has the probabilities of general English words, without sentence ends; they need not sum to 1.
    """
    single = _single_words(sentences, general)
    pairs = {first: _after(counts, single) for first, counts in _pairs(sentences).items()}
    return "\n".join(_lines(single, pairs)) + "\n"


def _single_words(sentences: Sequence[str], general: Mapping[str, float]) -> dict[str, float]:
    counts = Counter(word for sentence in sentences for word in (*sentence.split(), END))
    said, spoken = sum(counts.values()), sum(general.values())
    shares = {
        word: PHRASEBOOKS_SHARE * counts[word] / max(1, said)
        + (1 - PHRASEBOOKS_SHARE) * (1 - END_IN_GENERAL) * general.get(word, 0.0) / (spoken or 1.0)
        for word in sorted({*counts, *general} - {END})
    }
    ends = PHRASEBOOKS_SHARE * counts[END] / max(1, said) + (1 - PHRASEBOOKS_SHARE) * END_IN_GENERAL
    return {**shares, END: ends}


def _pairs(sentences: Iterable[str]) -> dict[str, Counter[str]]:
    counts: dict[str, Counter[str]] = defaultdict(Counter)
    for sentence in sentences:
        words = (BEGIN, *sentence.split(), END)
        for first, second in pairwise(words):
            counts[first][second] += 1
    return counts


def _after(counts: Counter[str], single: Mapping[str, float]) -> tuple[dict[str, float], float]:
    """The probabilities of the words seen after a word, and the weight of backing off to all others."""
    seen = sum(counts.values())
    trust = TRUST_IN_PAIRS * seen / (seen + len(counts))
    likely = {word: trust * n / seen + (1 - trust) * single[word] for word, n in counts.items()}
    left, unseen = 1 - sum(likely.values()), 1 - sum(single[word] for word in counts)
    return likely, max(left, _LEAST) / max(unseen, _LEAST)


def _lines(single: Mapping[str, float], pairs: Mapping[str, tuple[dict[str, float], float]]) -> Iterator[str]:
    yield "\\data\\"
    yield f"ngram 1={len(single) + 1}"
    yield f"ngram 2={sum(len(likely) for likely, _ in pairs.values())}"
    yield "\n\\1-grams:"
    yield f"{_NEVER} {BEGIN} {_log(pairs[BEGIN][1] if BEGIN in pairs else 1.0)}"
    for word, share in single.items():
        yield f"{_log(share)} {word} {_log(pairs[word][1] if word in pairs else 1.0)}"
    yield "\n\\2-grams:"
    for first, (likely, _) in pairs.items():
        for second, share in likely.items():
            yield f"{_log(share)} {first} {second}"
    yield "\n\\end\\"


def _log(share: float) -> str:
    return f"{math.log10(max(share, _LEAST)):.5f}"
