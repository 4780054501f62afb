"""The oracle is held to a published case and to looking at every order one by one."""

from __future__ import annotations

import random
from collections.abc import Iterator
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from properties.brute_force import (
    can_do,
    least_cost,
    sequence_cost,
    true_of,
    ways,
)
from properties.structures import random_question, random_structure, random_weights
from springcase.assembly.model import (
    Alternatives,
    Goal,
    GoalKind,
    Operation,
    OperationKind,
    Part,
    PartKind,
    Question,
    Structure,
    Weights,
    loose,
    off,
)

NOTHING = Weights(tool_change=0, turn_over=0, lift=0, joint={}, renewal={})


def _ways(*parts: str) -> Alternatives:
    return tuple(frozenset(off(name) for name in way) for way in parts)


# A synthetic case with two ways in: cost A4 B3 C5 D2 E3 T1; T after {A, B} or {C}, A after {D},
# C after {D, E} (the planning benchmarks of the mechanical check values, case 5.5).
TOY = {
    "A": (4, _ways("D")),
    "B": (3, _ways("")),
    "C": (5, _ways("DE")),
    "D": (2, _ways("")),
    "E": (3, _ways("")),
    "T": (1, _ways("AB", "C")),
}


def make_toy() -> Structure:
    """Return the case as a build, a part for each letter."""
    operations = {
        name: Operation(
            id=name,
            kind=OperationKind.PART,
            words=name,
            parts=(name,),
            needs=needs,
            gives=frozenset({off(name), loose(name)}),
            takes=frozenset({name}),
            seconds_off=cost,
        )
        for name, (cost, needs) in TOY.items()
    }
    bare = random_structure(random.Random(0), parts=3)
    parts = {name: Part(id=name, words=name, kind=PartKind.HARD) for name in TOY}
    return Structure(
        **{
            **{name: getattr(bare, name) for name in bare.__slots__},
            "parts": parts,
            "joints": {},
            "operations": operations,
            "energies": {},
            "marks": (),
            "acts": (),
            "arcs": (),
        }
    )


@pytest.mark.parametrize(("wanted", "cost"), [("T", 10), ("C", 10), ("TC", 11)])
def test_the_case_with_two_ways_in_costs_what_is_printed(wanted: str, cost: int) -> None:
    """Both together cost 11, not the 18 of joining the two single bests."""
    goals = [Goal(kind=GoalKind.REACH, part=name) for name in wanted]
    least = least_cost(make_toy(), NOTHING, goals)

    assert least is not None
    assert cost == least.cost


def legal_orders(
    structure: Structure, facts: frozenset[str], place: str
) -> Iterator[tuple[str, ...]]:
    """Yield every legal order from a state, the empty one first."""
    yield ()
    for operation in structure.operations.values():
        if can_do(structure, operation, facts, place):
            for rest in legal_orders(structure, facts | operation.gives, place):
                yield (operation.id, *rest)


def cheapest_by_looking(structure: Structure, costs: Weights, question: Question) -> int | None:
    """Return the least cost over all orders that reach the goals, priced one by one. [s]"""
    start = frozenset(f for name in question.done for f in structure.operations[name].gives)
    needs = [ways(structure, goal) for goal in question.goals]
    found: list[int] = []
    for order in legal_orders(structure, start, question.place):
        facts = start.union(*(structure.operations[name].gives for name in order))
        if all(any(true_of(structure, way, facts) for way in need) for need in needs):
            found.append(sequence_cost(structure, costs, order, question.done, question.place))
    return min(found, default=None)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32))
def test_it_agrees_with_looking_at_every_order(seed: int) -> None:
    """Up to five parts the least is the least of all legal orders, each priced by itself."""
    rng = random.Random(seed)
    structure = random_structure(rng, parts=rng.randint(3, 5), lumps=rng.randint(0, 1))
    costs = random_weights(rng)
    question = random_question(rng, structure, already=2, policy=False)
    least = least_cost(structure, costs, question.goals, question.done, question.place)

    assert cheapest_by_looking(structure, costs, question) == (least.cost if least else None)


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32))
def test_more_goals_never_cost_less(seed: int) -> None:
    """A question that asks more costs at least as much."""
    rng = random.Random(seed)
    structure = random_structure(rng, parts=rng.randint(3, 7), lumps=1)
    costs, question = random_weights(rng), random_question(rng, structure, policy=False)
    found = [
        least_cost(structure, costs, question.goals[:count], (), question.place)
        for count in range(len(question.goals) + 1)
    ]
    known = [least.cost for least in found if least]

    assert all(less <= more for less, more in pairwise(known))
