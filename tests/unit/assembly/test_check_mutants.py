"""Every rule of the checker has a mutant of a correct plan, and every mutant is refused for it."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator

import pytest

from properties.mutants import mutants
from properties.mutation import MUTATIONS
from properties.plan_builder import build_plan
from springcase.assembly.check import RULES, check_plan
from springcase.assembly.model import Plan, Structure
from unit.assembly.small_unit import ORDER, make_plan, make_question, make_structure, make_weights
from unit.assembly.test_check import exchange_plan

CODES = [code for code, _ in RULES]


def all_mutants() -> Iterator[tuple[str, str, Plan]]:
    """Yield the mutants of the small unit's plan, and of its exchange and its re-plan."""
    structure = make_structure()
    replan = build_plan(structure, make_weights(), make_question(done=ORDER[:4]), ORDER[4:])
    for plan in (make_plan(structure), exchange_plan(), replan):
        yield from mutants(structure, plan)


def refused_for(structure: Structure, plan: Plan) -> set[str]:
    """Return the rules a plan is refused for."""
    return {fault.code for fault in check_plan(structure, make_weights(), plan)}


@pytest.mark.parametrize("rule", CODES)
def test_every_mutant_of_a_rule_is_refused_for_it(rule: str) -> None:
    """Each rule has at least one mutant, and the checker refuses all of them with its code."""
    structure = make_structure()
    made = [(name, plan) for name, broken, plan in all_mutants() if broken == rule]
    let_through = [name for name, plan in made if rule not in refused_for(structure, plan)]

    assert made != []
    assert let_through == []


def test_every_mutation_applies_to_the_small_unit() -> None:
    """No named mutation is there only for show."""
    applied = {name for name, _, _ in all_mutants()}

    assert {name for name, _, _ in MUTATIONS} == applied


def test_every_mutation_breaks_a_known_rule() -> None:
    """The mutations and the checker speak of the same rules."""
    assert set(CODES) == {rule for _, rule, _ in MUTATIONS}


def test_the_mutants_are_counted(capsys: pytest.CaptureFixture[str]) -> None:
    """There are hundreds of mutants, and the run says how many."""
    structure = make_structure()
    counted = Counter(rule in refused_for(structure, plan) for _, rule, plan in all_mutants())
    with capsys.disabled():
        sys.stdout.write(
            f"\n{counted[True]} of {counted.total()} mutants refused: "
            f"{len(MUTATIONS)} mutations of {len(CODES)} rules\n"
        )

    assert counted[False] == 0
    assert counted[True] >= 500
