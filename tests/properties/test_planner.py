"""
The planner on random builds: always legal, never dearer than looking at every state.

Builds come from `structures`, the least cost from `brute_force`; neither knows the planner.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping
from dataclasses import replace
from itertools import pairwise
from typing import TypeVar

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from properties.brute_force import Least, can_do, least_cost, start_state
from properties.expanded import as_expanded, random_build, without
from properties.structures import (
    random_goals,
    random_legal_prefix,
    random_question,
    random_structure,
    random_weights,
)
from springcase.assembly.check import check_plan
from springcase.assembly.model import (
    Goal,
    GoalKind,
    OperationKind,
    Phase,
    Plan,
    Policy,
    Question,
    StepKind,
    Structure,
    Weights,
    loose,
    off,
)
from springcase.assembly.planner import make_plan, next_policy
from springcase.assembly.start import find_start
from springcase.errors import BadInput, NoPlan

SEEDS = st.integers(0, 2**32)
Value = TypeVar("Value")
Asked = tuple[Structure, Weights, Question]


def ask(seed: int, *, already: int = 4, policy: bool = False, largest: int = 10) -> Asked:
    """Return a random build, costs, and a question that may start part-way."""
    rng = random.Random(seed)
    structure = random_build(rng, largest=largest)
    costs = random_weights(rng)
    return structure, costs, random_question(rng, structure, already=already, policy=policy)


def plan_or_none(structure: Structure, costs: Weights, question: Question) -> Plan | None:
    """Return the plan, or None where the planner says that there is none."""
    try:
        return make_plan(structure, question, costs)
    except NoPlan:
        return None


def oracle(structure: Structure, costs: Weights, question: Question) -> Least | None:
    """Return the least by looking at every state."""
    return least_cost(structure, costs, question.goals, question.done, question.place)


def setups_of(structure: Structure, plan: Plan) -> int:
    """Return how often the setup changes in a plan's strip, leaving the start included."""
    steps = [s for s in plan.steps if s.kind in (StepKind.STRIP, StepKind.SPLIT)]
    setups = [("", structure.side_up, plan.question.place)]
    setups += [(step.tool, step.side, step.place) for step in steps]
    return sum(one != other for one, other in pairwise(setups))


def differences(structure: Structure, costs: Weights, question: Question) -> list[str]:
    """Return how the plan of a question differs from the oracle's, in words; mostly nothing."""
    plan = plan_or_none(structure, costs, question)
    least = oracle(structure, costs, question if plan is None else plan.question)
    if plan is None or least is None:
        return [] if plan is None and least is None else [f"plan {plan}, oracle {least}"]
    wanted = (least.cost, least.parts_off, least.setups, least.cost, True)
    got = (
        plan.cost, len(plan.parts_off), setups_of(structure, plan), plan.bound, plan.optimal
    )  # fmt: skip
    return [] if wanted == got else [f"oracle {wanted}, plan {got}"]


@settings(max_examples=200, deadline=None)
@given(SEEDS)
def test_a_plan_is_legal_and_least(seed: int) -> None:
    """Up to ten parts a plan passes the checker and is the least: cost, parts off, setups."""
    structure, costs, question = ask(seed, policy=True)
    plan = plan_or_none(structure, costs, question)

    assert () == (() if plan is None else check_plan(structure, costs, plan))
    assert [] == differences(structure, costs, question)


def test_two_thousand_questions_have_the_least_plan() -> None:
    """The same holds of two thousand seeded questions, most of which have a plan."""
    wrong, planned = [], 0
    for seed in range(2000):
        asked = ask(seed)
        wrong += [f"{seed}: {each}" for each in differences(*asked)]
        planned += plan_or_none(*asked) is not None

    assert [] == wrong
    assert planned > 1600


@settings(max_examples=80, deadline=None)
@given(SEEDS)
def test_more_goals_never_cost_less(seed: int) -> None:
    """The cost of some goals is at most the cost of these and others (point 12)."""
    structure, costs, question = ask(seed)
    more = (*question.goals, *random_goals(random.Random(seed + 1), structure))
    plans = [
        plan_or_none(structure, costs, replace(question, goals=more[:count]))
        for count in range(1, len(more) + 1)
    ]
    known = [plan.cost for plan in plans if plan is not None]

    assert sorted(known) == known
    assert all(plan is None for plan in plans[len(known) :])


def mixed(rng: random.Random, table: Mapping[str, Value]) -> dict[str, Value]:
    """Return a table in another order."""
    names = list(table)
    rng.shuffle(names)
    return {name: table[name] for name in names}


@settings(max_examples=80, deadline=None)
@given(SEEDS)
def test_the_order_of_a_build_decides_nothing(seed: int) -> None:
    """Parts, joints, operations and goals in another order give the same order and rebuild."""
    structure, costs, question = ask(seed)
    rng = random.Random(seed)
    turned = replace(
        structure,
        parts=mixed(rng, structure.parts),
        joints=mixed(rng, structure.joints),
        operations=mixed(rng, structure.operations),
    )
    goals = tuple(rng.sample(question.goals, len(question.goals)))
    plan = plan_or_none(structure, costs, question)
    other = plan_or_none(turned, costs, replace(question, goals=goals))

    assert (plan is None) == (other is None)
    if plan is not None and other is not None:
        assert (plan.order, plan.rebuild, plan.cost) == (other.order, other.rebuild, other.cost)
        assert {step.id for step in plan.steps} == {step.id for step in other.steps}


@settings(max_examples=60, deadline=None)
@given(SEEDS)
def test_what_a_plan_does_not_use_may_be_taken_away(seed: int) -> None:
    """Without an operation its plan does not use, a question costs exactly the same."""
    structure, costs, question = ask(seed)
    plan = plan_or_none(structure, costs, question)
    if plan is None:
        return
    spare = [id for id in structure.operations if id not in (*plan.already, *plan.order)]
    for id in spare:
        rest = {name: each for name, each in structure.operations.items() if name != id}
        less = make_plan(replace(structure, operations=rest), question, costs)

        assert (plan.cost, len(plan.parts_off)) == (less.cost, len(less.parts_off))


@settings(max_examples=80, deadline=None)
@given(SEEDS)
def test_a_part_left_out_never_adds_cost(seed: int) -> None:
    """A build that lacks a part which nobody asks for costs at most what the full one costs."""
    structure, costs, question = ask(seed, already=0)
    plan = plan_or_none(structure, costs, question)
    if plan is None:
        return
    asked = {goal.part for goal in question.goals}
    for part in structure.parts:
        if part not in asked and not structure.parts[part].fixed:
            less = make_plan(without(structure, part), question, costs)

            assert less.cost <= plan.cost


@settings(max_examples=80, deadline=None)
@given(SEEDS)
def test_a_finding_never_undoes_a_step(seed: int) -> None:
    """A re-plan after any step keeps what is done by its ids and is the least from there."""
    structure, costs, question = ask(seed, already=0, largest=8)
    plan = plan_or_none(structure, costs, question)
    if plan is None:
        return
    rng = random.Random(seed)
    rest = {goal.part for goal in question.goals}
    for count in range(len(plan.order) + 1):
        found = rng.choice([part for part in structure.parts if part != "body"])
        finding = Goal(kind=GoalKind.RENEW, part=found)
        done = plan.order[:count]
        again = replace(question, goals=(*question.goals, finding), done=done, found=(found,))
        onward = plan_or_none(structure, costs, again)
        least = oracle(structure, costs, again)

        assert (onward is None) == (least is None)
        if onward is None or least is None:
            continue
        assert (least.cost, True) == (onward.cost, onward.optimal)
        assert done == onward.already
        assert set() == set(done) & set(onward.order)
        assert fit_ids(structure, done) <= {step.id for step in onward.steps}
        assert found in onward.renewed
        assert rest <= {goal.part for goal in onward.question.goals}


def fit_ids(structure: Structure, done: Iterable[str]) -> set[str]:
    """Return the ids of the steps that undo operations."""
    kinds = {id: structure.operations[id].kind for id in done}
    return {f"join:{id}" if kinds[id] is OperationKind.SPLIT else f"fit:{id}" for id in kinds}


@settings(max_examples=60, deadline=None)
@given(SEEDS)
def test_steps_survive_a_replan(seed: int) -> None:
    """With the same goals, what a plan said of steps not yet done is said again by their ids."""
    structure, costs, question = ask(seed, already=0)
    plan = plan_or_none(structure, costs, question)
    if plan is None:
        return
    marks = {f"mark:{mark.id}" for mark in structure.marks}
    for count in range(len(plan.order) + 1):
        onward = make_plan(structure, replace(question, done=plan.order[:count]), costs)
        late = {s.id for s in plan.steps if s.phase in (Phase.LOAD, Phase.PROVE, Phase.CLOSE)}
        same = set(onward.order) == set(plan.order[count:])

        assert late <= {step.id for step in onward.steps} or not same
        assert onward.cost <= plan.cost
        assert marks >= {step.id for step in onward.steps if step.kind is StepKind.MARK}


def removed_by(structure: Structure, prefix: Iterable[str]) -> tuple[str, ...]:
    """Return how a person would say what is off: lumps still whole, and parts by themselves."""
    facts = frozenset(fact for id in prefix for fact in structure.operations[id].gives)
    apart = [part for part in structure.parts if loose(part) in facts]
    lumps = [
        id
        for id in prefix
        if structure.operations[id].kind is OperationKind.LUMP
        and not structure.operations[id].takes <= set(apart)
    ]
    return (*apart, *lumps)


@settings(max_examples=150, deadline=None)
@given(SEEDS)
def test_what_a_legal_strip_took_off_may_be_removed(seed: int) -> None:
    """What any legal strip has off is accepted as removed, and the plan is the least from it."""
    rng = random.Random(seed)
    structure = random_build(rng)
    costs = random_weights(rng)
    prefix = random_legal_prefix(rng, structure, rng.randint(1, 6))
    question = Question(
        goals=random_goals(rng, structure),
        place="bench",
        gas="natural-gas",
        removed=removed_by(structure, prefix),
    )
    start = find_start(structure, question, costs)
    facts, _, _ = start_state(structure, prefix, "bench")
    plan = plan_or_none(structure, costs, question)
    least = least_cost(structure, costs, question.goals, start.done)

    assert facts == start.facts
    assert (None if least is None else least.cost) == (None if plan is None else plan.cost)


def can_be_removed(structure: Structure, wanted: frozenset[str]) -> bool:
    """Return whether some legal strip makes exactly these facts true."""
    waiting: list[frozenset[str]] = [frozenset()]
    seen = set(waiting)
    while waiting:
        facts = waiting.pop()
        for operation in structure.operations.values():
            reached = facts | operation.gives
            legal = reached <= wanted and can_do(structure, operation, facts, "bench")
            if legal and reached not in seen:
                seen.add(reached)
                waiting.append(reached)
    return wanted in seen


@settings(max_examples=200, deadline=None)
@given(SEEDS)
def test_what_no_strip_takes_off_is_refused(seed: int) -> None:
    """A set of removed parts no legal strip gives is refused, and what bars it is named."""
    rng = random.Random(seed)
    structure = random_build(rng, largest=7)
    names = [part for part in structure.parts if part != "body"]
    removed = tuple(rng.sample(names, rng.randint(1, 3)))
    question = Question(
        goals=random_goals(rng, structure), place="bench", gas="natural-gas", removed=removed
    )
    wanted = frozenset(fact for part in removed for fact in (off(part), loose(part)))
    possible = can_be_removed(structure, wanted)
    try:
        found = find_start(structure, question, random_weights(rng)).facts
        error = None
    except BadInput as refused:
        error, found = refused, None

    assert (wanted if possible else None) == found
    if error is not None:
        assert "removed-cannot-be" == error.code
        assert isinstance(error.right, list) and error.right
        assert {error.value} <= set(removed)


@settings(max_examples=100, deadline=None)
@given(SEEDS, st.sampled_from((1, 10, 60, 200, 600)))
def test_a_tiny_budget_gives_a_legal_plan_and_a_true_bound(seed: int, budget: int) -> None:
    """With next to no effort a plan is still legal, and its bound is never above the least."""
    structure, costs, question = ask(seed)
    least = oracle(structure, costs, question)
    try:
        plan = make_plan(structure, question, costs, budget=budget)
    except NoPlan as refused:
        spent = refused.code == "effort-spent"

        assert least is None or spent
        return

    assert least is not None
    assert plan.bound <= least.cost <= plan.cost
    assert (plan.bound == plan.cost) == plan.optimal
    assert () == check_plan(structure, costs, plan)


def test_a_tiny_budget_leaves_gaps_and_finds_plans() -> None:
    """With hardly any effort fourteen parts get a plan with a gap, whose bound is true."""
    gaps = planless = 0
    for seed in range(120):
        rng = random.Random(seed)
        drawn = random_structure(rng, parts=14, alternatives=0.9, lumps=2, joints=0.4)
        structure, costs = as_expanded(drawn), random_weights(rng)
        goals = random_goals(rng, structure, 5)
        question = Question(goals=goals, place="bench", gas="natural-gas")
        exact = make_plan(structure, question, costs)
        try:
            plan = make_plan(structure, question, costs, budget=100)
        except NoPlan:
            planless += 1
            continue
        gaps += not plan.optimal

        assert exact.optimal
        assert plan.bound <= exact.cost <= plan.cost

    assert gaps > 20
    assert planless < 10


@settings(max_examples=60, deadline=None)
@given(SEEDS)
def test_a_wider_policy_renews_more(seed: int) -> None:
    """The next policy asks all this one does, and what it is said to add is what it adds."""
    structure, costs, question = ask(seed)
    plan = plan_or_none(structure, costs, question)
    wide = replace(question, policy=Policy.WHILE_OPEN)
    wider = plan_or_none(structure, costs, wide) if plan is not None else None
    if plan is None or wider is None:
        return
    following = next_policy(structure, plan, question, costs)

    assert following is not None
    assert set(plan.question.goals) <= set(wider.question.goals)
    assert {goal.part for goal in wider.question.goals if goal.kind is GoalKind.RENEW} <= set(
        wider.renewed
    )
    assert set(wider.renewed) - set(plan.renewed) == set(following.adds)
    assert wider.seconds_whole - plan.seconds_whole == following.seconds
    assert plan.cost <= wider.cost


def test_a_circle_bars_a_goal_and_is_named() -> None:
    """Where two parts wait for each other, the refusal names the goal and the circle."""
    structure = random_build(random.Random(5), smallest=4, largest=4)
    operations = {
        name: replace(each, needs=(frozenset({off(other)}),))
        for name, other in (("part-000", "part-001"), ("part-001", "part-000"))
        for each in [structure.operations[name]]
    }
    barred = replace(structure, operations={**structure.operations, **operations})
    goal = Goal(kind=GoalKind.REACH, part="part-000")
    question = Question(goals=(goal,), place="bench", gas="natural-gas")

    with pytest.raises(NoPlan, match=r"^\[goal-unreachable\].*part-000 needs part-001"):
        make_plan(barred, question, random_weights(random.Random(5)))
