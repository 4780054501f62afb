"""Whether each step is one the plan should have, says what it does, and stands in its phase."""

from __future__ import annotations

from collections import Counter
from collections.abc import Container, Iterator, Mapping
from dataclasses import dataclass, field

from springcase.assembly.check.asked import check_name, find_check
from springcase.assembly.check.rules import Fault, fault
from springcase.assembly.check.truth import Truth
from springcase.assembly.model import Phase, Step, StepKind, Structure

_EXTRA = {
    StepKind.TORQUE: "torque-extra",
    StepKind.TIGHTEN: "torque-extra",
    StepKind.RETORQUE: "torque-extra",
    StepKind.LEAK: "leak-extra",
    StepKind.RENEW: "renew-unasked",
    # These are counted by their operation, whatever the step is called.
    StepKind.STRIP: "",
    StepKind.SPLIT: "",
    StepKind.FIT: "",
    StepKind.JOIN: "",
}
_PHASES = list(Phase)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """
    A step a plan must have (or, where `missing` is empty, may have) and what it must hold.

    `missing` and `wrong` are the rules broken where it is not there or holds other facts;
    `reading` says that it must have something to write down.
    """

    id: str
    kind: StepKind
    phase: Phase
    missing: str
    facts: Mapping[str, object] = field(default_factory=dict)
    wrong: str = "step-facts"
    reading: bool = False


def _spelled(structure: Structure, step: Step) -> str | None:
    """Return the id a step's own facts spell, or None where they do not fix it."""
    kind = step.kind
    part = step.parts[0] if step.parts else ""
    if kind is StepKind.LEAK:
        return f"leak:{step.joint}" if step.joint else "leak:low"
    if kind in (StepKind.TORQUE, StepKind.TIGHTEN, StepKind.RETORQUE):
        joint = structure.joints.get(step.joint)
        name = joint.fastener or joint.id if joint else step.joint
        return f"{kind}:{name}{_pass_of(step.id) if kind is StepKind.TORQUE else ''}"
    if kind in (StepKind.INSPECT, StepKind.CHECK) and (step.check or "/" in step.id):
        return f"{kind}:{part}/{step.check.removeprefix(f'{part}/')}"
    names = {
        StepKind.MARK: step.mark,
        StepKind.RESTORE: step.mark,
        StepKind.HOLD: step.energy,
        StepKind.STRIP: step.operation,
        StepKind.SPLIT: step.operation,
        StepKind.FIT: step.operation,
        StepKind.JOIN: step.operation,
        StepKind.CLEAN: step.joint,
        StepKind.ACT: step.act,
        StepKind.INSPECT: part,
        StepKind.LOOK: part,
        StepKind.WIPE: part,
        StepKind.RENEW: part,
        StepKind.LUBRICATE: part,
    }
    return f"{kind}:{names[kind]}" if kind in names else None


def _pass_of(step_id: str) -> str:
    return step_id[step_id.rfind(":") :] if step_id.count(":") > 1 else ""


def _known(structure: Structure) -> dict[str, Container[str]]:
    """Return the ids a step may name, by the field that names them."""
    return {
        "operation": structure.operations.keys(),
        "joint": structure.joints.keys(),
        "energy": structure.energies.keys(),
        "lubricant": structure.lubricants.keys(),
        "mark": {mark.id for mark in structure.marks},
        "act": {act.id for act in structure.acts},
        "tool": _tools(structure),
    }


def _unknown(
    structure: Structure, known: Mapping[str, Container[str]], step: Step
) -> Iterator[tuple[str, str]]:
    for name, ids in known.items():
        value = str(getattr(step, name))
        if value and value not in ids:
            yield name, value
    for part in (*step.parts, *step.new):
        if part not in structure.parts:
            yield "part", part
    if step.check:
        part = step.parts[0] if step.parts else ""
        if not find_check(structure, f"{part}/{step.check.removeprefix(f'{part}/')}"):
            yield "check", step.check


def _tools(structure: Structure) -> set[str]:
    used = {operation.setup.tool for operation in structure.operations.values()}
    used |= {joint.tool for joint in structure.joints.values()}
    used |= {act.tool for act in structure.acts}
    used |= {check.tool for part in structure.parts.values() for check in part.checks}
    return used | structure.tools.keys()


def check_names(truth: Truth) -> Iterator[Fault]:
    """Refuse ids that are unknown, doubled, or do not say what their step does."""
    structure, plan = truth.structure, truth.plan
    known = _known(structure)
    for step in plan.steps:
        for name, value in _unknown(structure, known, step):
            yield fault("unknown-id", step.id, field=name, value=value)
        spelled = _spelled(structure, step)
        if step.id.partition(":")[0] != step.kind or spelled not in (None, step.id):
            yield fault("id-mismatch", step.id, spelled=spelled or step.kind.value)
    for step_id, times in Counter(step.id for step in plan.steps).items():
        if times > 1:
            yield fault("id-duplicated", step_id, times=times)
    lists = {
        "order": (plan.order, structure.operations),
        "rebuild": (plan.rebuild, structure.operations),
        "already": (plan.already, structure.operations),
        "already_joints": (plan.already_joints, structure.joints),
        "joints_opened": (plan.joints_opened, structure.joints),
        "parts_off": (plan.parts_off, structure.parts),
        "renewed": (plan.renewed, structure.parts),
        "seals_disturbed": (plan.seals_disturbed, structure.parts),
    }
    for name, (values, ids) in lists.items():
        for value in values:
            if value not in ids:
                yield fault("unknown-id", field=name, value=value)
    for goal in plan.question.goals:
        if goal.part not in structure.parts and not find_check(structure, goal.part):
            yield fault("unknown-id", field="goal", value=goal.part)
    if plan.question.scope and plan.question.scope not in structure.scopes:
        yield fault("unknown-id", field="scope", value=plan.question.scope)


def check_phases(truth: Truth) -> Iterator[Fault]:
    """Refuse a step that stands after one of a later phase."""
    latest = 0
    for step in truth.plan.steps:
        phase = _PHASES.index(step.phase)
        if phase < latest:
            yield fault("phase-order", step.id, phase=step.phase.value)
        latest = max(latest, phase)


def compare(truth: Truth, wanted: list[Wanted]) -> Iterator[Fault]:
    """Compare the steps there are with those wanted, one by one."""
    by_id = {want.id: want for want in wanted}
    steps = {step.id: step for step in reversed(truth.plan.steps)}
    for want in wanted:
        if want.missing and want.id not in steps:
            yield fault(want.missing, want.id)
    for step in truth.plan.steps:
        found = by_id.get(step.id)
        if found is None or found.kind is not step.kind:
            code = _extra(truth.structure, step)
            if code:
                yield fault(code, step.id)
            continue
        if step.phase is not found.phase:
            yield fault("phase-wrong", step.id, phase=step.phase.value, right=found.phase.value)
        if found.reading and not step.reading:
            yield fault("reading-missing", step.id)
        for name, right in found.facts.items():
            value = getattr(step, name)
            if value != right:
                yield fault(found.wrong, step.id, field=name, value=value, right=right)


def _extra(structure: Structure, step: Step) -> str:
    if step.kind is StepKind.INSPECT:
        known = {check_name(c) for part in structure.parts.values() for c in part.checks}
        return "inspect-access" if step.id.partition(":")[2] in known else "step-extra"
    return _EXTRA.get(step.kind, "step-extra")
