"""Problems of a build's access: what never comes off, is never seen, or cannot go back."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from springcase.assembly.model import (
    Goal,
    GoalKind,
    OperationKind,
    Structure,
    Weights,
    loose,
    off,
)
from springcase.assembly.pose import explain_no_plan, pose
from springcase.assembly.rebuild import find_circle_in_rebuild, rebuild_only
from springcase.assembly.solve import solve
from springcase.bolting.joint import KINDS
from springcase.formats import Problem

NO_COSTS = Weights(tool_change=0, turn_over=0, lift=0, joint=dict.fromkeys(KINDS, 0), renewal={})
"""Whether there is a plan at all does not depend on what it costs."""


def access_of(structure: Structure) -> object:
    """Return all that the problems below depend on: builds that agree in it share them."""
    return (
        tuple(
            (id, each.kind, each.needs, each.gives, each.takes, each.opens)
            for id, each in structure.operations.items()
        ),
        tuple(
            (id, part.fixed, part.view, tuple((check.id, check.needs) for check in part.checks))
            for id, part in structure.parts.items()
        ),
        tuple((arc.first, arc.then) for arc in structure.arcs),
        tuple(
            (item.id, item.after_fit, item.before_fit, item.before_joint)
            for item in rebuild_only(structure)
        ),
    )


def find_access_problems(structure: Structure) -> Iterator[Problem]:
    """Yield every problem of the access of a build, in strip and rebuild."""
    facts = _reached(structure)
    yield from _unreachable(structure, facts)
    yield from _unseen(structure, facts)
    apart = {id for id, part in structure.parts.items() if loose(id) in facts and not part.fixed}
    strips = _strips(structure)
    wanted = {loose(part) for part in apart}
    if not any(wanted <= _given(structure, strip) for strip in strips):
        exact = _exact_strip(structure, apart)
        if exact is None:
            left = sorted(part for part in apart if loose(part) not in _given(structure, strips[0]))
            yield Problem(code="never-all-apart", path=f"part.{left[0]}", id=left[0], value=left)
        else:
            strips.append(exact)
    yield from _rebuild_circles(structure, strips)


def _reached(structure: Structure) -> frozenset[str]:
    """Return every fact that forward chaining from nothing reaches."""
    facts: frozenset[str] = frozenset()
    waiting = dict(structure.operations)
    progress = True
    while progress:
        progress = False
        for id, operation in list(waiting.items()):
            if any(need <= facts for need in operation.needs):
                facts |= operation.gives
                del waiting[id]
                progress = True
    return facts


def _unreachable(structure: Structure, facts: frozenset[str]) -> Iterator[Problem]:
    """Yield the parts that never come off, with one circle that bars them."""
    wanted = {off(id) for id, part in structure.parts.items() if not part.fixed}
    wanted |= {fact for operation in structure.operations.values() for fact in operation.gives}
    given = {fact for operation in structure.operations.values() for fact in operation.gives}
    for fact in sorted(wanted - facts):
        id = fact.split(":")[1]
        if fact not in given:
            yield Problem(code="never-comes-off", path=f"part.{id}", id=id)
        else:
            circle = explain_no_plan(structure, facts, [fact]).right
            yield Problem(code="access-circle", path=f"part.{id}", id=id, right=circle)
    for id, part in structure.parts.items():
        taken = any(id in operation.takes for operation in structure.operations.values())
        if part.fixed and taken:
            yield Problem(code="fixed-comes-off", path=f"part.{id}", id=id)


def _unseen(structure: Structure, facts: frozenset[str]) -> Iterator[Problem]:
    """Yield the views and the checks whose access never holds."""
    for id, part in structure.parts.items():
        # A part that never comes off is named already; how it is seen follows from that.
        ways = [(f"part.{id}.view", part.view)] if part.fixed or off(id) in facts else []
        for check in part.checks:
            if check.needs:
                ways.append((f"part.{id}.check.{check.id.partition('/')[2]}.after", check.needs))
        for path, needs in ways:
            if not any(need <= facts for need in needs):
                least = min(needs, key=lambda need: (len(need - facts), sorted(need)))
                never = sorted({fact.split(":")[1] for fact in least - facts})
                yield Problem(code="never-seen", path=path, id=id, right=never)


def _given(structure: Structure, strip: tuple[str, ...]) -> frozenset[str]:
    return frozenset(fact for id in strip for fact in structure.operations[id].gives)


def _exact_strip(structure: Structure, apart: set[str]) -> tuple[str, ...] | None:
    """Return a legal strip that brings all these parts apart, or None where there is none."""
    goals = [Goal(kind=GoalKind.SEPARATE, part=part) for part in sorted(apart)]
    posed = pose(structure, NO_COSTS, goals, "bench")
    solution = solve(posed.problem)
    return None if solution is None else posed.names(solution.order)


def _strips(structure: Structure) -> list[tuple[str, ...]]:
    """Return strips that prefer lumps, single parts, or each lump alone; some may end early."""
    operations = structure.operations
    lumps = [id for id in operations if operations[id].kind is OperationKind.LUMP]
    parts = [id for id in operations if operations[id].kind is OperationKind.PART]
    firsts = [lumps, parts, *([lump, *parts] for lump in lumps)]
    strips = [_greedy_strip(structure, dict.fromkeys(first)) for first in firsts]
    return list(dict.fromkeys(strips))


def _rebuild_circles(structure: Structure, strips: list[tuple[str, ...]]) -> Iterator[Problem]:
    """Yield a circle of the rebuild, however the unit was taken apart."""
    for order in strips:
        circle = find_circle_in_rebuild(structure, order)
        if circle:
            yield Problem(
                code="rebuild-circle",
                path="rebuild",
                id=circle[0],
                right=" waits for ".join(circle),
            )
            return


def _greedy_strip(structure: Structure, first: Collection[str]) -> tuple[str, ...]:
    """Return a legal strip that does some operations as soon as it can; it may end too early."""
    facts: frozenset[str] = frozenset()
    order: list[str] = []
    rank = {id: place for place, id in enumerate(first)}
    waiting = sorted(
        structure.operations.values(), key=lambda each: (rank.get(each.id, len(rank)), each.id)
    )
    while True:
        waiting = [
            operation
            for operation in waiting
            if not operation.gives <= facts
            and not any(off(part) in facts for part in operation.takes)
        ]
        for operation in waiting:
            if any(need <= facts for need in operation.needs):
                facts |= operation.gives
                order.append(operation.id)
                break
        else:
            return tuple(order)
