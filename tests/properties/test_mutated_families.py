"""What family check calls sound can be planned: no refusal, and none by the checker."""

from __future__ import annotations

import random

import msgspec

from properties.mutated_families import mutated
from springcase.assembly.expand import build_structure
from springcase.assembly.family import Family
from springcase.assembly.model import Policy, Question
from springcase.assembly.planner import make_plan, scope_goals
from springcase.assembly.references import find_reference_problems
from springcase.assembly.soundness import prove_family
from springcase.errors import SpringcaseError
from springcase.job.plan import weigh
from springcase.owner import read_owner
from unit.assembly.small_family import FIGURES

TRIED = 500


def refusals(family: Family) -> tuple[list[str], int]:
    """Return every refusal of a scope under each policy in two builds, and the plans made."""
    costs = weigh(read_owner(None))
    refused, planned = [], 0
    for options in ({}, {"damper": "fitted"}):
        structure = build_structure(family, options)
        for scope in structure.scopes:
            goals = scope_goals(structure, scope)
            for policy in (Policy.LEAST, Policy.WHILE_OPEN) if goals else ():
                question = Question(
                    goals=goals, place="bench", gas="natural-gas", scope=scope, policy=policy
                )
                try:
                    make_plan(structure, question, costs)
                    planned += 1
                except SpringcaseError as error:
                    refused.append(f"{options} {scope} {policy}: {error}")
    return refused, planned


def test_a_sound_family_is_planned_in_every_scope() -> None:
    """Of hundreds of families changed at random, each sound one has a plan for every scope."""
    refused, planned, unsound = [], 0, 0
    for seed in range(TRIED):
        family = msgspec.convert(mutated(random.Random(seed)), Family)
        if find_reference_problems(family) or prove_family(family, FIGURES).problems:
            unsound += 1
            continue
        wrong, made = refusals(family)
        refused += [f"{seed}: {each}" for each in wrong]
        planned += made

    assert [] == refused
    assert unsound > TRIED // 4
    assert planned > 1500
