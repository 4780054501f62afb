"""
The independent checker: a second opinion on every plan before it is shown.

It imports the frozen data classes and nothing else of the project. It knows no planner: it
replays the steps of a plan from nothing, computes again what they make true, and names every
rule that is broken.
"""

from __future__ import annotations

from collections.abc import Iterator

from springcase.assembly.check.asked import check_goals
from springcase.assembly.check.figures import check_cost, check_kit, check_lists
from springcase.assembly.check.forms import Wanted, check_names, check_phases, compare
from springcase.assembly.check.joints import check_joints, check_leaks, wanted_joints
from springcase.assembly.check.parts import (
    check_lubricants,
    check_renewals,
    check_seen,
    wanted_inspections,
    wanted_lubricants,
    wanted_renewals,
)
from springcase.assembly.check.rebuild_order import (
    check_arcs,
    check_closed,
    check_moments,
    wanted_moments,
)
from springcase.assembly.check.rules import RULES, Fault
from springcase.assembly.check.safety import (
    check_holds,
    check_open_ends,
    check_ready,
    wanted_end,
    wanted_safety,
)
from springcase.assembly.check.strip import (
    check_rebuild,
    check_start,
    check_strip,
    wanted_operations,
)
from springcase.assembly.check.truth import Truth, replay
from springcase.assembly.model import Plan, Structure, Weights

__all__ = ["RULES", "Fault", "check_plan"]

_WANTED = (
    wanted_safety,
    wanted_operations,
    wanted_inspections,
    wanted_joints,
    wanted_renewals,
    wanted_moments,
    wanted_lubricants,
    wanted_end,
)
_CHECKS = (
    check_names,
    check_phases,
    check_start,
    check_strip,
    check_goals,
    check_rebuild,
    check_arcs,
    check_moments,
    check_closed,
    check_joints,
    check_leaks,
    check_renewals,
    check_seen,
    check_lubricants,
    check_holds,
    check_ready,
    check_open_ends,
    check_lists,
    check_kit,
)


def check_plan(structure: Structure, weights: Weights, plan: Plan) -> tuple[Fault, ...]:
    """
    Return every rule a plan breaks; an empty tuple is a plan fit to be shown.

    Parameters
    ----------
    structure : Structure
        The build the plan is for.
    weights : Weights
        The owner's costs the plan's cost was computed with. [s]
    plan : Plan
        The plan, whoever made it.

    Returns
    -------
    faults : tuple[Fault, ...]
        One for each breach, with the rule's code (see `RULES`), the step and the facts.
    """
    truth = replay(structure, plan)
    return tuple(_faults(truth, weights))


def _faults(truth: Truth, weights: Weights) -> Iterator[Fault]:
    wanted: list[Wanted] = [want for room in _WANTED for want in room(truth)]
    yield from compare(truth, wanted)
    for check in _CHECKS:
        yield from check(truth)
    yield from check_cost(truth, weights)
