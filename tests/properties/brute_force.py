"""
The least cost of a strip, found by looking at every state it can reach.

The tests' oracle: own code, no bounds and no cleverness. It walks states of (facts, joints
open, setup) from the cheapest on, so the first state that meets the goals is the least. Exact;
meant for up to about ten parts.
"""

from __future__ import annotations

import heapq
import itertools
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from springcase.assembly.model import (
    Alternatives,
    Goal,
    GoalKind,
    Operation,
    OperationKind,
    RenewRule,
    Setup,
    Structure,
    Weights,
    loose,
    off,
)

State = tuple[frozenset[str], frozenset[str], Setup]


@dataclass(frozen=True, slots=True, kw_only=True)
class Least:
    """The least (cost, parts taken off, setup changes) that reaches the goals, and one order."""

    cost: int
    parts_off: int
    setups: int
    order: tuple[str, ...]


def true_of(structure: Structure, way: Iterable[str], facts: frozenset[str]) -> bool:
    """Return whether every fact of one way is true; a part the build lacks counts as off."""
    return all(f in facts or f.split(":", 1)[1] not in structure.parts for f in way)


def can_do(structure: Structure, operation: Operation, facts: frozenset[str], place: str) -> bool:
    """Return whether an operation may be done in a state."""
    reached = any(true_of(structure, way, facts) for way in operation.needs)
    taken = any(off(part) in facts for part in operation.takes)
    barred = place == "line" and not operation.in_line and operation.kind != OperationKind.SPLIT
    return reached and not taken and not barred and not operation.gives <= facts


def sight(structure: Structure, part: str) -> Alternatives:
    """Return when a part can be seen."""
    if structure.parts[part].view:
        return structure.parts[part].view
    return tuple(way for o in structure.operations.values() if part in o.takes for way in o.needs)


def ways(structure: Structure, goal: Goal) -> Alternatives:
    """Return the ways to satisfy a goal."""
    part, _, check_name = goal.part.partition("/")
    if goal.kind is GoalKind.REACH:
        return (frozenset({off(part)}),)
    if goal.kind is not GoalKind.INSPECT:
        return (frozenset({loose(part)}),)
    for check in structure.parts[part].checks:
        if check.id.rpartition("/")[2] == check_name:
            if check.after_fit:
                fits = [name for name in check.after_fit if name in structure.parts]
                return tuple(frozenset({off(name)}) for name in fits)
            return check.needs or sight(structure, part)
    return sight(structure, part)


def setup_for(structure: Structure, operation: Operation, place: str) -> Setup:
    """Return what an operation is done with, which side up, and where."""
    bench = operation.kind is OperationKind.SPLIT
    side = operation.setup.side or structure.side_up
    return Setup(tool=operation.setup.tool, side=side, place="bench" if bench else place)


def change_cost(weights: Weights, before: Setup, after: Setup) -> int:
    """Return what going from one setup to another costs. [s]"""
    tool = weights.tool_change if after.tool and after.tool != before.tool else 0
    turn = weights.turn_over if after.side != before.side else 0
    lift = weights.lift if after.place != before.place else 0
    return tool + turn + lift


def joint_cost(structure: Structure, weights: Weights, name: str) -> int:
    """Return what opening a joint costs the owner. [s]"""
    joint = structure.joints[name]
    seals = [structure.parts[seal] for seal in joint.seals if seal in structure.parts]
    always = [seal for seal in seals if seal.renew is RenewRule.ALWAYS]
    return weights.joint.get(joint.kind, 0) + sum(weights.renewal.get(s.kind, 0) for s in always)


def start_state(structure: Structure, already: Iterable[str], place: str) -> State:
    """Return the state the unit is in after the operations done already."""
    done = [structure.operations[name] for name in already]
    facts = frozenset(fact for operation in done for fact in operation.gives)
    joints = frozenset(joint for operation in done for joint in operation.opens)
    return facts, joints, Setup(tool="", side=structure.side_up, place=place)


def _steps(
    structure: Structure, weights: Weights, state: State, place: str
) -> Iterator[tuple[tuple[int, int, int], str, State]]:
    facts, joints, setup = state
    for operation in structure.operations.values():
        if not can_do(structure, operation, facts, place):
            continue
        following = setup_for(structure, operation, place)
        opened = set(operation.opens) - joints
        cost = operation.seconds_off + operation.seconds_on
        cost += sum(joint_cost(structure, weights, name) for name in opened)
        cost += change_cost(weights, setup, following)
        parts = sum(1 for part in operation.takes if off(part) not in facts)
        yield (
            (cost, parts, int(setup != following)),
            operation.id,
            (facts | operation.gives, joints | opened, following),
        )


def sequence_cost(
    structure: Structure,
    weights: Weights,
    order: Iterable[str],
    already: Iterable[str] = (),
    place: str = "bench",
) -> int:
    """Return what a given legal order costs. [s]"""
    state = start_state(structure, already, place)
    total = 0
    for name in order:
        taken = [s for s in _steps(structure, weights, state, place) if s[1] == name]
        if not taken:
            raise AssertionError(f"{name} cannot be done here")
        total, state = total + taken[0][0][0], taken[0][2]
    return total


def least_cost(
    structure: Structure,
    weights: Weights,
    goals: Iterable[Goal],
    already: Iterable[str] = (),
    place: str = "bench",
) -> Least | None:
    """
    Return the least of all legal strips that reach the goals, or None where none does.

    `already` are the operations done before; a position in the list breaks ties so that the
    search is the same everywhere, but the order found is only one of the best.
    """
    needs = [ways(structure, goal) for goal in goals]
    start = start_state(structure, already, place)
    count = itertools.count()
    waiting = [((0, 0, 0), next(count), start, ())]
    settled: set[State] = set()
    while waiting:
        spent, _, state, order = heapq.heappop(waiting)
        if state in settled:
            continue
        settled.add(state)
        if all(any(true_of(structure, way, state[0]) for way in need) for need in needs):
            return Least(cost=spent[0], parts_off=spent[1], setups=spent[2], order=order)
        for price, name, following in _steps(structure, weights, state, place):
            if following not in settled:
                total = (spent[0] + price[0], spent[1] + price[1], spent[2] + price[2])
                heapq.heappush(waiting, (total, next(count), following, (*order, name)))
    return None
