"""The steps of one part, read from a located tree.

A step lays plies of a material or does something else; each name it uses must be declared for its part.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from plytally.core.schedule import DO, Alternate, Step
from plytally.core.tree import NOTHING, Items, Leaf, Node, Reading, suggest

MOST_PLIES = 200
_TEXTS = ("drawing", "manual", "revision", "note")
_DONE = ("step", "plies", "material", "orientation", "do", "item", "face", "feature", "at")
_STEP = (*_DONE, "after", "disturbs", "instead", *_TEXTS)
_INSTEAD = ("material", "because")
_HINTS: Mapping[str, str] = {
    "lay": "plies",
    "layers": "plies",
    "number": "plies",
    "cloth": "material",
    "fabric": "material",
    "angle": "orientation",
    "direction": "orientation",
    "id": "step",
    "name": "step",
    "station": "at",
    "stations": "at",
    "where": "at",
    "needs": "after",
    "depends on": "after",
    "alternates": "instead",
    "alternate": "instead",
    "task": "do",
    "page": "manual",
    "dwg": "drawing",
    "rev": "revision",
    "reason": "because",
    "why": "because",
}


@dataclass(frozen=True)
class Known:
    """The names declared so far: where a step uses a name, it must be one of these.

    Orientations and items may be left undeclared; then every one that a step uses is taken.
    """

    materials: Sequence[str] = ()
    orientations: Sequence[str] = ()
    items: Sequence[str] = ()
    faces: Sequence[str] = ()
    features: Sequence[str] = ()
    stations: Sequence[str] = ()


class StepReading:
    """Reads the steps of one part."""

    def __init__(self, reading: Reading, part: str, known: Known) -> None:
        self._reading = reading
        self._part = part
        self._known = known

    def steps(self, node: Node, face: str = "") -> Iterator[Step]:
        """Give each step of a list; those written under a face belong to it."""
        if isinstance(node, Items):
            for item in node.items:
                yield from self._step(item, face)
        elif node != Leaf("", node.line):
            where = f"the {self._part}" + (f", {face}" if face else "")
            self._complain(node, f"the steps of {where} are a list, each beginning with '- step:'")

    def _step(self, node: Node, face: str) -> Iterator[Step]:
        before = len(self._reading.problems)
        fields = self._reading.table(node, "a step", _STEP, _HINTS)
        if "step" not in fields:
            if fields or before == len(self._reading.problems):
                self._complain(
                    node, f"a step of the {self._part} needs a name to call it by, as in 'step: E4'"
                )
            return
        if face and "face" in fields:
            self._complain(fields["face"], f"this step stands under the {face} face already; take 'face' out")
        step = self._read(fields, face, node.line)
        if before == len(self._reading.problems):
            self._check(step, node)
        yield step

    def _read(self, fields: Mapping[str, Node], face: str, line: int) -> Step:
        reading, known = self._reading, self._known
        step_id = reading.name(fields["step"], "a step")
        return Step(
            id=step_id,
            part=self._part,
            face=face or self._pick(fields, "face", f"a face of the {self._part}", known.faces),
            feature=self._pick(fields, "feature", f"a feature of the {self._part}", known.features),
            stations=tuple(
                self._canonical(node, name, f"a station of the {self._part}", known.stations)
                for name, node in reading.names(fields.get("at", NOTHING), "'at'")
            ),
            plies=reading.count(fields["plies"], "'plies'", MOST_PLIES) if "plies" in fields else 0,
            material=self._pick(fields, "material", "a material of this print", known.materials),
            orientation=self._pick(
                fields, "orientation", "an orientation of this print", known.orientations, True
            ),
            do=self._pick(fields, "do", "something a step can do", tuple(DO)),
            item=self._pick(fields, "item", "an item of this print", known.items, True),
            after=tuple(name for name, _ in reading.names(fields.get("after", NOTHING), "'after'")),
            disturbs=tuple(name for name, _ in reading.names(fields.get("disturbs", NOTHING), "'disturbs'")),
            instead=tuple(self._alternates(fields.get("instead", NOTHING), step_id)),
            line=line,
            **{name: reading.text(fields.get(name, NOTHING), f"'{name}'") for name in _TEXTS},
        )

    def _pick(
        self, fields: Mapping[str, Node], field: str, what: str, known: Sequence[str], free: bool = False
    ) -> str:
        node = fields.get(field, NOTHING)
        if node == Leaf("", node.line):
            return ""
        name = self._reading.name(node, f"'{field}'")
        return name if free and not known else self._canonical(node, name, what, known)

    def _canonical(self, node: Node, name: str, what: str, known: Sequence[str]) -> str:
        for declared in known:
            if declared.casefold() == name.casefold():
                return declared
        if name:
            self._complain(node, f"'{name}' is not {what}; {suggest(name, known)}")
        return ""

    def _alternates(self, node: Node, step_id: str) -> Iterator[Alternate]:
        if node == Leaf("", node.line):
            return
        for item in node.items if isinstance(node, Items) else (node,):
            fields = self._reading.table(item, "an alternate", _INSTEAD, _HINTS)
            material = self._pick(fields, "material", "a material of this print", self._known.materials)
            because = self._reading.text(fields.get("because", NOTHING), "'because'")
            if not because or "material" not in fields:
                self._complain(
                    item, f"an alternate of step {step_id} needs 'material:' and the reason, 'because:'"
                )
            yield Alternate(material, because)

    def _check(self, step: Step, node: Node) -> None:
        for wrong, message in (
            (step.is_layup and step.do, "both lays plies and has 'do'; make two steps of it"),
            (not step.is_layup and not step.do, "needs 'plies:' and 'material:', or 'do:'"),
            (step.is_layup and not step.material, "lays plies of nothing; add 'material:'"),
            (not step.is_layup and step.material, "names a material but no 'plies:'"),
            (not step.is_layup and step.orientation, "names an orientation but no 'plies:'"),
            (not step.is_layup and step.instead, "names an alternate but no 'plies:'"),
            (step.is_layup and self._known.faces and not step.face, f"needs 'face:', one of {self._faces}"),
        ):
            if wrong:
                self._complain(node, f"step {step.id} {message}")

    @property
    def _faces(self) -> str:
        return ", ".join(self._known.faces)

    def _complain(self, node: Node, message: str) -> None:
        self._reading.complain(node, message)
