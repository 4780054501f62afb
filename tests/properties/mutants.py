"""
Every way the tests know to spoil a plan: each mutant must be refused with its rule's code.

`mutants` takes any plan of any build, made by hand, by a builder, or by the planner, and skips
the mutations that do not apply to it.
"""

from __future__ import annotations

from collections.abc import Iterator

from properties import mutants_of_rebuild, mutants_of_record, mutants_of_strip
from properties.mutation import MUTATIONS
from springcase.assembly.model import Plan, Structure

ROOMS = (mutants_of_strip, mutants_of_rebuild, mutants_of_record)


def mutants(structure: Structure, plan: Plan) -> Iterator[tuple[str, str, Plan]]:
    """Yield each mutant of a plan: the mutation's name, the rule it breaks, the broken plan."""
    for name, rule, mutation in MUTATIONS:
        for mutant in mutation(structure, plan):
            yield name, rule, mutant
