"""Mutants of the rebuild: fits, arcs, acts, checks, joints, renewals and lubricants."""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import replace

from properties.brute_force import can_do
from properties.mutation import (
    FITTING,
    TIGHTENING,
    at,
    breaks,
    changed,
    doubled,
    dropped,
    end_of_rebuild,
    fits,
    gone,
    in_phase,
    inserted,
    moved,
    opened,
    openers,
    seat,
    swapped,
    where,
)
from springcase.assembly.model import (
    Amount,
    OperationKind,
    Phase,
    Plan,
    Step,
    StepKind,
    Structure,
)


def closing(structure: Structure, plan: Plan, joint: str) -> list[int]:
    """Return where a joint is closed."""
    return [i for i in where(plan, *TIGHTENING) if plan.steps[i].joint == joint]


@breaks("rebuild-steps")
def rebuild_is_not_the_steps(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Turn the rebuild's list round and leave the steps."""
    if len(plan.rebuild) > 1:
        yield replace(plan, rebuild=tuple(reversed(plan.rebuild)))


@breaks("part-lost")
def left_on_the_bench(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out each fit in turn."""
    for position in where(plan, *FITTING):
        yield dropped(plan, position)


@breaks("fitted-twice")
def fitted_again(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Fit something twice."""
    for position in where(plan, *FITTING)[:1]:
        yield doubled(plan, position)


@breaks("fitted-never-off")
def fitted_though_never_off(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Fit something that never came off."""
    never = [o for o in structure.operations.values() if o.id not in plan.rebuild]
    for operation in never[:1]:
        split = operation.kind is OperationKind.SPLIT
        kind = StepKind.JOIN if split else StepKind.FIT
        step = Step(
            id=f"{kind}:{operation.id}",
            kind=kind,
            phase=Phase.REBUILD,
            operation=operation.id,
            parts=operation.parts,
            seconds=operation.seconds_on,
        )
        yield inserted(plan, end_of_rebuild(plan), step)


@breaks("rebuild-access")
def fitted_over_a_place_still_needed(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Exchange two fits next to each other where the later one must be first."""
    positions = where(plan, *FITTING)
    for one, other in itertools.pairwise(positions):
        order = [plan.steps[i].operation for i in positions]
        place = positions.index(one)
        order[place], order[place + 1] = order[place + 1], order[place]
        facts: frozenset[str] = frozenset()
        legal = True
        for name in reversed(order):
            legal = legal and can_do(structure, structure.operations[name], facts, "bench")
            facts |= structure.operations[name].gives
        if not legal:
            yield swapped(plan, one, other)


@breaks("rebuild-arc")
def fitted_against_an_arc(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Fit the second part of an arc before the first."""
    away = gone(structure, plan)
    for arc in structure.arcs:
        if not {arc.first, arc.then} <= away:
            continue
        one, two = seat(structure, plan, arc.first), seat(structure, plan, arc.then)
        first, then = fits(structure, plan, [one]), fits(structure, plan, [two])
        if one != two and first and then and first[0] < then[0]:
            yield moved(plan, then[0], first[0])


@breaks("rebuild-arc-open")
def joint_of_an_arc_left_open(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Close the joint of an arc's first part only when the rebuild is over."""
    away = gone(structure, plan)
    for arc in structure.arcs:
        if not {arc.first, arc.then} <= away:
            continue
        one, two = (structure.operations[seat(structure, plan, p)] for p in (arc.first, arc.then))
        for joint in one.opens:
            closed = closing(structure, plan, joint)
            if one is not two and joint not in two.opens and closed:
                yield moved(plan, closed[-1], end_of_rebuild(plan))


def _late(structure: Structure, plan: Plan, kind: StepKind) -> Iterator[Plan]:
    checks = [c for part in structure.parts.values() for c in part.checks if c.in_rebuild]
    bound = {f"act:{act.id}": act for act in structure.acts}
    away = gone(structure, plan)
    for position in where(plan, kind):
        step = plan.steps[position]
        item = bound.get(step.id)
        if item is None:
            named = step.id.rpartition("/")[2]
            part = step.parts[0] if step.parts else ""
            same = (c for c in checks if c.part == part and c.id.rpartition("/")[2] == named)
            item = next(same, None)  # type: ignore[assignment]
        if item is None:
            continue
        closed = closing(structure, plan, item.before_joint)
        together = {
            seat(structure, plan, p) for p in (*item.after_fit, *item.before_fit) if p in away
        }
        if closed or (len(together) > 1 and any(p in away for p in item.before_fit)):
            yield moved(plan, position, end_of_rebuild(plan))


@breaks("act-missing")
def act_left_out(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out each act."""
    for position in where(plan, StepKind.ACT):
        yield dropped(plan, position)


@breaks("act-early")
def act_too_early(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Do an act before anything is back."""
    for position in where(plan, StepKind.ACT):
        yield moved(plan, position, in_phase(plan, Phase.REBUILD)[0])


@breaks("act-late")
def act_too_late(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Do an act when everything is back and closed."""
    yield from _late(structure, plan, StepKind.ACT)


@breaks("check-missing")
def check_left_out(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out each check of the rebuild."""
    for position in where(plan, StepKind.CHECK):
        yield dropped(plan, position)


@breaks("check-early")
def check_too_early(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Make a check of the rebuild before anything is back."""
    for position in where(plan, StepKind.CHECK):
        yield moved(plan, position, in_phase(plan, Phase.REBUILD)[0])


@breaks("check-late")
def check_too_late(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Make a check of the rebuild when everything is back and closed."""
    yield from _late(structure, plan, StepKind.CHECK)


@breaks("closed-unchecked")
def chamber_closed_before_its_checks(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Look at a part only after its chamber is closed again."""
    shut = {
        chamber
        for joint in opened(structure, plan)
        if closing(structure, plan, joint)
        for chamber in structure.joints[joint].chambers
    }
    for position in where(plan, StepKind.INSPECT, StepKind.LOOK, StepKind.WIPE):
        part = structure.parts[plan.steps[position].parts[0]]
        if part.chamber in shut:
            yield moved(plan, position, end_of_rebuild(plan))
            return


@breaks("clean-missing")
def joint_not_cleaned(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out each cleaning."""
    for position in where(plan, StepKind.CLEAN):
        yield dropped(plan, position)


@breaks("clean-late")
def joint_cleaned_when_closed(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Clean each joint when everything is back."""
    for position in where(plan, StepKind.CLEAN):
        yield moved(plan, position, end_of_rebuild(plan))


@breaks("torque-missing")
def pass_left_out(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out each torque pass."""
    for position in where(plan, StepKind.TORQUE):
        if not plan.steps[position].id.endswith(":round"):
            yield dropped(plan, position)


@breaks("round-missing")
def closing_round_left_out(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out the closing round."""
    for position in where(plan, StepKind.TORQUE):
        if plan.steps[position].id.endswith(":round"):
            yield dropped(plan, position)


@breaks("torque-extra")
def one_pass_too_many(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Tighten in a pass the joint does not have."""
    for position in where(plan, StepKind.TORQUE)[:1]:
        step = plan.steps[position]
        name = step.id.split(":")[1]
        yield inserted(plan, position + 1, replace(step, id=f"torque:{name}:pass-9"))


@breaks("torque-extra")
def shut_joint_tightened(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Tighten a joint nobody opened."""
    shut = [j for j in structure.joints.values() if j.id not in opened(structure, plan)]
    for joint in shut[:1]:
        name = joint.fastener or joint.id
        kind = StepKind.TORQUE if joint.torque else StepKind.TIGHTEN
        ending = ":pass-1" if joint.torque else ""
        step = Step(
            id=f"{kind}:{name}{ending}",
            kind=kind,
            phase=Phase.REBUILD,
            joint=joint.id,
            torque=joint.torque,
            share=joint.passes[0],
        )
        yield inserted(plan, end_of_rebuild(plan), step)


@breaks("torque-value")
def torque_wrong(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Give a torque step another torque, share, count and tool, or none at all."""
    for position in where(plan, StepKind.TORQUE)[:1]:
        step = plan.steps[position]
        if step.torque:
            value = step.torque.value * 10
            yield changed(plan, position, torque=Amount(text=f"{value} N.m", value=value))
        yield changed(plan, position, torque=None)
        yield changed(plan, position, share=step.share + 1)
        yield changed(plan, position, count=step.count + 1)
        yield changed(plan, position, tool=f"{step.tool}-another")


@breaks("torque-order")
def passes_out_of_order(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Exchange the first and the last pass of each joint."""
    for joint in opened(structure, plan):
        closed = closing(structure, plan, joint)
        if len(closed) > 1:
            yield swapped(plan, closed[0], closed[-1])


@breaks("torque-early")
def tightened_before_all_is_back(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Tighten each joint before the last part it holds is fitted."""
    for joint in opened(structure, plan):
        closed = closing(structure, plan, joint)
        back = fits(structure, plan, openers(structure, plan, joint))
        if closed and back and closed[0] > back[-1]:
            yield moved(plan, closed[0], back[-1])


@breaks("torque-late")
def lump_back_with_its_joint_open(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Close a joint of the bench only after its lump is on the body."""
    for joint in opened(structure, plan):
        names = [structure.operations[n] for n in openers(structure, plan, joint)]
        closed = closing(structure, plan, joint)
        if closed and all(o.kind is OperationKind.SPLIT for o in names):
            yield moved(plan, closed[-1], end_of_rebuild(plan))


@breaks("tighten-missing")
def taper_thread_left_loose(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out tightening a joint without torque."""
    for position in where(plan, StepKind.TIGHTEN):
        yield dropped(plan, position)


@breaks("retorque-missing")
def soft_joint_left_relaxed(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out tightening a soft joint again."""
    for position in where(plan, StepKind.RETORQUE):
        yield dropped(plan, position)


@breaks("retorque-early")
def tightened_again_too_soon(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Tighten a soft joint again before everything is back."""
    for position in where(plan, StepKind.RETORQUE):
        later = [i for i in where(plan, *FITTING, *TIGHTENING) if i < position]
        yield moved(plan, position, later[-1])


@breaks("renew-missing")
def old_part_back_in(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Put back the old part where a new one is due."""
    for position in where(plan, *FITTING):
        if plan.steps[position].new:
            yield changed(plan, position, new=())
    for position in where(plan, StepKind.RENEW):
        yield dropped(plan, position)


@breaks("renew-unasked")
def new_part_nobody_asked_for(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Renew a part that comes back and that nobody wants renewed."""
    for position in where(plan, *FITTING):
        step = plan.steps[position]
        spare = [p for p in step.parts if p not in plan.renewed and p not in plan.question.found]
        exchange = structure.scopes.get(plan.question.scope)
        if spare and not (exchange and exchange.exchange):
            new = (*step.new, spare[0])
            yield replace(changed(plan, position, new=new), renewed=(*plan.renewed, spare[0]))
            return


@breaks("renew-late")
def renewed_when_covered(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Renew a part in place when everything is back."""
    for position in where(plan, StepKind.RENEW):
        yield moved(plan, position, end_of_rebuild(plan))


@breaks("renew-uncleaned")
def renewed_on_a_dirty_face(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Renew a seal in place before its joint is cleaned."""
    for position in where(plan, StepKind.RENEW):
        part = plan.steps[position].parts[0]
        if any(part in structure.joints[joint].seals for joint in opened(structure, plan)):
            yield moved(plan, position, in_phase(plan, Phase.REBUILD)[0])


@breaks("new-wrong")
def new_part_in_another_fit(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Say of a new part that another step brings it."""
    positions = where(plan, *FITTING)
    for position in positions:
        new = plan.steps[position].new
        others = [i for i in positions if not set(plan.steps[i].parts) & set(new)]
        if new and others:
            steps = changed(plan, position, new=())
            yield changed(steps, others[0], new=(*plan.steps[others[0]].new, *new))
            return


@breaks("lubricant-missing")
def fitted_dry(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out each lubricant."""
    for position in where(plan, StepKind.LUBRICATE):
        yield dropped(plan, position)


@breaks("lubricant-wrong")
def another_lubricant(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Put on another lubricant, or none."""
    for position in where(plan, StepKind.LUBRICATE)[:1]:
        others = [n for n in structure.lubricants if n != plan.steps[position].lubricant]
        for name in ("", *others[:1]):
            yield changed(plan, position, lubricant=name)


@breaks("lubricant-not-direct")
def lubricant_long_before_the_fit(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Put a lubricant on when the rebuild begins, and when it is over."""
    for position in where(plan, StepKind.LUBRICATE)[-1:]:
        yield moved(plan, position, end_of_rebuild(plan))


@breaks("lubricant-uncleaned")
def lubricant_on_dirt(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Clean a joint only after the part it lets in has its lubricant."""
    for position in where(plan, StepKind.LUBRICATE):
        following = [i for i in where(plan, *FITTING, StepKind.RENEW) if i > position]
        if not following or plan.steps[following[0]].kind is StepKind.RENEW:
            continue
        opens = structure.operations[plan.steps[following[0]].operation].opens
        cleaned = [at(plan, f"clean:{joint}") for joint in opens]
        for clean in cleaned:
            if clean is not None and clean < position:
                yield moved(plan, clean, following[0])
                return
