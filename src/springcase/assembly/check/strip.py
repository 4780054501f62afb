"""The start, the strip and the rebuild, replayed operation by operation."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from springcase.assembly.check.forms import Wanted
from springcase.assembly.check.rules import Fault, fault
from springcase.assembly.check.truth import Truth, barred, do_id, undo_id
from springcase.assembly.model import Operation, OperationKind, Phase, StepKind, loose, off


def count_of(truth: Truth, operation: Operation) -> int:
    """Return how many ticks an operation has: the pieces of its one part, or one."""
    part = truth.structure.parts.get(operation.parts[0]) if len(operation.parts) == 1 else None
    return part.count if part else 1


def place_of(truth: Truth, operation: Operation) -> str:
    """Return where an operation is done: a split on the bench, the rest where the unit is."""
    return "bench" if operation.kind is OperationKind.SPLIT else truth.plan.question.place


def side_of(truth: Truth, operation: Operation) -> str:
    """Return which side is up for an operation."""
    return operation.setup.side or truth.structure.side_up


def wanted_operations(truth: Truth) -> Iterator[Wanted]:
    """Yield the strip and fitting steps with what they must hold."""
    for name in dict.fromkeys((*truth.done, *truth.fits)):
        operation = truth.structure.operations[name]
        split = operation.kind is OperationKind.SPLIT
        if name in truth.strip:
            yield Wanted(
                id=do_id(operation),
                kind=StepKind.SPLIT if split else StepKind.STRIP,
                phase=Phase.STRIP,
                missing="id-mismatch",
                facts={
                    "operation": name,
                    "parts": operation.parts,
                    "tool": operation.setup.tool,
                    "side": side_of(truth, operation),
                    "place": place_of(truth, operation),
                    "count": count_of(truth, operation),
                    "seconds": operation.seconds_off,
                },
            )
        yield Wanted(
            id=undo_id(operation),
            kind=StepKind.JOIN if split else StepKind.FIT,
            phase=Phase.REBUILD,
            # A fit that is not there is refused as a part lost.
            missing="",
            facts={"operation": name, "parts": operation.parts, "seconds": operation.seconds_on},
        )


def check_start(truth: Truth) -> Iterator[Fault]:
    """Refuse a start no legal sequence gives, or that is not the one asked about."""
    structure, plan = truth.structure, truth.plan
    facts: frozenset[str] = frozenset()
    for name in plan.already:
        operation = structure.operations.get(name)
        if operation is None:
            continue
        for reason in barred(structure, operation, facts):
            yield fault("start-illegal", operation=name, reason=reason)
        facts |= operation.gives
    known = [structure.operations[n] for n in plan.already if n in structure.operations]
    joints = dict.fromkeys(joint for operation in known for joint in operation.opens)
    if tuple(plan.already_joints) != tuple(joints):
        yield fault("already-joints", value=plan.already_joints, right=tuple(joints))
    question = plan.question
    if question.done:
        if question.done != plan.already:
            yield fault("start-mismatch", value=plan.already, right=question.done)
        return
    yield from _check_removed(truth, known)


def _check_removed(truth: Truth, known: list[Operation]) -> Iterator[Fault]:
    """Compare what is off at the start with the parts and lumps the question names."""
    structure, removed = truth.structure, truth.plan.question.removed
    parts = {name for name in removed if name in structure.parts}
    lumps = {name for name in removed if name in structure.operations} - parts
    for name in removed:
        if name not in parts | lumps:
            yield fault("unknown-id", field="removed", value=name)
    taken = parts | {part for name in lumps for part in structure.operations[name].takes}
    really = {part for part in structure.parts if off(part) in truth.start}
    if taken != really:
        yield fault("start-mismatch", value=sorted(really), right=sorted(taken))
    by_itself = {part for part in structure.parts if loose(part) in truth.start}
    # A split may leave other parts by themselves: those come along with the part named.
    along = {
        part
        for part in by_itself
        for operation in known
        if loose(part) in operation.gives and any(loose(name) in operation.gives for name in parts)
    }
    if not parts <= by_itself or not by_itself <= parts | along:
        yield fault("start-mismatch", value=sorted(by_itself), right=sorted(parts))


def check_strip(truth: Truth) -> Iterator[Fault]:
    """Refuse an operation that cannot be done where it stands."""
    structure, plan = truth.structure, truth.plan
    if truth.strip != plan.order:
        yield fault("strip-steps", value=truth.strip, right=plan.order)
    facts = truth.start
    for name in truth.strip:
        operation = structure.operations[name]
        for reason in barred(structure, operation, facts):
            yield fault(f"strip-{reason}", do_id(operation), operation=name)
        if place_of(truth, operation) == "line" and not operation.in_line:
            yield fault("strip-in-line", do_id(operation), operation=name)
        facts |= operation.gives


def check_rebuild(truth: Truth) -> Iterator[Fault]:
    """Refuse a rebuild that loses or doubles something, or is no legal strip backwards."""
    structure, plan = truth.structure, truth.plan
    if truth.fits != plan.rebuild:
        yield fault("rebuild-steps", value=truth.fits, right=plan.rebuild)
    fitted = Counter(truth.fits)
    for name in truth.done:
        if name not in fitted:
            yield fault("part-lost", undo_id(structure.operations[name]), operation=name)
    for name, times in fitted.items():
        step = undo_id(structure.operations[name])
        if times > 1:
            yield fault("fitted-twice", step, operation=name)
        if name not in truth.done:
            yield fault("fitted-never-off", step, operation=name)
    facts: frozenset[str] = frozenset()
    for name in reversed(truth.fits):
        operation = structure.operations[name]
        for reason in barred(structure, operation, facts):
            yield fault("rebuild-access", undo_id(operation), operation=name, reason=reason)
        facts |= operation.gives
