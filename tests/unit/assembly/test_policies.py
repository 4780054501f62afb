"""How much more than asked each policy renews."""

from __future__ import annotations

from dataclasses import replace

import pytest

from springcase.assembly.expand import build_structure
from springcase.assembly.family_file import read_family
from springcase.assembly.model import (
    Goal,
    GoalKind,
    PartKind,
    Plan,
    Policy,
    Question,
    StepKind,
    Structure,
)
from springcase.assembly.planner import make_plan, next_policy, scope_goals
from springcase.job.plan import weigh
from springcase.owner import read_owner
from springcase.scenario import FAMILIES, family_path
from unit.assembly.small_family import make_family

COSTS = weigh(read_owner(None))
BUILDS = {name: build_structure(read_family(family_path(name))) for name in FAMILIES}


def ask(structure: Structure, scope: str, policy: Policy = Policy.LEAST) -> Question:
    """Return the question of a scope on the bench."""
    return Question(
        goals=scope_goals(structure, scope),
        place="bench",
        gas=structure.services[0],
        scope=scope,
        policy=policy,
    )


def plan(name: str, scope: str, policy: Policy = Policy.LEAST) -> Plan:
    """Return the plan of a family's scope under a policy."""
    return make_plan(BUILDS[name], ask(BUILDS[name], scope, policy), COSTS)


@pytest.mark.parametrize("name", FAMILIES)
def test_least_renews_what_is_asked_and_what_the_rules_say(name: str) -> None:
    """Under `least` a renewed part is asked for, or disturbed and always renewed."""
    structure, made = BUILDS[name], plan(name, "change-spring")
    asked = {goal.part for goal in made.question.goals if goal.kind is GoalKind.RENEW}
    always = {id for id, part in structure.parts.items() if part.renew.value == "always"}

    assert asked <= set(made.renewed)
    assert set(made.renewed) - asked <= always | set(made.seals_disturbed)
    assert ask(structure, "change-spring").goals == made.question.goals


@pytest.mark.parametrize("name", FAMILIES)
def test_while_open_renews_every_soft_part_laid_open(name: str) -> None:
    """Under `while-open` every soft part in a chamber that a joint opened closes is renewed."""
    structure = BUILDS[name]
    made = plan(name, "change-spring", Policy.WHILE_OPEN)
    opened = {c for joint in made.joints_opened for c in structure.joints[joint].chambers}
    soft = {
        id
        for id, part in structure.parts.items()
        if part.kind is PartKind.SOFT and part.chamber in opened and can_come_loose(structure, id)
    }

    assert opened
    assert soft <= set(made.renewed)


@pytest.mark.parametrize("name", FAMILIES)
def test_full_kit_renews_every_part_a_kit_holds(name: str) -> None:
    """Under `full-kit` every part of every kit that can come loose is renewed."""
    structure, made = BUILDS[name], plan(name, "change-spring", Policy.FULL_KIT)
    held = {id for id, part in structure.parts.items() if part.kit}

    assert {id for id in held if can_come_loose(structure, id)} <= set(made.renewed)
    assert made.cost >= plan(name, "change-spring").cost


def can_come_loose(structure: Structure, part: str) -> bool:
    """Return whether some operation brings a part by itself."""
    return any(f"loose:{part}" in each.gives for each in structure.operations.values())


@pytest.mark.parametrize("name", FAMILIES)
def test_the_next_policy_is_said_on_one_line(name: str) -> None:
    """What the next policy would add is exactly what its plan has more."""
    structure, made = BUILDS[name], plan(name, "change-spring")
    question = ask(structure, "change-spring")
    following = next_policy(structure, made, question, COSTS)
    wider = plan(name, "change-spring", Policy.WHILE_OPEN)

    assert following is not None
    assert (Policy.WHILE_OPEN, wider.seconds_whole - made.seconds_whole) == (
        following.policy, following.seconds
    )  # fmt: skip
    assert set(wider.renewed) - set(made.renewed) == set(following.adds)
    full = replace(question, policy=Policy.FULL_KIT)
    assert next_policy(structure, made, full, COSTS) is None


def test_an_exchange_brings_its_parts_with_it() -> None:
    """In an exchange every part of the lump goes back new and none is renewed by a policy."""
    structure = BUILDS["elm"]
    lump = structure.operations[structure.scopes["exchange"].exchange]
    made = plan("elm", "exchange", Policy.FULL_KIT)

    assert set(lump.parts) <= set(made.renewed)
    assert lump.id in made.order
    assert not any(id.startswith("bench-") for id in made.order)


@pytest.mark.parametrize("name", FAMILIES)
def test_an_overhaul_takes_apart_every_separable_part(name: str) -> None:
    """After an overhaul every part some operation can bring by itself has been by itself."""
    structure, made = BUILDS[name], plan(name, "overhaul")
    facts = {fact for id in made.order for fact in structure.operations[id].gives}
    separable = {fact for each in structure.operations.values() for fact in each.gives}

    assert {fact for fact in separable if fact.startswith("loose:")} <= facts


def test_every_part_and_check_of_every_family_can_be_asked() -> None:
    """Each part reached, renewed and looked at by itself, and each check, has a proven plan."""
    unproved = []
    for name, structure in BUILDS.items():
        goals = [
            Goal(kind=kind, part=id)
            for id, part in structure.parts.items()
            if not part.fixed
            for kind in (GoalKind.REACH, GoalKind.INSPECT)
        ]
        goals += [
            Goal(kind=GoalKind.INSPECT, part=check.id)
            for part in structure.parts.values()
            for check in part.checks
        ]
        goals += [
            Goal(kind=GoalKind.RENEW, part=id)
            for id in structure.parts
            if can_come_loose(structure, id)
        ]
        for goal in goals:
            question = Question(goals=(goal,), place="bench", gas=structure.services[0])
            if not make_plan(structure, question, COSTS).optimal:
                unproved.append((name, goal))

    assert [] == unproved


def test_a_policy_asks_only_for_what_can_still_come_loose() -> None:
    """Where a part taken off alone bars its lump, the others of it are not asked for."""
    alone = {"part.damper.off": {"minutes_off": 1, "minutes_on": 1}}
    structure = build_structure(make_family(alone), {"damper": "fitted"})
    question = Question(
        goals=(Goal(kind=GoalKind.REACH, part="spring"),),
        place="bench",
        gas="natural-gas",
        policy=Policy.FULL_KIT,
        done=("damper",),
    )
    whole = make_plan(structure, replace(question, done=()), COSTS)
    barred = make_plan(structure, question, COSTS)

    assert {"diaphragm", "disc"} <= set(whole.renewed)
    assert set() == {"diaphragm", "disc"} & set(barred.renewed)


def test_a_new_unit_is_neither_opened_greased_nor_set_inside() -> None:
    """An exchange inspects, greases and sets nothing inside the units it swaps."""
    made = plan("elm", "exchange")
    inside = set(BUILDS["elm"].operations["whole-unit"].parts)
    kinds = {StepKind.INSPECT, StepKind.LUBRICATE, StepKind.ACT, StepKind.CHECK}

    assert [] == [step.id for step in made.steps if step.kind in kinds and inside & {*step.parts}]
    assert "fit:whole-unit" in {step.id for step in made.steps}
