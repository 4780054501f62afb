"""Mutants of what the steps are, of the start, the strip and the goals."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from properties.brute_force import can_do, sight, true_of, ways
from properties.mutation import (
    STRIPPING,
    at,
    breaks,
    changed,
    disturbed,
    doubled,
    dropped,
    gone,
    inserted,
    moved,
    where,
)
from springcase.assembly.model import (
    Goal,
    GoalKind,
    OperationKind,
    Phase,
    Plan,
    Step,
    StepKind,
    Structure,
)


def facts_after(structure: Structure, *names: str) -> frozenset[str]:
    """Return what operations make true."""
    return frozenset(fact for name in names for fact in structure.operations[name].gives)


@breaks("unknown-id")
def names_a_part_the_build_lacks(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Name a part nobody has in one step of each kind that has parts."""
    for position in where(plan, StepKind.INSPECT, StepKind.FIT, StepKind.CLOSE)[:3]:
        yield changed(plan, position, parts=("no-such-part",))


@breaks("unknown-id")
def goal_on_a_part_the_build_lacks(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Ask for a part nobody has."""
    goal = Goal(kind=GoalKind.REACH, part="no-such-part")
    yield replace(plan, question=replace(plan.question, goals=(*plan.question.goals, goal)))


@breaks("unknown-id")
def order_names_no_operation(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Put an operation nobody knows into the order."""
    yield replace(plan, order=(*plan.order, "no-such-operation"))


@breaks("id-duplicated")
def one_id_twice(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Double the last line."""
    yield doubled(plan, len(plan.steps) - 1)


@breaks("id-mismatch")
def id_says_another_thing(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Rename one step of each kind whose id its facts spell."""
    kinds = (*STRIPPING, StepKind.HOLD, StepKind.CLEAN, StepKind.TORQUE, StepKind.INSPECT)
    for kind in kinds:
        for position in where(plan, kind)[:1]:
            step_id = plan.steps[position].id
            yield changed(plan, position, id=step_id.replace(":", ":another-", 1))


@breaks("id-mismatch")
def strip_called_a_look(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Give a step the kind of another."""
    for position in where(plan, StepKind.STRIP)[:1]:
        yield changed(plan, position, kind=StepKind.SPLIT)


@breaks("phase-order")
def first_line_last(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Move the first step behind all others."""
    yield moved(plan, 0, len(plan.steps))


@breaks("phase-wrong")
def leak_test_called_proof(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Say of a step that it belongs to another phase."""
    position = at(plan, "leak:low")
    if position is not None:
        yield changed(plan, position, phase=Phase.PROVE)


@breaks("step-extra")
def line_nobody_asked_for(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Add a closing line of our own, and a look at a part that needs none."""
    last = plan.steps[-1]
    yield inserted(plan, len(plan.steps), replace(last, id="close:sing"))
    untouched = [p.id for p in structure.parts.values() if not p.look]
    inspect = where(plan, StepKind.STRIP)
    if untouched and inspect:
        look = Step(
            id=f"look:{untouched[0]}",
            kind=StepKind.LOOK,
            phase=Phase.INSPECT,
            parts=(untouched[0],),
        )
        yield inserted(plan, where(plan, *STRIPPING)[-1] + 1, look)


@breaks("step-facts")
def strip_step_with_other_facts(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Change the tool, side, place, count, time and parts of a strip step."""
    for position in where(plan, *STRIPPING)[:1]:
        step = plan.steps[position]
        yield changed(plan, position, tool=f"{step.tool}-another")
        yield changed(plan, position, side=f"{step.side}-another")
        yield changed(plan, position, place="line" if step.place == "bench" else "bench")
        yield changed(plan, position, count=step.count + 1)
        yield changed(plan, position, seconds=step.seconds + 60)
        yield changed(plan, position, parts=(*step.parts, "body"))


@breaks("reading-missing")
def nothing_to_write_down(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Empty each reading that must be written down."""
    kinds = (StepKind.MARK, StepKind.READ, StepKind.PROTECT, StepKind.RAGS, StepKind.PROVE)
    for kind in kinds:
        for position in where(plan, kind)[:1]:
            yield changed(plan, position, reading="")


@breaks("start-illegal")
def start_no_sequence_gives(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Say that an operation was done first that cannot be done first."""
    for name in plan.order:
        if not can_do(structure, structure.operations[name], frozenset(), "bench"):
            start = (name, *plan.already)
            yield replace(plan, already=start, question=replace(plan.question, done=start))
            return


@breaks("start-mismatch")
def start_is_not_the_one_asked(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Ask from a start with one part more off, or one operation more done."""
    question = plan.question
    if question.done:
        yield replace(plan, question=replace(question, done=question.done[:-1] + plan.order[:1]))
    elif plan.parts_off:
        removed = (*question.removed, plan.parts_off[0])
        yield replace(plan, question=replace(question, removed=removed))


@breaks("already-joints")
def joint_said_to_be_open(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Say that one more joint was open already, so that nobody pays for it."""
    shut = [joint for joint in structure.joints if joint not in plan.already_joints]
    if shut:
        yield replace(plan, already_joints=(*plan.already_joints, shut[0]))


@breaks("strip-steps")
def order_is_not_the_steps(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Turn the order round and leave the steps."""
    if len(plan.order) > 1:
        yield replace(plan, order=tuple(reversed(plan.order)))
        yield replace(plan, order=plan.order[:-1])


@breaks("strip-access")
def operation_before_what_frees_it(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Move each operation that cannot be done first to the front of the strip."""
    positions = where(plan, *STRIPPING)
    start = facts_after(structure, *plan.already)
    for position in positions[1:]:
        operation = structure.operations[plan.steps[position].operation]
        if not any(true_of(structure, way, start) for way in operation.needs):
            yield moved(plan, position, positions[0])


@breaks("strip-access")
def lump_split_too_early(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Split a lump that is still on the body."""
    for position in where(plan, StepKind.SPLIT):
        part = plan.steps[position].parts[0]
        lumps = [
            i
            for i in where(plan, StepKind.STRIP)
            if part in structure.operations[plan.steps[i].operation].takes
        ]
        if lumps:
            yield moved(plan, position, lumps[0])
            return


@breaks("strip-taken-twice")
def taken_off_twice(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Take something off a second time, under its own step or as another operation."""
    strips = where(plan, StepKind.STRIP)
    for position in strips[:1]:
        yield doubled(plan, position)
    for position in strips:
        step = plan.steps[position]
        for other in structure.operations.values():
            taken = other.takes & structure.operations[step.operation].takes
            if taken and other.id not in plan.order:
                again = replace(step, id=f"strip:{other.id}", operation=other.id, parts=other.parts)
                yield inserted(plan, position + 1, again)
                return


@breaks("strip-gives-nothing")
def done_again_for_nothing(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Do the last operation twice."""
    for position in where(plan, *STRIPPING)[-1:]:
        yield doubled(plan, position)


@breaks("strip-in-line")
def bench_work_in_the_line(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Ask for the plan in the line though something needs the bench."""
    operations = [structure.operations[name] for name in plan.order]
    bench_only = [o for o in operations if not o.in_line and o.kind is not OperationKind.SPLIT]
    if bench_only and plan.question.place == "bench":
        yield replace(plan, question=replace(plan.question, place="line"))


@breaks("goal-not-reached")
def one_goal_more(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Ask for a part the strip never reaches."""
    off_already = gone(structure, plan)
    for part in structure.parts.values():
        if part.id not in off_already and not part.fixed:
            goal = Goal(kind=GoalKind.REACH, part=part.id)
            question = replace(plan.question, goals=(*plan.question.goals, goal))
            yield replace(plan, question=question)
            return


@breaks("goal-not-reached")
def strip_stops_short(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Leave out the strip from the end on until a goal is missed."""
    for kept in range(len(plan.order) - 1, -1, -1):
        facts = facts_after(structure, *plan.already, *plan.order[:kept])
        needs = [ways(structure, goal) for goal in plan.question.goals]
        if not all(any(true_of(structure, way, facts) for way in need) for need in needs):
            left = set(plan.order[kept:])
            steps = [i for i, s in enumerate(plan.steps) if s.operation in left]
            yield dropped(plan, *steps)
            return


@breaks("inspect-access")
def check_nobody_can_make(structure: Structure, plan: Plan) -> Iterator[Plan]:
    """Inspect what the strip gives no access to."""
    facts = facts_after(structure, *plan.already, *plan.order)
    touched = disturbed(structure, plan)
    for part in structure.parts.values():
        for check in part.checks:
            needs = check.needs or sight(structure, part.id)
            reached = any(true_of(structure, way, facts) for way in needs)
            if check.in_rebuild or reached or part.id in touched:
                continue
            step = Step(
                id=f"inspect:{part.id}/{check.id.rpartition('/')[2]}",
                kind=StepKind.INSPECT,
                phase=Phase.INSPECT,
                parts=(part.id,),
                check=check.id,
                reading=check.reading,
            )
            positions = where(plan, *STRIPPING)
            if positions:
                yield inserted(plan, positions[-1] + 1, step)
            return
