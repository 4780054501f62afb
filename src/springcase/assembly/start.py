"""The state a job starts from: what is off already must be the result of some legal strip."""

from __future__ import annotations

import difflib
from dataclasses import dataclass

from springcase.assembly.model import (
    Goal,
    GoalKind,
    Operation,
    OperationKind,
    Question,
    Structure,
    Weights,
    loose,
    off,
)
from springcase.assembly.pose import pose
from springcase.assembly.problem import close_over
from springcase.assembly.solve import solve
from springcase.errors import BadInput, UnknownName


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """Operations done already, with the facts they left; they and the joints open in order."""

    done: tuple[str, ...] = ()
    facts: frozenset[str] = frozenset()
    joints: tuple[str, ...] = ()


def find_start(structure: Structure, question: Question, weights: Weights) -> Start:
    """
    Return the start of a question: from its history if known, else from what it says is off.

    Raises
    ------
    UnknownName
        If the build lacks a part, lump or operation named.
    BadInput
        If a set of removed parts cannot be, or a history could not have been done.
    """
    if question.done:
        return replay(structure, question.done)
    if question.removed:
        return _find_history(structure, question, weights)
    return Start()


def replay(structure: Structure, done: tuple[str, ...]) -> Start:
    """
    Return the state that operations done in this order leave.

    Raises
    ------
    UnknownName
        If the build has no such operation.
    BadInput
        If one could not have been done then: names it and what barred it.
    """
    facts: frozenset[str] = frozenset()
    joints: dict[str, None] = {}
    for id in done:
        if id not in structure.operations:
            raise UnknownName(
                "operation-unknown", field="--done", value=id, right=sorted(structure.operations)
            )
        operation = structure.operations[id]
        taken = [part for part in operation.takes if off(part) in facts]
        if taken or operation.gives <= facts:
            raise BadInput("done-twice", field="--done", value=id, right=sorted(taken))
        if not any(need <= facts for need in operation.needs):
            raise BadInput("done-barred", field="--done", value=id, right=_bars(operation, facts))
        facts |= operation.gives
        joints |= dict.fromkeys(operation.opens)
    return Start(done=done, facts=facts, joints=tuple(joints))


def _find_history(structure: Structure, question: Question, weights: Weights) -> Start:
    parts: set[str] = set()
    whole: set[str] = set()
    for name in question.removed:
        lump = structure.operations.get(name)
        if name in structure.parts:
            parts.add(name)
        elif lump is not None and lump.kind is OperationKind.LUMP:
            whole.update(lump.parts)
        else:
            near = difflib.get_close_matches(name[:60], sorted(structure.parts), n=3)
            raise UnknownName(
                "removed-unknown",
                field="--removed",
                value=name,
                right=near or sorted(structure.parts),
                family=structure.family,
            )
    fixed = sorted(part for part in parts if structure.parts[part].fixed)
    if fixed:
        raise BadInput("removed-fixed", field="--removed", value=fixed[0])
    wanted = {off(part) for part in parts | whole} | {loose(part) for part in parts}
    goals = [Goal(kind=GoalKind.RENEW, part=part) for part in sorted(parts)]
    goals += [Goal(kind=GoalKind.REACH, part=part) for part in sorted(whole - parts)]
    # How the parts came off before is only asked so far as it is possible, never priced by place.
    posed = pose(
        structure, weights, goals, "bench", usable=lambda operation: operation.gives <= wanted
    )
    solution = solve(posed.problem)
    if solution is None:
        reached, _ = close_over(posed.problem, (1 << len(posed.operations)) - 1, 0)
        true = {fact for fact, number in posed.facts.items() if reached >> number & 1}
        raise _cannot_be(structure, frozenset(true), wanted)
    return replay(structure, posed.names(solution.order))


def _cannot_be(structure: Structure, facts: frozenset[str], wanted: set[str]) -> BadInput:
    """Return the error that names a part said to be off and what would still hold it."""
    missing = sorted(wanted - facts, key=lambda fact: (fact.startswith("loose"), fact))
    fact = missing[0] if missing else min(wanted)
    part = fact.split(":")[1]
    holders = [
        {each.split(":")[1] for each in operation.gives - wanted} | set(_bars(operation, facts))
        for operation in structure.operations.values()
        if fact in operation.gives
    ]
    still_on = sorted(
        min(holders, key=lambda held: (len(held), sorted(held)), default=set()) - {part}
    )
    return BadInput(
        "removed-cannot-be",
        field="--removed",
        value=part,
        right=still_on or sorted({each.split(":")[1] for each in wanted} - {part}),
    )


def _bars(operation: Operation, facts: frozenset[str]) -> list[str]:
    """Return the parts that bar an operation, by its easiest access."""
    if not operation.needs:
        return []
    nearest = min(operation.needs, key=lambda need: (len(need - facts), sorted(need)))
    return sorted({fact.split(":")[1] for fact in nearest - facts})
