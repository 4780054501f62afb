"""The checker accepts what is right, and says what is wrong in facts."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest

from properties.brute_force import least_cost
from properties.plan_builder import build_plan
from springcase.assembly import check
from springcase.assembly.check import RULES, Fault, check_plan
from springcase.assembly.model import (
    Goal,
    GoalKind,
    KitLine,
    Plan,
    Policy,
    StepKind,
    Structure,
)
from unit.assembly.small_unit import (
    COST_BY_HAND,
    LUMP,
    ORDER,
    STEP_LINES,
    make_plan,
    make_question,
    make_structure,
    make_weights,
)


def faults(plan: Plan, structure: Structure | None = None) -> set[str]:
    """Return the codes of the rules a plan breaks."""
    return {f.code for f in check_plan(structure or make_structure(), make_weights(), plan)}


def test_the_correct_plan_is_accepted() -> None:
    """A plan that follows the contract line by line breaks no rule."""
    assert () == check_plan(make_structure(), make_weights(), make_plan())


def test_the_correct_plan_has_the_steps_written_by_hand() -> None:
    """The builder makes exactly the steps a person reads out of the contract."""
    assert STEP_LINES.split() == [step.id for step in make_plan().steps]


def test_the_cost_is_the_sum_made_by_hand() -> None:
    """The plan costs what its lines add up to on paper."""
    assert COST_BY_HAND == make_plan().cost


def test_the_correct_plan_is_the_least() -> None:
    """No other strip of the small unit reaches the goals for less."""
    least = least_cost(make_structure(), make_weights(), make_question().goals)

    assert least is not None
    assert COST_BY_HAND == least.cost


def test_a_fault_says_rule_step_and_facts() -> None:
    """A fault is data: code, step, and what is right beside what stands there."""
    plan = replace(make_plan(), cost=COST_BY_HAND - 60)

    expected = Fault(code="cost-wrong", facts={"value": COST_BY_HAND - 60, "right": COST_BY_HAND})
    assert expected in check_plan(make_structure(), make_weights(), plan)


def test_every_rule_has_a_code_of_its_own_and_a_meaning() -> None:
    """No two rules share a code, and none is without words."""
    codes = [code for code, _ in RULES]

    assert len(codes) == len(set(codes))
    assert all(meaning for _, meaning in RULES)


def test_the_checker_names_only_listed_rules_and_all_of_them() -> None:
    """The codes in the checker's source and the public list of rules are the same set."""
    package = Path(str(check.__file__)).parent
    texts = (p.read_text(encoding="utf-8") for p in package.glob("*.py") if p.name != "rules.py")
    source = "".join(texts)
    codes = {code for code, _ in RULES}
    words = set(re.findall(r'"([a-z]+(?:-[a-z]+)+)"', source))
    spelled = {f"strip-{end}" for end in ("access", "taken-twice", "gives-nothing")}
    spelled |= {
        f"{what}-{end}" for what in ("act", "check") for end in ("missing", "early", "late")
    }
    said = set(re.findall(r'(?:fault\(\s*|missing=|wrong=)"([a-z]+-[a-z-]+)"', source))

    assert said <= codes
    assert codes <= words | spelled


def test_a_replan_from_operations_done_is_accepted() -> None:
    """What was done before is part of the rebuild, and its joints are on the leak list."""
    structure, question = make_structure(), make_question(done=ORDER[:4])
    plan = build_plan(structure, make_weights(), question, ORDER[4:])

    assert set() == faults(plan)
    assert "leak:casing" in [step.id for step in plan.steps]
    assert COST_BY_HAND > plan.cost


def test_parts_and_lumps_said_to_be_off_are_a_start() -> None:
    """A start may be given by the parts that are off and the lumps that are off and whole."""
    removed = ("closing-cap", "control-spring", "casing-screws", "spring-case", "diaphragm-set")
    question = make_question(removed=removed)
    plan = build_plan(make_structure(), make_weights(), question, ORDER[5:], already=ORDER[:5])

    assert set() == faults(plan)


def test_a_split_part_brings_along_what_it_leaves() -> None:
    """A part a split leaves by itself need not be named beside the part that was split off."""
    already = (*ORDER[:5], "split-centre-nut")
    removed = (*ORDER[:5], "centre-nut")
    question = make_question(removed=removed)
    plan = build_plan(make_structure(), make_weights(), question, ORDER[6:], already=already)

    assert set() == faults(plan)


@pytest.mark.parametrize(
    "removed", [("spring-case",), ("diaphragm-set",), ("closing-cap", "lever")]
)
def test_a_start_that_is_not_the_one_asked_is_refused(removed: tuple[str, ...]) -> None:
    """What is off after the operations done already must be just what the question names."""
    question = make_question(removed=removed)
    plan = build_plan(make_structure(), make_weights(), question, ORDER[1:], already=ORDER[:1])

    assert "start-mismatch" in faults(plan)


def test_parts_come_apart_without_being_renewed() -> None:
    """A goal to separate asks for a loose part, and no new one."""
    goals = (Goal(kind=GoalKind.SEPARATE, part="centre-nut"),)
    plan = build_plan(make_structure(), make_weights(), make_question(goals=goals), ORDER[:6])

    assert set() == faults(plan)
    assert "centre-nut" not in plan.renewed


def test_the_full_kit_asks_for_every_part_a_kit_holds() -> None:
    """The gasket that only had to be renewed in place must now come out by itself."""
    question = make_question(policy=Policy.FULL_KIT)
    short = build_plan(make_structure(), make_weights(), question, ORDER)
    whole = build_plan(make_structure(), make_weights(), question, (*ORDER, "orifice-gasket"))

    assert {"goal-not-reached"} == faults(short)
    assert set() == faults(whole)


def test_while_open_asks_for_soft_parts_of_opened_chambers() -> None:
    """A soft part whose chamber is opened anyway is renewed, and reached first."""
    structure = make_structure()
    ring = replace(structure.parts["orifice-gasket"], chamber="inlet")
    structure = replace(structure, parts={**structure.parts, ring.id: ring})
    question = make_question(policy=Policy.WHILE_OPEN)
    plan = build_plan(structure, make_weights(), question, ORDER)

    assert {"goal-not-reached"} == faults(plan, structure)


def test_an_overhaul_takes_everything_apart() -> None:
    """The scope that wants everything is not met by less."""
    question = make_question(scope="overhaul")
    rest = ("orifice-gasket", "bottom-plug", "strainer")
    short = build_plan(make_structure(), make_weights(), question, (*ORDER, *rest[:2]))
    whole = build_plan(make_structure(), make_weights(), question, (*ORDER, *rest))

    assert {"goal-not-reached"} == faults(short)
    assert set() == faults(whole)


def exchange_plan() -> Plan:
    """Return the plan that exchanges the diaphragm assembly whole, as the contract has it."""
    goals = tuple(Goal(kind=GoalKind.REACH, part=part) for part in LUMP)
    question = make_question(goals=goals, scope="exchange")
    plan = build_plan(make_structure(), make_weights(), question, ORDER[:5])
    steps = tuple(
        replace(step, new=LUMP) if step.id == "fit:diaphragm-set" else step
        for step in plan.steps
        if step.id not in ("renew:diaphragm", "renew:tab-washer")
    )
    lines = tuple(line for line in plan.kit if line.id not in LUMP)
    unit = KitLine(id="unit:diaphragm-set", group="unit", words="diaphragm assembly")
    return replace(plan, steps=steps, kit=(*lines, unit), renewed=LUMP)


def test_an_exchange_brings_its_parts_with_it() -> None:
    """A unit exchanged whole is new in every part, and is one line of the kit."""
    plan = exchange_plan()
    old = tuple(replace(s, new=()) if s.kind is StepKind.FIT else s for s in plan.steps)
    bare = tuple(line for line in plan.kit if not line.id.startswith("unit:"))

    assert set() == faults(plan)
    assert "renew-missing" in faults(replace(plan, steps=old, renewed=()))
    assert {"kit-renewal"} == faults(replace(plan, kit=bare))


def test_a_plan_of_nothing_is_checked_like_any_other() -> None:
    """A plan without steps is refused for what it leaves out, and does not break the checker."""
    plan = replace(make_plan(), steps=(), order=(), rebuild=(), kit=())

    assert {"hold-missing", "goal-not-reached", "prove-missing"} <= faults(plan)


def test_the_checker_is_not_upset_by_names_it_does_not_know() -> None:
    """Unknown operations, joints and parts are faults, never a crash."""
    plan = make_plan()
    steps = tuple(
        replace(step, operation="x", joint="x", parts=("x",), check="x", energy="x", mark="x")
        for step in plan.steps
    )
    wild = replace(
        plan,
        steps=steps,
        already=("x",),
        order=("x",),
        rebuild=("x",),
        question=make_question(removed=("x",), scope="x"),
    )

    assert {"unknown-id", "id-mismatch"} <= faults(wild)
