"""A card and its answer as plain JSON, for a page to show; and as the text that the log keeps."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from plytally.core.cards.card import Ask, Asks, Card, Curve, Holds, Input, Told
from plytally.core.quantities import Dimension
from plytally.core.shop.worked import Worked, answers, as_given

Json = dict[str, Any]


def card_json(card: Card) -> Json:
    """What a page needs to ask a card."""
    return {
        "name": card.name,
        "title": card.title,
        "subject": card.subject,
        "says": card.says,
        "inputs": [_input(each) for each in card.inputs],
    }


def told_json(told: Told) -> Json:
    """Verdicts, answers with their working, every caution once, and curves."""
    return {
        "parts": [part for result in told for part in _parts(result)],
        "cautions": cautions(told),
        "curves": [_curve(result) for result in told if isinstance(result, Curve)],
    }


def kept_text(card: Card, given: Mapping[str, Any], told: Told) -> str:
    """One line for the log: the sum, what was given, what came out."""
    asked = "; ".join(
        f"{each.label.lower()} {text}" for each in card.inputs if (text := _given(each, given.get(each.name)))
    )
    came = "; ".join(_short(part) for result in told for part in _parts(result))
    return f"{card.title}. Given: {asked or 'nothing'}. Found: {came}."


def _parts(result: Any) -> list[str | Json]:
    if isinstance(result, str):
        return [result]
    return [] if isinstance(result, Curve) else [_answer(answer) for answer in answers(result)]


def _answer(answer: Worked[Any]) -> Json:
    return {
        "what": answer.what,
        "shown": answer.shown,
        "formula": answer.formula,
        "inputs": [{"name": given.name, "value": as_given(given.value)} for given in answer.inputs],
        "source": answer.source,
    }


def cautions(told: Told) -> list[str]:
    """Each caution once, as first told; one that another holds word for word is left out."""
    found = (answer for result in told if not isinstance(result, str | Curve) for answer in answers(result))
    every = dict.fromkeys(answer.caution for answer in found if answer.caution)
    return [one for one in every if not any(one in other for other in every if other != one)]


def _short(part: str | Json) -> str:
    return part if isinstance(part, str) else f"{part['what']} {part['shown']}"


def _given(each: Input, given: Any) -> str:
    """What was given for an input, as written; "" for nothing, and for what is so unless told otherwise."""
    if not given:
        return ""
    if isinstance(each, Ask):
        return "" if given == each.usual else ("yes" if each.holds is Holds.YES else str(given))
    return " and ".join(" ".join(text for text in row if text) for row in given if any(row))


def _curve(curve: Curve) -> Json:
    unit = curve.lines[0].points[0].gauge.unit.symbol
    return {
        "across": "min",
        "up": unit,
        "lines": [
            {
                "name": line.name,
                "drawn": line.drawn,
                "points": [
                    [str(point.after.to("min").amount), str(point.gauge.to(unit).amount)]
                    for point in line.points
                ],
            }
            for line in curve.lines
        ],
    }


def _input(each: Input) -> Json:
    if isinstance(each, Asks):
        return {
            "name": each.name,
            "label": each.label,
            "hint": each.hint,
            "needed": each.needed,
            "rare": each.rare,
            "most": each.most,
            "shown": each.shown,
            "columns": [_ask(column) for column in each.columns],
        }
    return _ask(each)


def _meaning(ask: Ask, at: int) -> str:
    choice = ask.choices[at]
    return f"{choice}: {ask.meanings[at]}" if ask.meanings else choice


def _ask(ask: Ask) -> Json:
    return {
        "name": ask.name,
        "label": ask.label,
        "hint": ask.hint,
        "holds": "amount" if isinstance(ask.holds, Dimension) else ask.holds.name.lower(),
        "measures": ask.holds.value if isinstance(ask.holds, Dimension) else "",
        "needed": ask.needed,
        "usual": ask.usual,
        "units": list(ask.offered),
        "choices": [[choice, _meaning(ask, at)] for at, choice in enumerate(ask.choices)],
        "signed": ask.signed,
        "rare": ask.rare,
        "hidden": bool(ask.unasked),
    }
