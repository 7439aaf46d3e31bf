"""Whether the steps of a print can be worked in some order: ids, what they wait for, and no circles."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from plytally.core.schedule import Problem, Schedule, Step
from plytally.core.tree import suggest

Graph = Mapping[str, tuple[str, ...]]


def order_problems(schedule: Schedule) -> list[Problem]:
    """Every step that stands twice, waits for one that is not there, or waits, in a circle, for itself."""
    written = [step for part in schedule.parts for step in part.steps]
    by_id = {step.id: step for step in reversed(written)}
    problems = [*_doubled(written, by_id), *_unknown(written, by_id)]
    return problems or [_told(circle, by_id) for circle in circles(must_precede(written))]


def must_precede(steps: list[Step]) -> Graph:
    """For each step the ids of those that come before it: its `after`, and whatever would disturb it."""
    before: dict[str, list[str]] = {step.id: list(step.after) for step in steps}
    for step in steps:
        for spoilt in step.disturbs:
            before[spoilt].append(step.id)
    return {step_id: tuple(dict.fromkeys(ids)) for step_id, ids in before.items()}


def circles(graph: Graph) -> Iterator[tuple[str, ...]]:
    """Circles of the graph, each as a path whose end is its beginning; none if it has no circle."""
    done: set[str] = set()
    for start in graph:
        path: list[str] = []
        on_path: set[str] = set()
        todo = [(start, False)]
        while todo:
            node, leaving = todo.pop()
            if leaving:
                on_path.discard(path.pop())
                done.add(node)
            elif node in on_path:
                yield (*path[path.index(node) :], node)
            elif node not in done:
                path.append(node)
                on_path.add(node)
                todo += [(node, True), *((before, False) for before in graph[node])]


def _doubled(steps: list[Step], by_id: Mapping[str, Step]) -> Iterator[Problem]:
    for step in steps:
        first = by_id[step.id]
        if first is not step:
            told = f"step '{step.id}' stands already in the {first.part}; every step has its own name"
            yield Problem(told, step.line)


def _unknown(steps: list[Step], by_id: Mapping[str, Step]) -> Iterator[Problem]:
    known = tuple(by_id)
    for step in steps:
        for field, ids in (("after", step.after), ("disturbs", step.disturbs)):
            for step_id in ids:
                if step_id not in by_id:
                    told = f"step {step.id}: '{field}' names '{step_id}', which is no step of this print"
                    yield Problem(f"{told}; {suggest(step_id, known)}", step.line)


def _told(circle: tuple[str, ...], by_id: Mapping[str, Step]) -> Problem:
    order = " -> ".join(reversed(circle))
    message = f"these steps wait for each other in a circle: {order}; take one 'after' or 'disturbs' out"
    return Problem(message, by_id[circle[0]].line)
