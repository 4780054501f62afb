"""
The same problem for an off-the-shelf constraint solver.

A circuit over the optional tasks carries the setup costs; a need is one chosen alternative, each
fact of it given by a task that comes earlier. It shares `Problem` with the planner and nothing
of its search.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from springcase.assembly.problem import Problem, bits


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """What the solver found: a cost and a bound, in seconds, and how long it took. [s]"""

    seconds: float
    cost: int | None
    bound: int
    proven: bool


def solve_by_constraints(problem: Problem, limit: float, workers: int = 2) -> Answer:
    """Return the solver's best plan within a time limit. [s]"""
    from ortools.sat.python import cp_model

    model = cp_model.CpModel()
    done = [model.new_bool_var(task.id) for task in problem.tasks]
    place = [model.new_int_var(1, len(done), f"place {task.id}") for task in problem.tasks]
    _add_access(model, problem, done, place)
    changes = _add_circuit(model, problem, done, place)
    both = list(zip(done, problem.tasks, strict=True))
    for part in bits(_union(task.takes for task in problem.tasks)):
        model.add_at_most_one(is_done for is_done, task in both if task.takes >> part & 1)
    opened = []
    for joint in bits(_union(task.joints for task in problem.tasks) & ~problem.start_joints):
        is_open = model.new_bool_var(f"open {joint}")
        opened.append(problem.joint_seconds[joint] * is_open)
        for is_done, task in both:
            if task.joints >> joint & 1:
                model.add_implication(is_done, is_open)
    work = [task.seconds * is_done for is_done, task in both]
    model.minimize(sum(work) + sum(opened) + sum(changes))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = limit
    solver.parameters.num_workers = workers
    solver.parameters.random_seed = 1
    status = solver.solve(model)
    found = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return Answer(
        seconds=solver.wall_time,
        cost=round(solver.objective_value) if found else None,
        bound=round(solver.best_objective_bound),
        proven=status == cp_model.OPTIMAL,
    )


def _change(problem: Problem, before: int, after: int) -> int:
    """Return the cost of changing from one setup to another. [s]"""
    return sum(c.cost[c.label[before]][c.label[after]] for c in problem.components)


def _union(masks: Any) -> int:
    union = 0
    for mask in masks:
        union |= mask
    return union


def _add_access(model: Any, problem: Problem, done: list[Any], place: list[Any]) -> None:
    """Each task done has an alternative whose facts earlier tasks gave; each goal has one."""
    givers: dict[int, list[int]] = {}
    for index, task in enumerate(problem.tasks):
        for fact in bits(task.gives & ~problem.start):
            givers.setdefault(fact, []).append(index)
    for index, task in enumerate(problem.tasks):
        chosen = []
        for number, need in enumerate(task.needs):
            choice = model.new_bool_var(f"{task.id} by {number}")
            chosen.append(choice)
            for fact in bits(need & ~problem.start):
                from_one = []
                for giver in givers.get(fact, []):
                    if giver == index:
                        continue
                    link = model.new_bool_var("")
                    model.add_implication(link, done[giver])
                    model.add(place[giver] < place[index]).only_enforce_if(link)
                    from_one.append(link)
                model.add_bool_or(from_one).only_enforce_if(choice)
        model.add_bool_or(chosen).only_enforce_if(done[index])
    for goal in problem.goals:
        chosen = []
        for need in goal:
            choice = model.new_bool_var("")
            chosen.append(choice)
            for fact in bits(need & ~problem.start):
                model.add_bool_or([done[g] for g in givers.get(fact, [])]).only_enforce_if(choice)
        model.add_bool_or(chosen)


def _add_circuit(model: Any, problem: Problem, done: list[Any], place: list[Any]) -> list[Any]:
    """One tour through the tasks done, from and to a stand; return the costs of its arcs."""
    arcs: list[tuple[int, int, Any]] = []
    costs = []
    empty = model.new_bool_var("nothing to do")
    arcs.append((0, 0, empty))
    for index, task in enumerate(problem.tasks):
        arcs.append((index + 1, index + 1, ~done[index]))
        first, last = model.new_bool_var(""), model.new_bool_var("")
        arcs += [(0, index + 1, first), (index + 1, 0, last)]
        price = _change(problem, problem.start_setup, task.setup)
        costs.append(price * first)
        for other, onward in enumerate(problem.tasks):
            if other == index:
                continue
            step = model.new_bool_var("")
            arcs.append((index + 1, other + 1, step))
            model.add(place[other] == place[index] + 1).only_enforce_if(step)
            price = _change(problem, task.setup, onward.setup)
            if price:
                costs.append(price * step)
    model.add_circuit(arcs)
    return costs
