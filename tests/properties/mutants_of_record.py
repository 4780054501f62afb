"""Mutants of inspection, safety, records, lists, kit, cost and times."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from properties.mutation import (
    STRIPPING,
    at,
    breaks,
    changed,
    disturbed,
    dropped,
    end_of_rebuild,
    in_phase,
    inserted,
    moved,
    opened,
    swapped,
    where,
)
from springcase.assembly.model import (
    KitLine,
    PartKind,
    Phase,
    Plan,
    Step,
    StepKind,
    Structure,
)


def _each_dropped(plan: Plan, *kinds: StepKind, starting: str = "") -> Iterator[Plan]:
    for position in where(plan, *kinds):
        if plan.steps[position].id.startswith(starting):
            yield dropped(plan, position)


def _strip_begins(plan: Plan) -> int | None:
    positions = where(plan, *STRIPPING)
    return positions[0] if positions else None


@breaks("inspect-missing")
def check_of_a_disturbed_part_left_out(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out each check of a part the strip disturbs."""
    scope = structure.scopes.get(plan.question.scope)
    if not (scope and scope.exchange):
        for position in where(plan, StepKind.INSPECT):
            if plan.steps[position].check:
                yield dropped(plan, position)


@breaks("disturbed-unseen")
def soft_part_neither_seen_nor_renewed(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Put a soft part back as it was, unseen."""
    looking = (StepKind.INSPECT, StepKind.LOOK, StepKind.WIPE)
    scope = structure.scopes.get(plan.question.scope)
    for part in sorted(disturbed(structure, plan)):
        if structure.parts[part].kind is not PartKind.SOFT or (scope and scope.exchange):
            continue
        seen = [i for i in where(plan, *looking) if part in plan.steps[i].parts]
        renewals = [i for i in where(plan, StepKind.RENEW) if part in plan.steps[i].parts]
        blind = dropped(plan, *seen, *renewals)
        for position, step in enumerate(blind.steps):
            if part in step.new:
                left = tuple(name for name in step.new if name != part)
                blind = changed(blind, position, new=left)
        yield blind
        return


@breaks("look-missing")
def filter_not_looked_at(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out each look."""
    yield from _each_dropped(plan, StepKind.LOOK)


@breaks("wipe-missing")
def bare_seal_not_wiped(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out wiping a seal that stays in."""
    for position in where(plan, StepKind.WIPE):
        if plan.steps[position].parts[0] not in plan.renewed:
            yield dropped(plan, position)


@breaks("hold-missing")
def hold_optimised_away(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out each hold."""
    yield from _each_dropped(plan, StepKind.HOLD)


@breaks("hold-late")
def hold_after_the_operation(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Make each hold after what it should guard."""
    begin = _strip_begins(plan)
    for position in where(plan, StepKind.HOLD):
        chamber = plan.steps[position].phase is Phase.MAKE_SAFE
        guarded = begin if chamber else position + 1
        if guarded is None:
            continue
        while guarded < len(plan.steps) and plan.steps[guarded].kind not in STRIPPING:
            guarded += 1
        if guarded < len(plan.steps):
            yield moved(plan, position, guarded + 1)


@breaks("hold-order")
def chambers_in_another_order(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Exchange the first and the last hold of the chambers."""
    chambers = [i for i in where(plan, StepKind.HOLD) if i in in_phase(plan, Phase.MAKE_SAFE)]
    if len(chambers) > 1:
        yield swapped(plan, chambers[0], chambers[-1])


@breaks("hold-not-direct")
def caution_far_from_the_act(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Let a spring down long before the operation it guards."""
    begin = _strip_begins(plan)
    for position in where(plan, StepKind.HOLD):
        if plan.steps[position].phase is Phase.STRIP and begin is not None and begin < position:
            yield moved(plan, position, begin)


@breaks("mark-missing")
def orientation_not_asked(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out each mark of a part this strip takes off."""
    taken = {p for name in plan.order for p in structure.operations[name].takes}
    parts = {mark.id: mark.part for mark in structure.marks}
    for position in where(plan, StepKind.MARK):
        if parts.get(plan.steps[position].mark) in taken:
            yield dropped(plan, position)


@breaks("screw-read-missing")
def screw_not_recorded(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out the screw's height, then its turns."""
    yield from _each_dropped(plan, StepKind.READ, starting="read:screw-")


@breaks("ready-late")
def mark_or_screw_read_too_late(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Ask for a mark or the screw when the first thing is off."""
    begin = _strip_begins(plan)
    for position in in_phase(plan, Phase.READY):
        if begin is not None:
            yield moved(plan, position, begin + 1)


@breaks("restore-missing")
def orientation_not_restored(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out each restoring."""
    yield from _each_dropped(plan, StepKind.RESTORE)


@breaks("restore-late")
def orientation_restored_elsewhere(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Restore a mark when the rebuild is over, if that is not right behind its fit."""
    for position in where(plan, StepKind.RESTORE):
        end = end_of_rebuild(plan)
        if any(s.kind is not StepKind.RESTORE for s in plan.steps[position:end]):
            yield moved(plan, position, end)


@breaks("as-found-missing")
def as_found_not_recorded(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out each as-found reading."""
    yield from _each_dropped(plan, StepKind.READ, starting="read:as-found-")


@breaks("as-found-late")
def as_found_read_too_late(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Ask for an as-found reading when the first thing is off."""
    begin = _strip_begins(plan)
    for position in in_phase(plan, Phase.AS_FOUND):
        if begin is not None:
            yield moved(plan, position, begin + 1)


@breaks("protect-missing")
def open_ends_left_open(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out protecting open ends."""
    yield from _each_dropped(plan, StepKind.PROTECT)


@breaks("protect-late")
def open_ends_protected_too_late(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Protect open ends behind a further operation, or before anything is open."""
    for position in where(plan, StepKind.PROTECT):
        further = [i for i in where(plan, *STRIPPING) if i > position]
        earlier = [i for i in where(plan, *STRIPPING) if i < position]
        if further:
            yield moved(plan, position, further[0] + 1)
        if earlier:
            yield moved(plan, position, earlier[0])


@breaks("rags-missing")
def rags_not_counted_out(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out counting the rags."""
    yield from _each_dropped(plan, StepKind.RAGS)


@breaks("rags-early")
def rags_counted_before_the_end(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Count the rags before the last line of the rebuild."""
    position = at(plan, "rags:out")
    rebuild = in_phase(plan, Phase.REBUILD)
    if position is not None and len(rebuild) > 1:
        yield moved(plan, position, rebuild[-2])
        yield moved(plan, position, rebuild[0])


@breaks("leak-missing")
def joint_off_the_leak_list(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave each opened joint off the leak list."""
    for position in where(plan, StepKind.LEAK):
        if plan.steps[position].joint:
            yield dropped(plan, position)


@breaks("leak-extra")
def shut_joint_on_the_leak_list(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Put a joint nobody opened on the leak list."""
    shut = [joint for joint in structure.joints if joint not in opened(structure, plan)]
    for joint in shut[:1]:
        last = where(plan, StepKind.LEAK)[-1]
        number = plan.steps[last].number + 1
        step = Step(
            id=f"leak:{joint}", kind=StepKind.LEAK, phase=Phase.LOAD, joint=joint, number=number
        )
        yield inserted(plan, last + 1, step)


@breaks("leak-number")
def leak_list_numbered_wrongly(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Number a joint by another number, and put the list in another order."""
    joints = [i for i in where(plan, StepKind.LEAK) if plan.steps[i].joint]
    for position in joints[:1]:
        yield changed(plan, position, number=plan.steps[position].number + 1)
    if len(joints) > 1:
        yield swapped(plan, joints[0], joints[-1])


@breaks("leak-low-missing")
def no_look_at_low_pressure(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out the first look for leaks."""
    yield from _each_dropped(plan, StepKind.LEAK, starting="leak:low")


@breaks("prove-missing")
def work_not_proved(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out each proof."""
    yield from _each_dropped(plan, StepKind.PROVE)


@breaks("close-missing")
def job_not_closed(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out each closing line."""
    yield from _each_dropped(plan, StepKind.CLOSE)


@breaks("parts-off-list")
def parts_off_said_wrongly(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave a part off the list, and turn the list round."""
    if plan.parts_off:
        yield replace(plan, parts_off=plan.parts_off[:-1])
    if len(plan.parts_off) > 1:
        yield replace(plan, parts_off=tuple(reversed(plan.parts_off)))


@breaks("joints-list")
def joints_said_wrongly(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave a joint off the list."""
    if plan.joints_opened:
        yield replace(plan, joints_opened=plan.joints_opened[:-1])


@breaks("seals-list")
def seals_said_wrongly(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave a seal off the list, or add one."""
    if plan.seals_disturbed:
        yield replace(plan, seals_disturbed=plan.seals_disturbed[1:])
    others = [part for part in structure.parts if part not in plan.seals_disturbed]
    yield replace(plan, seals_disturbed=(*plan.seals_disturbed, others[0]))


@breaks("renewed-list")
def renewals_said_wrongly(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave a part off the list of renewals, or add one."""
    if plan.renewed:
        yield replace(plan, renewed=plan.renewed[1:])
    others = [part for part in structure.parts if part not in plan.renewed]
    yield replace(plan, renewed=(*plan.renewed, others[0]))


def _kit_without(plan: Plan, line_id: str) -> Plan:
    return replace(plan, kit=tuple(line for line in plan.kit if line.id != line_id))


@breaks("kit-renewal")
def new_part_not_in_the_kit(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave a renewed part out of the kit, take too few, or only in case of a finding."""
    firm = {line.id for line in plan.kit if not line.on_finding}
    for part in [name for name in plan.renewed if name in firm][:1]:
        yield _kit_without(plan, part)
        for change in ({"count": 999}, {"on_finding": True}):
            lines = (
                replace(line, **change) if line.id == part else line  # type: ignore[arg-type]
                for line in plan.kit
            )
            yield replace(plan, kit=tuple(lines))


@breaks("kit-renewal")
def exchange_without_a_unit(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Exchange a unit and take none along."""
    for line in plan.kit:
        if line.id.startswith("unit:"):
            yield _kit_without(plan, line.id)


@breaks("kit-consumable")
def consumable_not_in_the_kit(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave each consumable, sealant or locking part out of the kit."""
    used_up = {PartKind.CONSUMABLE, PartKind.SEALANT, PartKind.LOCKING}
    for part in sorted(disturbed(structure, plan)):
        carried = any(line.id == part for line in plan.kit)
        if structure.parts[part].kind in used_up and carried:
            yield _kit_without(plan, part)


@breaks("kit-lubricant")
def lubricant_not_in_the_kit(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave each lubricant out of the kit."""
    for line in plan.kit:
        if line.id in structure.lubricants:
            yield _kit_without(plan, line.id)


@breaks("kit-tool")
def tool_not_in_the_kit(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave each tool out of the kit."""
    for line in plan.kit:
        if line.id in structure.tools:
            yield _kit_without(plan, line.id)


@breaks("kit-extra")
def line_nobody_needs(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Put a part nobody touches and a tool nobody uses into the kit."""
    carried = {line.id for line in plan.kit}
    touched = disturbed(structure, plan)
    goals = {goal.part.partition("/")[0] for goal in plan.question.goals}
    parts = [part for part in structure.parts if part not in touched | goals | carried]
    tools = [tool for tool in structure.tools if tool not in carried]
    lines = [(part, True) for part in parts[:1]]
    lines += [(name, False) for name in (*parts[:1], *tools[:1])]
    for name, spare in lines:
        line = KitLine(id=name, group="", words=name, on_finding=spare)
        yield replace(plan, kit=(*plan.kit, line))


@breaks("cost-wrong")
def cost_a_second_less(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Say that the plan costs a second less, or more."""
    yield replace(plan, cost=plan.cost - 1)
    yield replace(plan, cost=plan.cost + 1)


@breaks("bound-above-cost")
def bound_above_the_cost(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Say that nothing can cost less than more than this plan."""
    yield replace(plan, bound=plan.cost + 1)


@breaks("optimal-wrong")
def optimal_without_proof(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Say optimal with a gap, and not optimal without one."""
    yield replace(plan, bound=plan.cost - 1, optimal=True)
    yield replace(plan, bound=plan.cost, optimal=False)


@breaks("seconds-strip")
def strip_said_shorter(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Say that the strip takes a minute less."""
    yield replace(plan, seconds_strip=plan.seconds_strip - 60)


@breaks("seconds-rebuild")
def rebuild_said_shorter(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Say that the rebuild takes a minute less."""
    yield replace(plan, seconds_rebuild=plan.seconds_rebuild - 60)


@breaks("seconds-whole")
def job_said_shorter(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Say that the whole job takes a minute less."""
    yield replace(plan, seconds_whole=plan.seconds_whole - 60)
