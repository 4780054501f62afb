"""The plan's own figures: its lists, its kit, its cost and its times, computed again."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from springcase.assembly.check.asked import exchanged, inspect_goals
from springcase.assembly.check.parts import renewed_by_steps
from springcase.assembly.check.rules import Fault, fault
from springcase.assembly.check.strip import place_of, side_of
from springcase.assembly.check.truth import Truth
from springcase.assembly.model import (
    PartKind,
    Phase,
    RenewRule,
    Setup,
    StepKind,
    Weights,
)

_USED_UP = frozenset({PartKind.CONSUMABLE, PartKind.SEALANT, PartKind.LOCKING})


def check_lists(truth: Truth) -> Iterator[Fault]:
    """Compare the lists of parts off, joints opened and seals disturbed."""
    plan, operations = truth.plan, truth.structure.operations
    taken = tuple(
        part
        for name in truth.strip
        for part in operations[name].parts
        if part in operations[name].takes
    )
    if plan.parts_off != taken:
        yield fault("parts-off-list", value=plan.parts_off, right=taken)
    if plan.joints_opened != truth.opened:
        yield fault("joints-list", value=plan.joints_opened, right=truth.opened)
    seals = sorted(truth.joint_seals | truth.withdrawn | truth.exposed)
    if sorted(plan.seals_disturbed) != seals:
        yield fault("seals-list", value=plan.seals_disturbed, right=tuple(seals))


def _change(before: Setup, after: Setup, weights: Weights) -> int:
    cost = 0
    if after.tool not in ("", before.tool):
        cost += weights.tool_change
    if after.side != before.side:
        cost += weights.turn_over
    if after.place != before.place:
        cost += weights.lift
    return cost


def _changes(truth: Truth, weights: Weights, names: tuple[str, ...], *, from_start: bool) -> int:
    """Return the time of the setup changes of a sequence, from the start or from its first. [s]"""
    structure = truth.structure
    setups = [
        Setup(
            tool=structure.operations[name].setup.tool,
            side=side_of(truth, structure.operations[name]),
            place=place_of(truth, structure.operations[name]),
        )
        for name in names
    ]
    if from_start:
        place = truth.plan.question.place
        setups.insert(0, Setup(tool="", side=structure.side_up, place=place))
    return sum(_change(before, after, weights) for before, after in pairwise(setups))


def _joint_costs(truth: Truth, weights: Weights) -> Iterator[int]:
    """Yield the owner's cost of every joint opened that was not open at the start. [s]"""
    structure = truth.structure
    start = {n for n in truth.plan.already if n in structure.operations}
    paid = {joint for name in start for joint in structure.operations[name].opens}
    for name in truth.opened:
        if name not in paid:
            joint = structure.joints[name]
            yield weights.joint.get(joint.kind, 0)
            seals = (structure.parts[seal] for seal in joint.seals if seal in structure.parts)
            yield sum(
                weights.renewal.get(seal.kind, 0)
                for seal in seals
                if seal.renew is RenewRule.ALWAYS
            )


def recompute_cost(truth: Truth, weights: Weights) -> int:
    """Return the cost of the strip steps: minutes, joints and setup changes. [s]"""
    operations = (truth.structure.operations[name] for name in truth.strip)
    minutes = sum(operation.seconds_off + operation.seconds_on for operation in operations)
    changes = _changes(truth, weights, truth.strip, from_start=True)
    return minutes + changes + sum(_joint_costs(truth, weights))


def check_cost(truth: Truth, weights: Weights) -> Iterator[Fault]:
    """Compare cost, bound and times with the steps."""
    plan = truth.plan
    cost = recompute_cost(truth, weights)
    if plan.cost != cost:
        yield fault("cost-wrong", value=plan.cost, right=cost)
    if plan.bound > plan.cost:
        yield fault("bound-above-cost", value=plan.bound, right=plan.cost)
    if plan.optimal != (plan.bound == plan.cost):
        yield fault("optimal-wrong", value=plan.optimal, bound=plan.bound, cost=plan.cost)
    steps = {
        phase: sum(step.seconds for step in plan.steps if step.phase is phase) for phase in Phase
    }
    steps[Phase.STRIP] += _changes(truth, weights, truth.strip, from_start=True)
    steps[Phase.REBUILD] += _changes(truth, weights, truth.fits, from_start=False)
    steps[Phase.REBUILD] += sum(_joint_costs(truth, weights))
    times = {
        "seconds-strip": (plan.seconds_strip, steps[Phase.STRIP]),
        "seconds-rebuild": (plan.seconds_rebuild, steps[Phase.REBUILD]),
        "seconds-whole": (plan.seconds_whole, sum(steps.values())),
    }
    for code, (value, right) in times.items():
        if value != right:
            yield fault(code, value=value, right=right)


def _lubricants_used(truth: Truth) -> set[str]:
    joints = (truth.structure.joints[name] for name in truth.opened)
    used = {step.lubricant for step in truth.plan.steps} | {j.lubricated for j in joints}
    return used - {""}


def _tools_used(truth: Truth) -> set[str]:
    structure = truth.structure
    used = {structure.operations[name].setup.tool for name in (*truth.strip, *truth.fits)}
    used |= {structure.joints[name].tool for name in truth.opened}
    acts = {f"act:{act.id}": act.tool for act in structure.acts}
    looking = {StepKind.INSPECT, StepKind.CHECK}
    for step in truth.plan.steps:
        used.add(step.tool)
        used.add(acts.get(step.id, ""))
        part = structure.parts.get(step.parts[0]) if step.parts else None
        if step.kind in looking and part:
            name = step.id.rpartition("/")[2]
            used |= {c.tool for c in part.checks if c.id.rpartition("/")[2] == name}
    return used - {""}


def check_kit(truth: Truth) -> Iterator[Fault]:
    """Refuse a kit that lacks what the steps use, or has a line nobody needs."""
    parts, plan = truth.structure.parts, truth.plan
    firm = {line.id: line for line in plan.kit if not line.on_finding}
    spare = {line.id for line in plan.kit if line.on_finding}
    # An exchanged unit is one line of its own: nobody packs its parts one by one.
    renewed = renewed_by_steps(truth) - exchanged(truth)
    if exchanged(truth) and not any(line.id.startswith("unit:") for line in plan.kit):
        yield fault("kit-renewal", part="unit", count=1)
    used_up = {part for part in truth.disturbed if parts[part].kind in _USED_UP} - exchanged(truth)
    for part in sorted(renewed & parts.keys()):
        if part not in firm or firm[part].count != parts[part].count:
            yield fault("kit-renewal", part=part, count=parts[part].count)
    for part in sorted(used_up - firm.keys() - spare):
        yield fault("kit-consumable", part=part)
    lubricants, tools = _lubricants_used(truth), _tools_used(truth)
    for lubricant in sorted(lubricants - firm.keys()):
        yield fault("kit-lubricant", lubricant=lubricant)
    for tool in sorted(tools - firm.keys()):
        yield fault("kit-tool", tool=tool)
    needed = renewed | used_up | lubricants | tools
    ours = parts.keys() | truth.structure.lubricants.keys() | truth.structure.tools.keys()
    for name in sorted((firm.keys() & ours) - needed):
        yield fault("kit-extra", line=name)
    goals = {name.partition("/")[0] for name in inspect_goals(truth)}
    for name in sorted((spare & ours) - truth.disturbed - goals):
        yield fault("kit-extra", line=name)
