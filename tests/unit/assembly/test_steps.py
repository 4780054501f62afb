"""The steps of a plan: ids that last, holds first, marks, counts and the leak list."""

from __future__ import annotations

import pytest

from springcase.assembly.model import (
    Goal,
    GoalKind,
    OperationKind,
    Phase,
    Plan,
    Question,
    Step,
    StepKind,
)
from springcase.assembly.planner import make_plan
from springcase.scenario import FAMILIES
from unit.assembly.test_policies import BUILDS, COSTS, plan

SCOPES = ("change-spring", "soft-parts", "seat", "overhaul")
OPENING = (StepKind.STRIP, StepKind.SPLIT)


def at(made: Plan) -> dict[str, int]:
    """Return where each step stands."""
    return {step.id: place for place, step in enumerate(made.steps)}


def of_kind(made: Plan, *kinds: StepKind) -> list[Step]:
    """Return the steps of some kinds, in order."""
    return [step for step in made.steps if step.kind in kinds]


@pytest.mark.parametrize("name", FAMILIES)
def test_one_id_is_one_thing_in_every_plan_of_a_build(name: str) -> None:
    """A step with the same id does the same thing in every scope, with the same tool and parts."""
    meant: dict[str, tuple[object, ...]] = {}
    for scope in SCOPES:
        for step in plan(name, scope).steps:
            same = (
                *(step.kind, step.phase, step.operation, step.parts, step.joint, step.check),
                *(step.energy, step.act, step.mark, step.lubricant, step.tool, step.side),
                *(step.place, step.count, step.torque, step.share, step.reading, step.seconds),
            )

            assert same == meant.setdefault(step.id, same)
    assert len(meant) > 60


@pytest.mark.parametrize("name", FAMILIES)
@pytest.mark.parametrize("scope", SCOPES)
def test_phases_follow_each_other_and_ids_are_not_doubled(name: str, scope: str) -> None:
    """The phases stand in their order, and each id stands once and begins with its kind."""
    steps = plan(name, scope).steps
    phases = [list(Phase).index(step.phase) for step in steps]

    assert sorted(phases) == phases
    assert len({step.id for step in steps}) == len(steps)
    assert all(step.id.startswith(f"{step.kind}:") for step in steps)


@pytest.mark.parametrize("name", FAMILIES)
def test_holds_come_first(name: str) -> None:
    """Each chamber is proved empty before the strip, each spring held before what is marked."""
    structure, made = BUILDS[name], plan(name, "overhaul")
    place = at(made)
    first = min(place[step.id] for step in of_kind(made, *OPENING))
    chambers = {id for id, each in structure.energies.items() if each.kind == "chamber"}

    assert chambers
    assert all(place[f"hold:{id}"] < first for id in chambers)
    for step in of_kind(made, *OPENING):
        for energy in structure.operations[step.operation].energies:
            assert place[f"hold:{energy}"] < place[step.id]


@pytest.mark.parametrize("name", FAMILIES)
def test_a_mark_is_asked_before_and_restored_after(name: str) -> None:
    """Exactly the marks of parts that come off are read, each restored once its part is back."""
    structure, made = BUILDS[name], plan(name, "overhaul")
    place = at(made)
    marks = [mark for mark in structure.marks if mark.part in made.parts_off]

    assert marks
    assert {f"mark:{mark.id}" for mark in marks} == {
        step.id for step in of_kind(made, StepKind.MARK)
    }
    for mark in marks:
        fitted = max(
            place[f"fit:{id}"] for id in made.rebuild
            if mark.part in structure.operations[id].takes
        )  # fmt: skip
        assert place[f"mark:{mark.id}"] < fitted < place[f"restore:{mark.id}"]


@pytest.mark.parametrize("name", FAMILIES)
def test_eight_screws_are_one_step_with_eight_ticks(name: str) -> None:
    """A set of screws comes off in one step and goes back in one, and counts its pieces."""
    structure, made = BUILDS[name], plan(name, "overhaul")
    sets = [
        id for id in made.order
        if len(structure.operations[id].parts) == 1
        and structure.parts[structure.operations[id].parts[0]].count > 1
    ]  # fmt: skip
    joints = {joint.fastener: joint for joint in structure.joints.values()}

    assert sets
    for id in sets:
        part = structure.operations[id].parts[0]
        steps = [step for step in made.steps if step.operation == id]
        torques = [step for step in of_kind(made, StepKind.TORQUE)
                   if part in joints and step.joint == joints[part].id]  # fmt: skip

        assert 2 == len(steps)
        assert {structure.parts[part].count} == {step.count for step in (*steps, *torques)}


@pytest.mark.parametrize("name", FAMILIES)
@pytest.mark.parametrize("scope", SCOPES)
def test_the_leak_list_is_exactly_the_joints_opened(name: str, scope: str) -> None:
    """Each joint opened has one number, 1 to n in the order opened, and no other has any."""
    structure, made = BUILDS[name], plan(name, scope)
    leaks = [step for step in of_kind(made, StepKind.LEAK) if step.joint]
    opened = dict.fromkeys(j for id in made.order for j in structure.operations[id].opens)

    assert list(opened) == [step.joint for step in leaks]
    assert list(range(1, len(leaks) + 1)) == [step.number for step in leaks]
    assert tuple(opened) == made.joints_opened


@pytest.mark.parametrize("name", FAMILIES)
def test_passes_rise_and_a_pattern_ends_in_a_round(name: str) -> None:
    """Each torque is reached in the joint's passes; only a pattern has the closing round."""
    structure, made = BUILDS[name], plan(name, "overhaul")
    for id in made.joints_opened:
        joint = structure.joints[id]
        shares = [step.share for step in of_kind(made, StepKind.TORQUE) if step.joint == id]
        wanted = [] if joint.torque is None else [*joint.passes, *([0] if joint.pattern else [])]

        assert wanted == shares
        assert (joint.torque is None) == any(
            step.joint == id for step in of_kind(made, StepKind.TIGHTEN)
        )


@pytest.mark.parametrize("name", FAMILIES)
def test_what_is_always_looked_at_is_in_the_shortest_job(name: str) -> None:
    """Filter, strainer, screen and sensing line are looked at whatever is asked."""
    structure, made = BUILDS[name], plan(name, "change-spring")
    looked = {id for id, part in structure.parts.items() if part.look}

    assert looked
    assert {f"look:{id}" for id in looked} == {step.id for step in of_kind(made, StepKind.LOOK)}


def test_a_relief_is_read_and_proved_by_its_own_words() -> None:
    """A back-pressure unit cracks and reseats; a reducer has set point and lock-up."""
    cedar, alder = at(plan("cedar", "seat")), at(plan("alder", "seat"))

    assert {"read:as-found-crack", "prove:reseat"} <= set(cedar)
    assert {"read:as-found-set", "prove:lock-up"} <= set(alder)
    assert not {"prove:lock-up", "read:as-found-set"} & set(cedar)


def test_only_the_check_asked_is_made_of_a_part_left_in_place() -> None:
    """One check asked of a part that stays is one inspection, not the part's other checks."""
    structure = BUILDS["alder"]
    alone = [
        check
        for part in structure.parts.values()
        for check in part.checks
        if len(part.checks) > 1 and not check.in_rebuild
    ]
    tried = 0
    for check in alone:
        goal = Goal(kind=GoalKind.INSPECT, part=check.id)
        made = make_plan(
            structure, Question(goals=(goal,), place="bench", gas="natural-gas"), COSTS
        )
        if check.part not in made.parts_off and check.part not in made.seals_disturbed:
            tried += 1
            assert [f"inspect:{check.id}"] == [
                step.id for step in of_kind(made, StepKind.INSPECT) if step.parts == (check.part,)
            ]
    assert tried > 0


def test_a_check_of_the_rebuild_may_be_asked() -> None:
    """Asking for the lever's height takes off what it waits for and makes the check."""
    goal = Goal(kind=GoalKind.INSPECT, part="lever/height")
    made = make_plan(
        BUILDS["alder"], Question(goals=(goal,), place="bench", gas="natural-gas"), COSTS
    )

    assert "lever" in made.parts_off
    assert at(made)["fit:lever"] < at(made)["check:lever/height"]


def test_open_ends_are_protected_at_once() -> None:
    """Directly after the first joint that holds pressure is opened the ends are protected."""
    structure, made = BUILDS["birch"], plan("birch", "overhaul")
    opens = [
        step for step in of_kind(made, *OPENING)
        if any(structure.joints[j].holds_pressure
               for j in structure.operations[step.operation].opens)
    ]  # fmt: skip

    assert at(made)["protect:open-ends"] == at(made)[opens[0].id] + 1
    assert "rags:out" == [step.id for step in made.steps if step.phase is Phase.REBUILD][-1]


def test_a_lump_is_stripped_whole_and_split_on_the_bench() -> None:
    """A lump is one step with all its parts; what comes loose from it is split on the bench."""
    structure, made = (
        BUILDS["dogwood"],
        plan(
            "dogwood",
            "overhaul",
        ),
    )
    kinds = {id: structure.operations[id].kind for id in made.order}
    steps = {step.operation: step for step in of_kind(made, *OPENING)}
    lumps = [id for id, kind in kinds.items() if kind is OperationKind.LUMP]

    assert lumps
    assert all(len(steps[id].parts) > 1 and steps[id].count == 1 for id in lumps)
    assert {"bench"} == {
        steps[id].place for id, kind in kinds.items() if kind is OperationKind.SPLIT
    }
