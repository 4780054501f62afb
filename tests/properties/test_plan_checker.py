"""Random builds: the checker takes every right plan and refuses every mutant of it."""

from __future__ import annotations

import random

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from properties.brute_force import can_do, least_cost
from properties.mutants import mutants
from properties.plan_builder import build_plan
from properties.structures import (
    questions,
    random_legal_prefix,
    random_question,
    random_structure,
    random_weights,
    structures,
    weights,
)
from springcase.assembly.check import check_plan
from springcase.assembly.model import Plan, Structure, Weights

EXAMPLES = settings(max_examples=60, deadline=None)
seeds = st.integers(0, 2**32)


def make_random_plan(seed: int) -> tuple[Structure, Weights, Plan]:
    """Return a random build, costs, and the builder's plan of the least strip."""
    rng = random.Random(seed)
    structure = random_structure(
        rng,
        parts=rng.randint(3, 9),
        lumps=rng.randint(0, 2),
        joints=rng.choice((0.3, 0.8)),
        rules=rng.randint(0, 6),
    )
    costs = random_weights(rng)
    question = random_question(rng, structure, already=rng.choice((0, 3)), policy=False)
    least = least_cost(structure, costs, question.goals, question.done, question.place)
    assume(least is not None)
    assert least is not None
    return structure, costs, build_plan(structure, costs, question, least.order)


@EXAMPLES
@given(seeds)
def test_the_least_plan_is_accepted(seed: int) -> None:
    """The builder's plan of the least strip breaks no rule, and costs what the oracle says."""
    structure, costs, plan = make_random_plan(seed)

    assert () == check_plan(structure, costs, plan)


@EXAMPLES
@given(structures(), weights(), st.data())
def test_any_legal_order_that_reaches_the_goals_is_accepted(
    structure: Structure, costs: Weights, data: st.DataObject
) -> None:
    """Not only the least: whatever is done in a legal order can be planned and put back."""
    question = data.draw(questions(structure))
    rng = data.draw(st.randoms(use_true_random=False))
    order = random_legal_prefix(rng, structure, 99, question.place)
    plan = build_plan(structure, costs, question, order)
    codes = {fault.code for fault in check_plan(structure, costs, plan)}
    unreached = {"goal-not-reached", "renew-missing", "renewed-list"}

    assert codes == set() or ("goal-not-reached" in codes and codes <= unreached)


@settings(max_examples=25, deadline=None)
@given(seeds)
def test_every_mutant_of_a_random_plan_is_refused_for_its_rule(seed: int) -> None:
    """No way to spoil a plan goes through on any build."""
    structure, costs, plan = make_random_plan(seed)
    let_through = [
        name
        for name, rule, mutant in mutants(structure, plan)
        if rule not in {fault.code for fault in check_plan(structure, costs, mutant)}
    ]

    assert let_through == []


@EXAMPLES
@given(structures(largest=12))
def test_a_random_build_is_sound(structure: Structure) -> None:
    """Chaining forward from the whole build reaches every fact any operation gives."""
    assert every_fact(structure) == reached(structure)


def test_a_large_random_build_is_sound() -> None:
    """Three hundred parts with lumps, joints and rebuild rules are as sound as three."""
    structure = random_structure(random.Random(7), parts=300, lumps=25, rules=60)

    assert every_fact(structure) == reached(structure)
    assert structure.arcs
    assert structure.acts


def every_fact(structure: Structure) -> set[str]:
    """Return every fact the operations give."""
    return {fact for operation in structure.operations.values() for fact in operation.gives}


def reached(structure: Structure) -> frozenset[str]:
    """Return what chaining forward from nothing makes true, whatever has been taken."""
    facts: frozenset[str] = frozenset()
    while True:
        more = facts
        for operation in structure.operations.values():
            if any(way <= facts for way in operation.needs):
                more |= operation.gives
        if more == facts:
            return facts
        facts = more


@EXAMPLES
@given(structures())
def test_a_random_prefix_is_legal(structure: Structure) -> None:
    """What the generator says was done before could really be done."""
    order = random_legal_prefix(random.Random(1), structure, 6)
    facts: frozenset[str] = frozenset()
    for name in order:
        assert can_do(structure, structure.operations[name], facts, "bench")
        facts |= structure.operations[name].gives
