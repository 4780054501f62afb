"""Every joint opened is cleaned, closed in its passes, re-torqued where soft, and leak-tested."""

from __future__ import annotations

from collections.abc import Iterator

from springcase.assembly.check.forms import Wanted
from springcase.assembly.check.rebuild_order import closings
from springcase.assembly.check.rules import Fault, fault
from springcase.assembly.check.truth import FITTING, Truth, undo_id
from springcase.assembly.model import Joint, OperationKind, Phase, StepKind


def wanted_joints(truth: Truth) -> Iterator[Wanted]:
    """Yield the steps each opened joint needs, and its line on the leak list."""
    for number, name in enumerate(truth.opened, start=1):
        joint = truth.structure.joints[name]
        yield Wanted(
            id=f"clean:{name}",
            kind=StepKind.CLEAN,
            phase=Phase.REBUILD,
            missing="clean-missing",
            facts={"joint": name},
        )
        yield from _wanted_closing(joint)
        yield Wanted(
            id=f"leak:{name}",
            kind=StepKind.LEAK,
            phase=Phase.LOAD,
            missing="leak-missing",
            facts={"joint": name, "number": number},
            wrong="leak-number",
        )
    yield Wanted(
        id="leak:low",
        kind=StepKind.LEAK,
        phase=Phase.LOAD,
        missing="leak-low-missing",
        reading=True,
    )


def _wanted_closing(joint: Joint) -> Iterator[Wanted]:
    name = joint.fastener or joint.id
    if joint.torque is None:
        yield Wanted(
            id=f"tighten:{name}",
            kind=StepKind.TIGHTEN,
            phase=Phase.REBUILD,
            missing="tighten-missing",
            facts={"joint": joint.id, "torque": None},
            wrong="torque-value",
        )
        return
    common = {"joint": joint.id, "torque": joint.torque, "count": joint.count, "tool": joint.tool}
    passes = [(f"pass-{k}", share) for k, share in enumerate(joint.passes, start=1)]
    if joint.pattern:
        passes.append(("round", 0))
    for ending, share in passes:
        yield Wanted(
            id=f"torque:{name}:{ending}",
            kind=StepKind.TORQUE,
            phase=Phase.REBUILD,
            missing="round-missing" if ending == "round" else "torque-missing",
            facts={**common, "share": share},
            wrong="torque-value",
        )
    if joint.retorque:
        yield Wanted(
            id=f"retorque:{name}",
            kind=StepKind.RETORQUE,
            phase=Phase.REBUILD,
            missing="retorque-missing",
            facts={"joint": joint.id, "torque": joint.torque},
            wrong="torque-value",
        )


def check_joints(truth: Truth) -> Iterator[Fault]:
    """Refuse joints cleaned, tightened or re-torqued at the wrong time."""
    structure = truth.structure
    closing = {StepKind.TORQUE, StepKind.TIGHTEN} | FITTING
    steps = truth.plan.steps
    everything = max((i for i, step in enumerate(steps) if step.kind in closing), default=-1)
    for name in truth.opened:
        joint = structure.joints[name]
        fits = truth.refits(truth.openers(name))
        closed = closings(truth, name)
        cleaned = truth.at(f"clean:{name}")
        if cleaned is not None and any(point < cleaned for point in (*fits, *closed)):
            yield fault("clean-late", f"clean:{name}", joint=name)
        if list(closed) != sorted(closed):
            yield fault("torque-order", joint=name)
        if fits and closed and min(closed) < max(fits):
            yield fault("torque-early", steps[min(closed)].id, joint=name)
        yield from _check_bench_joint(truth, name, closed)
        again = truth.at(f"retorque:{joint.fastener or name}")
        if again is not None and again < everything:
            yield fault("retorque-early", steps[again].id, joint=name)


def _check_bench_joint(truth: Truth, name: str, closed: tuple[int, ...]) -> Iterator[Fault]:
    """Refuse a joint inside a lump still open when the lump goes back."""
    operations = truth.structure.operations
    openers = [operations[opener] for opener in truth.openers(name)]
    if not closed or any(operation.kind is not OperationKind.SPLIT for operation in openers):
        return
    lumps = {truth.seats[p] for operation in openers for p in operation.parts if p in truth.gone}
    for lump in lumps:
        back = truth.at(undo_id(operations[lump]))
        if back is not None and max(closed) > back:
            yield fault("torque-late", truth.plan.steps[max(closed)].id, joint=name, lump=lump)


def check_leaks(truth: Truth) -> Iterator[Fault]:
    """Refuse a leak list that does not run from the low look through its numbers."""
    leaks = [step for step in truth.plan.steps if step.kind is StepKind.LEAK]
    numbers = [step.number for step in leaks]
    if numbers != list(range(len(numbers))):
        yield fault("leak-number", value=tuple(numbers))
