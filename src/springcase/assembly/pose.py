"""A question about a structure, posed as bit masks for the solver."""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, replace

from springcase.assembly.model import (
    Alternatives,
    Goal,
    GoalKind,
    Operation,
    RenewRule,
    Setup,
    Structure,
    Weights,
    loose,
    off,
)
from springcase.assembly.problem import Component, Problem, Task
from springcase.errors import NoPlan, UnknownName

LINE = "line"
BENCH = "bench"
PLACES = (LINE, BENCH)


@dataclass(frozen=True, slots=True, kw_only=True)
class Posed:
    """A problem with the names behind its numbers."""

    problem: Problem
    operations: tuple[str, ...]
    facts: Mapping[str, int]
    joints: tuple[str, ...]

    def names(self, order: Iterable[int]) -> tuple[str, ...]:
        """Return operations by id."""
        return tuple(self.operations[index] for index in order)


def joint_seconds(structure: Structure, weights: Weights, joint: str) -> int:
    """Return the owner's cost of renewing what a joint disturbs. [s]"""
    table = structure.joints[joint]
    seals = (structure.parts[seal] for seal in table.seals)
    return weights.joint[table.kind] + sum(
        weights.renewal.get(seal.kind, 0) for seal in seals if seal.renew is RenewRule.ALWAYS
    )


def setup_of(operation: Operation, place: str) -> Setup:
    """Return an operation's setup with its place filled in: bench, or where the unit is."""
    at = operation.setup
    return Setup(tool=at.tool, side=at.side, place=at.place or place)


def start_setup(structure: Structure, place: str) -> Setup:
    """Return what is in hand before the first operation: bare hands, the unit as it stands."""
    return Setup(tool="", side=structure.side_up, place=place)


def change_seconds(weights: Weights, before: Setup, after: Setup) -> int:
    """Return the seconds of going from one setup to another; bare hands are free. [s]"""
    tool = weights.tool_change if after.tool and after.tool != before.tool else 0
    side = weights.turn_over if after.side != before.side else 0
    place = weights.lift if after.place != before.place else 0
    return tool + side + place


def goal_alternatives(structure: Structure, goal: Goal) -> Alternatives:
    """
    Return the sets of facts any of which satisfies a goal.

    Raises
    ------
    UnknownName
        If the build lacks the part or check.
    NoPlan
        If the part is fixed and asked to come off.
    """
    if goal.kind is GoalKind.INSPECT and "/" in goal.part:
        part = _part(structure, goal.part.split("/")[0], goal.kind)
        for check in structure.parts[part].checks:
            if check.id == goal.part and check.in_rebuild:
                # Made on the way back: a part it waits for must have been off.
                return tuple(frozenset({off(first)}) for first in check.after_fit)
            if check.id == goal.part:
                return check.needs or structure.parts[part].view
        known = [check.id for check in structure.parts[part].checks]
        raise UnknownName("check-unknown", field="--inspect", value=goal.part, right=known)
    part = _part(structure, goal.part, goal.kind)
    if goal.kind is GoalKind.INSPECT:
        return structure.parts[part].view
    if structure.parts[part].fixed:
        raise NoPlan("goal-fixed", field=f"--{goal.kind.value}", value=part)
    return (frozenset({off(part) if goal.kind is GoalKind.REACH else loose(part)}),)


def _part(structure: Structure, part: str, kind: GoalKind) -> str:
    if part not in structure.parts:
        near = difflib.get_close_matches(part[:60], sorted(structure.parts), n=3)
        raise UnknownName(
            "part-not-in-build",
            field=f"--{kind.value}",
            value=part,
            right=near or sorted(structure.parts),
            family=structure.family,
        )
    return part


def pose(
    structure: Structure,
    weights: Weights,
    goals: Iterable[Goal],
    place: str,
    *,
    usable: Callable[[Operation], bool] = lambda operation: True,
    start: frozenset[str] = frozenset(),
    start_joints: frozenset[str] = frozenset(),
) -> Posed:
    """
    Return the problem of reaching goals from a state.

    Parameters
    ----------
    usable : callable
        Which operations may be used at all.
    start, start_joints : frozenset of str
        Facts true already, joints open already.

    Raises
    ------
    UnknownName
        If a goal names a part the build lacks.
    NoPlan
        If a goal can never be reached: named with what bars it.
    """
    # By id throughout, so that the order of a file never decides between equal plans.
    usable_operations = [
        operation
        for _, operation in sorted(structure.operations.items())
        if usable(operation) and (operation.in_line or place != LINE)
    ]
    facts: dict[str, int] = {}
    for part in sorted(structure.parts):
        facts[off(part)] = len(facts)
        facts[loose(part)] = len(facts)
    parts = {part: place_ for place_, part in enumerate(sorted(structure.parts))}
    joints = {joint: place_ for place_, joint in enumerate(sorted(structure.joints))}
    setups: dict[Setup, int] = {start_setup(structure, place): 0}
    tasks = []
    for operation in usable_operations:
        setup = setups.setdefault(setup_of(operation, place), len(setups))
        tasks.append(
            Task(
                id=operation.id,
                needs=tuple(_mask(need, facts) for need in operation.needs),
                gives=_mask(operation.gives, facts),
                takes=_mask(operation.takes, parts),
                joints=_mask(operation.opens, joints),
                seconds=operation.seconds_off + operation.seconds_on,
                setup=setup,
            )
        )
    wanted = tuple(
        tuple(_mask(need, facts) for need in goal_alternatives(structure, goal)) for goal in goals
    )
    problem = Problem(
        tasks=tuple(tasks),
        goals=wanted,
        components=_components(list(setups), weights),
        joint_seconds=tuple(joint_seconds(structure, weights, joint) for joint in joints),
        start=_mask(start, facts),
        start_parts=_mask((part for part in parts if off(part) in start), parts),
        start_joints=_mask(start_joints, joints),
        start_setup=0,
    )
    names = tuple(operation.id for operation in usable_operations)
    return Posed(problem=problem, operations=names, facts=facts, joints=tuple(joints))


def _mask(names: Iterable[str], numbers: Mapping[str, int]) -> int:
    mask = 0
    for name in names:
        mask |= 1 << numbers[name]
    return mask


def _components(setups: list[Setup], weights: Weights) -> tuple[Component, ...]:
    """Return tool, side and place as the three additive parts of the setup cost."""
    same = setups[0]
    return tuple(
        _component(
            [getattr(setup, name) for setup in setups],
            [replace(same, **{name: getattr(setup, name)}) for setup in setups],
            weights,
        )
        for name in ("tool", "side", "place")
    )


def _component(values: list[str], setups: list[Setup], weights: Weights) -> Component:
    """Return one part of the setup cost, the other two held alike."""
    names = sorted(set(values))
    shown = dict(zip(values, setups, strict=True))
    return Component(
        label=tuple(names.index(value) for value in values),
        cost=tuple(
            tuple(change_seconds(weights, shown[a], shown[b]) for b in names) for a in names
        ),
    )


def explain_no_plan(structure: Structure, facts: frozenset[str], wanted: Iterable[str]) -> NoPlan:
    """Return the error that names what can never be reached and one shortest circle behind it."""
    missing = sorted(set(wanted) - facts)
    circle = find_circle(structure.operations.values(), facts, missing)
    return NoPlan(
        "goal-unreachable",
        field="scope",
        value=", ".join(fact.split(":")[1] for fact in missing),
        right=" needs ".join(circle),
    )


def find_circle(
    operations: Iterable[Operation], facts: frozenset[str], missing: Iterable[str]
) -> list[str]:
    """Return one shortest chain of blocked facts from a missing one back to itself, or on."""
    waits: dict[str, list[str]] = {}
    for operation in operations:
        blocked = sorted({fact for need in operation.needs for fact in need} - facts)
        for fact in operation.gives - facts:
            waits.setdefault(fact, []).extend(blocked)
    shortest: list[str] = []
    for first in missing:
        paths = [[first]]
        seen: set[str] = set()
        while paths:
            path = paths.pop(0)
            for onward in waits.get(path[-1], []):
                if onward in path:
                    circle = [*path[path.index(onward) :], onward]
                    if not shortest or len(circle) < len(shortest):
                        shortest = circle
                    paths = []
                    break
                if onward not in seen:
                    seen.add(onward)
                    paths.append([*path, onward])
        if not shortest:
            shortest = [first]
    return [fact.split(":")[1] for fact in shortest]
