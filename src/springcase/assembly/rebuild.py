"""
The order things go back: a legal order of the rebuild graph with the fewest changes of setup.

A rebuild read backwards is a strip of the same operations, so the same search orders it; the
family's rebuild-only arcs are precedences added to it. Everything that is off goes back: what
this job took off and what was off before.
"""

from __future__ import annotations

from springcase.assembly.model import Act, Check, OperationKind, Structure, Weights
from springcase.assembly.order import Ordering
from springcase.assembly.pose import pose
from springcase.assembly.problem import Component, Problem
from springcase.errors import NoPlan

BUDGET = 300_000
"""Effort allowed for the order of the rebuild, counted in tasks looked at (common practice)."""


def order_rebuild(
    structure: Structure, weights: Weights, done: tuple[str, ...], place: str
) -> tuple[str, ...]:
    """
    Return the operations done, in the order they are put back.

    Raises
    ------
    NoPlan
        If the family's rebuild-only order makes a circle: names what waits for what.
    """
    if not done:
        return ()
    chosen = set(done)
    posed = pose(structure, weights, (), place, usable=lambda operation: operation.id in chosen)
    number = {id: index for index, id in enumerate(posed.operations)}
    missing = [id for id in done if id not in number]
    if missing:
        # Work begun on the bench may hold an operation the line does not allow: it goes back there.
        return tuple(reversed(done))
    after = _arcs(structure, number)
    problem = _backwards(posed.problem)
    everything = (1 << len(posed.operations)) - 1
    outcome = Ordering(problem, everything, after).search(None, BUDGET)
    if outcome.solution is None:
        raise NoPlan(
            "rebuild-circle",
            field="rebuild",
            value=structure.family,
            right=" waits for ".join(find_circle_in_rebuild(structure, done)),
        )
    return tuple(reversed(posed.names(outcome.solution.order)))


def placing(structure: Structure, operations: tuple[str, ...]) -> dict[str, str]:
    """Return, for each part, the operation whose undoing puts it back on the unit."""
    where = {}
    for id in operations:
        operation = structure.operations[id]
        if operation.kind is not OperationKind.SPLIT:
            for part in operation.parts:
                where[part] = id
    return where


def joining(structure: Structure, operations: tuple[str, ...]) -> dict[str, str]:
    """Return, for each loose part, the operation whose undoing first ties it to others."""
    where = placing(structure, operations)
    for id in operations:
        operation = structure.operations[id]
        if operation.kind is OperationKind.SPLIT:
            for part in operation.parts:
                where[part] = id
    return where


def rebuild_only(structure: Structure) -> list[Act | Check]:
    """Return the acts and checks that are made only while rebuilding."""
    checks = [check for part in structure.parts.values() for check in part.checks]
    return [*structure.acts, *(check for check in checks if check.in_rebuild)]


def _arcs(structure: Structure, number: dict[str, int]) -> dict[int, list[int]]:
    """Return, backwards, what must come off before what: the later fitted before the earlier."""
    where = joining(structure, tuple(number))
    pairs = [(arc.first, arc.then) for arc in structure.arcs]
    for each in rebuild_only(structure):
        pairs += [(first, then) for first in each.after_fit for then in each.before_fit]
    after: dict[int, list[int]] = {}
    for first, then in pairs:
        if first in where and then in where and where[first] != where[then]:
            after.setdefault(number[where[first]], []).append(number[where[then]])
    return after


def _backwards(problem: Problem) -> Problem:
    """Return the problem with the setup costs turned round: a rebuild is read from its end."""
    turned = tuple(
        Component(each.label, tuple(zip(*each.cost, strict=True))) for each in problem.components
    )
    return Problem(
        tasks=problem.tasks,
        goals=problem.goals,
        components=turned,
        joint_seconds=problem.joint_seconds,
        start_setup=problem.start_setup,
    )


def find_circle_in_rebuild(structure: Structure, done: tuple[str, ...]) -> list[str]:
    """
    Return one circle of operations that bars putting these back; empty where there is none.

    Read backwards: what waits to come off until another has, although that waits for it.
    """
    number = {id: place for place, id in enumerate(done)}
    arcs = _arcs(structure, number)
    facts: frozenset[str] = frozenset()
    left = list(done)
    progress = True
    while progress:
        progress = False
        for id in list(left):
            operation = structure.operations[id]
            barred = any(done[other] in left for other in arcs.get(number[id], ()))
            if not barred and any(need <= facts for need in operation.needs):
                facts |= operation.gives
                left.remove(id)
                progress = True
    if not left:
        return []
    waits = {}
    for id in left:
        needed = {fact for need in structure.operations[id].needs for fact in need} - facts
        blockers = [done[other] for other in arcs.get(number[id], ()) if done[other] in left]
        blockers += [
            other for other in left if other != id and structure.operations[other].gives & needed
        ]
        waits[id] = blockers
    path = [left[0]]
    while waits[path[-1]] and waits[path[-1]][0] not in path:
        path.append(waits[path[-1]][0])
    if not waits[path[-1]]:
        return path
    back = waits[path[-1]][0]
    return [*path[path.index(back) :], back]
