"""
From a question to a proven plan: pose, solve, rebuild, write the steps, have it checked.

Every plan is handed to the independent checker before anybody sees it.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass, replace

from springcase.assembly.check import check_plan
from springcase.assembly.disturbed import (
    Disturbance,
    exchanged_parts,
    find_disturbance,
)
from springcase.assembly.kit import make_kit
from springcase.assembly.model import (
    Goal,
    GoalKind,
    Part,
    PartKind,
    Phase,
    Plan,
    Policy,
    Question,
    Structure,
    Weights,
    loose,
)
from springcase.assembly.pose import (
    PLACES,
    Posed,
    change_seconds,
    explain_no_plan,
    goal_alternatives,
    joint_seconds,
    pose,
    setup_of,
    start_setup,
)
from springcase.assembly.problem import SECOND, Solution, are_met, close_over
from springcase.assembly.rebuild import order_rebuild
from springcase.assembly.rebuild_steps import rebuild_steps
from springcase.assembly.solve import BUDGET, solve
from springcase.assembly.start import Start, find_start
from springcase.assembly.steps import closing_steps, inspect_steps, opening_steps, strip_steps
from springcase.errors import BadInput, BrokenPlan, NoPlan, UnknownName


@dataclass(frozen=True, slots=True, kw_only=True)
class NextPolicy:
    """What the next wider policy would add: parts renewed and seconds of the whole job. [s]"""

    policy: Policy
    adds: tuple[str, ...]
    seconds: int


def scope_goals(structure: Structure, scope: str) -> tuple[Goal, ...]:
    """
    Return a scope's goals on this build.

    Raises
    ------
    UnknownName
        If the family has no such scope.
    """
    if scope not in structure.scopes:
        raise UnknownName(
            "scope-unknown",
            field="--scope",
            value=scope,
            right=sorted(structure.scopes),
            family=structure.family,
        )
    table = structure.scopes[scope]
    goals = [Goal(kind=GoalKind.INSPECT, part=part) for part in table.inspect]
    goals += [Goal(kind=GoalKind.REACH, part=part) for part in table.reach]
    goals += [Goal(kind=GoalKind.RENEW, part=part) for part in table.renew]
    separable = _separable(structure)
    kinds = set(table.renew_kinds)
    for id, part in structure.parts.items():
        if part.kind.value in kinds and id in separable:
            goals.append(Goal(kind=GoalKind.RENEW, part=id))
    if table.everything:
        # Taken apart, not renewed: `overhaul` asks every separable part to be by itself.
        goals += [Goal(kind=GoalKind.SEPARATE, part=part) for part in sorted(separable)]
    if table.exchange and table.exchange in structure.operations:
        lump = structure.operations[table.exchange]
        goals += [Goal(kind=GoalKind.REACH, part=part) for part in lump.parts]
    return tuple(dict.fromkeys(goals))


def _separable(structure: Structure) -> set[str]:
    """Return the parts some operation can bring by themselves."""
    given = {fact for operation in structure.operations.values() for fact in operation.gives}
    return {part for part in structure.parts if loose(part) in given}


def make_plan(
    structure: Structure, question: Question, weights: Weights, *, budget: int = BUDGET
) -> Plan:
    """
    Return a checked plan that answers a question.

    Raises
    ------
    UnknownName, BadInput
        If the question names what the build lacks, a gas the family is not for, or a start that
        cannot be.
    NoPlan
        If the goals cannot be reached.
    BrokenPlan
        If the independent checker refuses our own plan: our fault.
    """
    _check_question(structure, question)
    start = find_start(structure, question, weights)
    question = replace(question, goals=tuple(dict.fromkeys(question.goals)))
    posed, solution = _solve(structure, question, weights, start, budget)
    if question.policy is not Policy.LEAST:
        question, posed, solution = _widen(
            structure, question, weights, start, posed, solution, budget
        )
    plan = _write(structure, question, weights, start, posed.names(solution.order), solution)
    faults = check_plan(structure, weights, plan)
    if faults:
        raise BrokenPlan("plan-refused", field="plan", value=len(faults), faults=faults)
    return plan


def next_policy(
    structure: Structure, plan: Plan, asked: Question, weights: Weights
) -> NextPolicy | None:
    """Return what the next wider policy would add to a plan; None after the widest."""
    ladder = list(Policy)
    place = ladder.index(asked.policy)
    if place + 1 == len(ladder):
        return None
    # A line of information is not worth as much effort as the plan itself.
    wider = make_plan(
        structure, replace(asked, policy=ladder[place + 1]), weights, budget=BUDGET // 8
    )
    return NextPolicy(
        policy=ladder[place + 1],
        adds=tuple(part for part in wider.renewed if part not in plan.renewed),
        seconds=wider.seconds_whole - plan.seconds_whole,
    )


def _check_question(structure: Structure, question: Question) -> None:
    if question.gas not in structure.services:
        code = "oxygen-unnamed" if question.gas == "oxygen" else "gas-not-served"
        raise BadInput(
            code,
            field="--gas",
            value=question.gas,
            right=list(structure.services),
            family=structure.family,
        )
    if question.place not in PLACES:
        raise UnknownName(
            "place-unknown", field="--place", value=question.place, right=list(PLACES)
        )
    if not question.goals and question.scope:
        raise BadInput(
            "scope-empty", field="--scope", value=question.scope, right=sorted(structure.scopes)
        )
    if not question.goals:
        raise BadInput("no-goal", field="--scope", value="", right=sorted(structure.scopes))


def _solve(
    structure: Structure, question: Question, weights: Weights, start: Start, budget: int
) -> tuple[Posed, Solution]:
    posed = pose(
        structure,
        weights,
        question.goals,
        question.place,
        start=start.facts,
        start_joints=frozenset(start.joints),
    )
    problem = posed.problem
    everything = (1 << len(posed.operations)) - 1
    reached, _ = close_over(problem, everything, problem.start)
    if not are_met(problem.goals, reached):
        raise _unreachable(structure, question, posed, reached)
    solution = solve(problem, budget)
    if solution is None:
        names = sorted({goal.part for goal in question.goals})
        raise NoPlan("goals-exclude", field="scope", value=", ".join(names), right=structure.family)
    return posed, solution


def _unreachable(structure: Structure, question: Question, posed: Posed, reached: int) -> NoPlan:
    """Return the error for goals out of reach: the line bars them, or a circle does."""
    true = frozenset(fact for fact, number in posed.facts.items() if reached >> number & 1)
    wanted: set[str] = set()
    for goal in question.goals:
        needs = goal_alternatives(structure, goal)
        if not any(need <= true for need in needs):
            wanted |= min(needs, key=lambda need: (len(need - true), sorted(need)))
    barred = [
        operation
        for operation in structure.operations.values()
        if not operation.in_line and question.place == "line"
    ]
    if barred:
        return NoPlan(
            "needs-bench",
            field="--place",
            value=question.place,
            right="bench",
            parts=sorted({fact.split(":")[1] for fact in wanted - true}),
        )
    return explain_no_plan(structure, true, wanted)


def _widen(
    structure: Structure,
    question: Question,
    weights: Weights,
    start: Start,
    posed: Posed,
    solution: Solution,
    budget: int,
) -> tuple[Question, Posed, Solution]:
    """Add what the policy renews until nothing more is opened."""
    problem = posed.problem
    usable = [not task.takes & problem.start_parts for task in problem.tasks]
    reached, _ = close_over(problem, sum(may << n for n, may in enumerate(usable)), problem.start)
    possible = {fact for fact, number in posed.facts.items() if reached >> number & 1}
    brought = set(exchanged_parts(structure, question))
    parts = [
        part for id, part in structure.parts.items() if loose(id) in possible and id not in brought
    ]
    while True:
        opened = {
            chamber
            for id in (*start.done, *posed.names(solution.order))
            for joint in structure.operations[id].opens
            for chamber in structure.joints[joint].chambers
        }
        more = tuple(
            goal
            for goal in (
                Goal(kind=GoalKind.RENEW, part=part.id)
                for part in parts
                if _is_renewed_by(question.policy, part, opened)
            )
            if goal not in question.goals
        )
        if not more:
            return question, posed, solution
        question = replace(question, goals=(*question.goals, *more))
        posed, solution = _solve(structure, question, weights, start, budget)


def _is_renewed_by(policy: Policy, part: Part, opened: set[str]) -> bool:
    """Return whether a policy renews a part: all of every kit, or the soft parts laid open."""
    if policy is Policy.FULL_KIT:
        return bool(part.kit)
    return part.kind is PartKind.SOFT and part.chamber in opened


def _write(
    structure: Structure,
    question: Question,
    weights: Weights,
    start: Start,
    order: tuple[str, ...],
    solution: Solution,
) -> Plan:
    """Return the plan of a solution with all its steps."""
    done = (*start.done, *order)
    rebuild = order_rebuild(structure, weights, done, question.place)
    whole = find_disturbance(structure, question, done)
    steps = (
        *opening_steps(structure, question, order, whole.parts_off),
        *strip_steps(structure, question, start.done, order),
        *inspect_steps(structure, question, whole),
        *rebuild_steps(structure, question, done, rebuild, whole),
        *closing_steps(structure, whole.joints),
    )
    times = {phase: sum(step.seconds for step in steps if step.phase is phase) for phase in Phase}
    times[Phase.STRIP] += _changes(structure, weights, question, order, from_start=True)
    times[Phase.REBUILD] += _changes(structure, weights, question, rebuild, from_start=False)
    times[Phase.REBUILD] += sum(
        joint_seconds(structure, weights, joint)
        for joint in whole.joints
        if joint not in start.joints
    )
    cost = solution.cost // SECOND
    return Plan(
        question=question,
        order=order,
        rebuild=rebuild,
        already=start.done,
        already_joints=start.joints,
        steps=steps,
        cost=cost,
        bound=cost if solution.optimal else solution.bound // SECOND,
        optimal=solution.optimal or solution.bound // SECOND == cost,
        parts_off=_taken(structure, order),
        renewed=whole.renewed,
        joints_opened=whole.joints,
        seals_disturbed=_seals(whole),
        kit=make_kit(structure, question, whole, steps),
        seconds_strip=times[Phase.STRIP],
        seconds_rebuild=times[Phase.REBUILD],
        seconds_whole=sum(times.values()),
    )


def _taken(structure: Structure, order: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(
        part
        for id in order
        for part in structure.operations[id].parts
        if part in structure.operations[id].takes
    )


def _changes(
    structure: Structure,
    weights: Weights,
    question: Question,
    order: tuple[str, ...],
    *,
    from_start: bool,
) -> int:
    """Return the seconds of setup changes within a sequence of operations. [s]"""
    setups = [setup_of(structure.operations[id], question.place) for id in order]
    if from_start:
        setups.insert(0, start_setup(structure, question.place))
    return sum(change_seconds(weights, *pair) for pair in itertools.pairwise(setups))


def _seals(whole: Disturbance) -> tuple[str, ...]:
    """Return the seals disturbed: of opened joints, withdrawn and exposed."""
    return tuple(dict.fromkeys((*whole.seals, *whole.withdrawn, *whole.exposed)))
