"""
What a plan's own steps make true, replayed from nothing.

Everything the checker compares a plan with is computed here from the structure and the steps
as they stand; the plan's lists are never believed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from springcase.assembly.model import (
    Alternatives,
    Joint,
    Operation,
    OperationKind,
    Plan,
    Step,
    StepKind,
    Structure,
    loose,
    off,
)

OPENING = frozenset({StepKind.STRIP, StepKind.SPLIT})
FITTING = frozenset({StepKind.FIT, StepKind.JOIN})


@dataclass(frozen=True, slots=True, kw_only=True)
class Truth:
    """
    The replay of a plan.

    `strip` and `fits` are the operations of the steps as they stand; `done` is the start, then
    the strip, each operation once. `brings` names, for each part that is off, the operation
    whose undoing brings it back (a join where it came loose from a lump); `seats` the one whose
    undoing puts it on the body.
    """

    structure: Structure
    plan: Plan
    strip: tuple[str, ...]
    fits: tuple[str, ...]
    done: tuple[str, ...]
    start: frozenset[str]
    end: frozenset[str]
    gone: frozenset[str]
    apart: frozenset[str]
    opened: tuple[str, ...]
    withdrawn: frozenset[str]
    exposed: frozenset[str]
    joint_seals: frozenset[str]
    disturbed: frozenset[str]
    brings: Mapping[str, str]
    seats: Mapping[str, str]
    positions: Mapping[str, int]
    possible: frozenset[str]

    def at(self, step: str) -> int | None:
        """Return where a step stands, or None where the plan lacks it."""
        return self.positions.get(step)

    def openers(self, joint: str) -> tuple[str, ...]:
        """Return the operations done that open a joint."""
        return tuple(o for o in self.done if joint in self.structure.operations[o].opens)

    def refits(self, operations: Iterable[str]) -> tuple[int, ...]:
        """Return where the operations are undone, those the plan undoes."""
        found = (self.at(undo_id(self.structure.operations[name])) for name in operations)
        return tuple(position for position in found if position is not None)

    def first_operation(self) -> int:
        """Return where the strip begins, or the number of steps where nothing is stripped."""
        steps = self.plan.steps
        return next((i for i, s in enumerate(steps) if s.kind in OPENING), len(steps))


def do_id(operation: Operation) -> str:
    """Return the id of the step that does an operation."""
    kind = StepKind.SPLIT if operation.kind is OperationKind.SPLIT else StepKind.STRIP
    return f"{kind}:{operation.id}"


def undo_id(operation: Operation) -> str:
    """Return the id of the step that undoes an operation."""
    kind = StepKind.JOIN if operation.kind is OperationKind.SPLIT else StepKind.FIT
    return f"{kind}:{operation.id}"


def closing_ids(joint: Joint) -> tuple[str, ...]:
    """Return the ids of the steps that close a joint, in order."""
    name = joint.fastener or joint.id
    if joint.torque is None:
        return (f"tighten:{name}",)
    passes = tuple(f"torque:{name}:pass-{k}" for k in range(1, len(joint.passes) + 1))
    return (*passes, f"torque:{name}:round") if joint.pattern else passes


def holds(structure: Structure, fact: str, facts: frozenset[str]) -> bool:
    """Return whether a fact is true; both facts are true of a part the build lacks."""
    return fact in facts or fact.partition(":")[2] not in structure.parts


def met(structure: Structure, needs: Alternatives, facts: frozenset[str]) -> bool:
    """Return whether one alternative is wholly true."""
    return any(all(holds(structure, fact, facts) for fact in way) for way in needs)


def view(structure: Structure, part: str) -> Alternatives:
    """Return when a part can be seen; by default when nothing bars taking it off."""
    own = structure.parts[part].view
    if own:
        return own
    takers = (o for o in structure.operations.values() if part in o.takes)
    return tuple(way for operation in takers for way in operation.needs)


def barred(structure: Structure, operation: Operation, facts: frozenset[str]) -> tuple[str, ...]:
    """Return the ends of the rules an operation breaks in a state: access, taken, nothing."""
    wrong = []
    if not met(structure, operation.needs, facts):
        wrong.append("access")
    if any(off(part) in facts for part in operation.takes):
        wrong.append("taken-twice")
    if operation.gives <= facts:
        wrong.append("gives-nothing")
    return tuple(wrong)


def facts_of(structure: Structure, operations: Iterable[str]) -> frozenset[str]:
    """Return the facts operations make true together."""
    return frozenset(fact for name in operations for fact in structure.operations[name].gives)


def _possible(structure: Structure, start: frozenset[str], place: str) -> frozenset[str]:
    """Return every fact that chaining from a start reaches, at one place."""
    left = [
        operation
        for operation in structure.operations.values()
        if not any(off(part) in start for part in operation.takes)
        and (operation.in_line or place != "line" or operation.kind is OperationKind.SPLIT)
    ]
    facts = start
    while True:
        ready = [operation for operation in left if met(structure, operation.needs, facts)]
        if not ready:
            return facts
        facts |= frozenset(fact for operation in ready for fact in operation.gives)
        done = {operation.id for operation in ready}
        left = [operation for operation in left if operation.id not in done]


def _undone(steps: Iterable[Step], kinds: frozenset[StepKind], known: Iterable[str]) -> list[str]:
    return [step.operation for step in steps if step.kind in kinds and step.operation in known]


def replay(structure: Structure, plan: Plan) -> Truth:
    """Return what the steps of a plan make true."""
    operations = structure.operations
    strip = _undone(plan.steps, OPENING, operations)
    fits = _undone(plan.steps, FITTING, operations)
    already = [name for name in plan.already if name in operations]
    done = tuple(dict.fromkeys([*already, *strip]))
    start = facts_of(structure, already)
    brings: dict[str, str] = {}
    seats: dict[str, str] = {}
    true: set[str] = set()
    for name in done:
        operation = operations[name]
        fresh = operation.gives - true
        true |= fresh
        for part in structure.parts:
            if off(part) in fresh:
                seats[part] = name
                brings.setdefault(part, name)
            if loose(part) in fresh:
                brings[part] = name
    opened = dict.fromkeys(j for name in done for j in operations[name].opens)
    opened_known = tuple(j for j in opened if j in structure.joints)
    present = structure.parts.keys()
    seals = frozenset(s for j in opened_known for s in structure.joints[j].seals) & present
    withdrawn = frozenset(p for name in done for p in operations[name].withdraws) & present
    exposed = frozenset(p for name in done for p in operations[name].exposes) & present
    gone = frozenset(part for part in present if off(part) in true)
    positions: dict[str, int] = {}
    for position, step in enumerate(plan.steps):
        positions.setdefault(step.id, position)
    return Truth(
        structure=structure,
        plan=plan,
        strip=tuple(strip),
        fits=tuple(fits),
        done=done,
        start=start,
        end=frozenset(true),
        gone=gone,
        apart=frozenset(part for part in present if loose(part) in true),
        opened=opened_known,
        withdrawn=withdrawn,
        exposed=exposed,
        joint_seals=seals,
        disturbed=gone | seals | withdrawn | exposed,
        brings=brings,
        seats=seats,
        positions=positions,
        possible=_possible(structure, start, plan.question.place),
    )
