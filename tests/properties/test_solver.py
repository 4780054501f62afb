"""The solver on random problems as numbers, against looking at every state or every order."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from properties.random_problems import (
    cost_of,
    layered_problem,
    least_by_looking,
    least_sets,
    random_problem,
)
from springcase.assembly.problem import (
    SECOND,
    Component,
    Problem,
    Solution,
    Task,
    are_met,
    close_over,
    has_triangle,
)
from springcase.assembly.solve import solve
from springcase.errors import NoPlan

CASES = 8000
PLAIN_CASES = 2000
ONE_SETUP = (Component(label=(0,), cost=((0,),)),)


def wrong_with(problem: Problem, solution: Solution | None) -> str:
    """Return what is wrong with a solution in words; nothing where it is legal and least."""
    least = least_by_looking(problem)
    if solution is None or least is None:
        return "" if solution is None and least is None else f"{solution} but least {least}"
    try:
        cost = cost_of(problem, solution.order)
    except AssertionError as illegal:
        return str(illegal)
    if (cost, solution.cost, solution.bound, solution.optimal) != (least, least, least, True):
        return f"least {least}, order costs {cost}, {solution}"
    return ""


def test_every_random_problem_is_solved_as_well_as_by_looking() -> None:
    """Thousands of problems get the least legal order, proved, or rightly none."""
    wrong, solved = [], 0
    for seed in range(CASES):
        rng = random.Random(seed)
        problem = random_problem(rng, tasks=rng.randint(2, 9))
        solution = solve(problem)
        found = wrong_with(problem, solution)
        wrong += [f"{seed}: {found}"] if found else []
        solved += solution is not None

    assert [] == wrong
    assert solved > CASES // 2


def test_costs_without_triangle_are_searched_plainly() -> None:
    """Where changing setup by a detour is cheaper, single tasks are searched and still least."""
    wrong, crooked = [], 0
    for seed in range(PLAIN_CASES):
        rng = random.Random(seed)
        problem = random_problem(rng, tasks=rng.randint(2, 7), triangle=False)
        if has_triangle(problem.components):
            continue
        crooked += 1
        found = wrong_with(problem, solve(problem))
        wrong += [f"{seed}: {found}"] if found else []

    assert [] == wrong
    assert crooked > PLAIN_CASES // 4


def is_spare(problem: Problem, solution: Solution) -> bool:
    """Return whether some task of a solution could be left out and the goals still be met."""
    for index in solution.order:
        rest = sum(1 << other for other in solution.order if other != index)
        facts, fired = close_over(problem, rest, problem.start)
        if are_met(problem.goals, facts) and fired == rest:
            return True
    return False


def test_tasks_that_only_spare_a_change_are_found() -> None:
    """Where changes are dear, best plans that do more than they must are found, and are least."""
    spare, wrong = 0, []
    for seed in range(2000):
        rng = random.Random(seed)
        problem = layered_problem(rng, tasks=rng.randint(6, 10))
        solution = solve(problem)
        spare += solution is not None and is_spare(problem, solution)
        found = wrong_with(problem, solution)
        wrong += [f"{seed}: {found}"] if found else []

    assert [] == wrong
    assert spare > 20


def test_an_extra_task_pays_by_sparing_two_tool_changes() -> None:
    """Taking off a cover (30 s) that gives access by the tool in hand spares 2 x 100 s."""
    spanner, driver = 0, 1
    tasks = (
        Task(id="cover", needs=(0,), gives=0b0001, takes=0b0001, seconds=30, setup=spanner),
        Task(id="first", needs=(0,), gives=0b0010, takes=0b0010, seconds=10, setup=spanner),
        Task(id="screw", needs=(0b0010,), gives=0b0100, takes=0b0100, seconds=10, setup=driver),
        Task(
            id="wanted", needs=(0b0110, 0b0011), gives=0b1000, takes=0b1000, seconds=10,
            setup=spanner,
        ),
    )  # fmt: skip
    changes = (Component(label=(0, 1), cost=((0, 100), (100, 0))),)
    problem = Problem(tasks=tasks, goals=((0b1000,),), components=changes)
    cheap = replace(problem, components=(Component(label=(0, 1), cost=((0, 5), (5, 0))),))

    found, cheaper = solve(problem), solve(cheap)
    assert found is not None and cheaper is not None
    assert (["cover", "first", "wanted"], 50) == (
        [tasks[index].id for index in found.order], found.cost // SECOND
    )  # fmt: skip
    assert (["first", "screw", "wanted"], 40) == (
        [tasks[index].id for index in cheaper.order], cheaper.cost // SECOND
    )  # fmt: skip


def test_ties_go_to_the_least_set_of_ids() -> None:
    """Of all sets with the least cost, parts and setups, the one least by ids is chosen."""
    tied = 0
    for seed in range(1500):
        rng = random.Random(seed)
        drawn = random_problem(rng, tasks=rng.randint(3, 7), setups=1, started=False)
        # Like times make ties common; a task that costs nothing would make sets of any length.
        tasks = tuple(replace(task, seconds=10, joints=0) for task in drawn.tasks)
        problem = replace(drawn, tasks=tasks)
        solution = solve(problem)
        sets = least_sets(problem)
        tied += len(sets) > 1
        chosen = None if solution is None else sorted(tasks[n].id for n in solution.order)

        assert (min(sets) if sets else None) == chosen

    assert tied > 50


def test_the_order_of_tasks_and_ways_decides_nothing() -> None:
    """Goals and alternatives in another order give the same order of tasks."""
    for seed in range(1500):
        rng = random.Random(seed)
        problem = random_problem(rng, tasks=rng.randint(2, 9))
        mixed = replace(
            problem,
            goals=tuple(rng.sample(problem.goals, len(problem.goals))),
            tasks=tuple(
                replace(task, needs=tuple(rng.sample(task.needs, len(task.needs))))
                for task in problem.tasks
            ),
        )
        one, other = solve(problem), solve(mixed)

        assert (one and (one.order, one.cost)) == (other and (other.order, other.cost))


def test_a_task_that_gives_nothing_where_it_stands_is_left_out() -> None:
    """A split without time whose parts another leaves loose is not done: it would be illegal."""
    tasks = (
        Task(id="lump", needs=(0,), gives=0b0011, takes=0b11, seconds=10),
        Task(id="one", needs=(0b0011,), gives=0b0100),
        Task(id="both", needs=(0b0011,), gives=0b1100, seconds=5),
    )
    problem = Problem(tasks=tasks, goals=((0b0100,), (0b1000,)), components=ONE_SETUP)
    solution = solve(problem)

    assert solution is not None
    assert solution.cost == cost_of(problem, solution.order)
    assert (15, True) == (solution.cost // SECOND, solution.optimal)


def test_spent_effort_without_a_plan_is_said() -> None:
    """Where the plain search may look at nothing, the refusal says that effort was spent."""
    crooked = (Component(label=(0, 1, 2), cost=((0, 1, 50), (1, 0, 1), (50, 1, 0))),)
    tasks = (Task(id="far", needs=(0,), gives=1, takes=1, setup=2),)
    problem = Problem(tasks=tasks, goals=((1,),), components=crooked)

    assert not has_triangle(crooked)
    with pytest.raises(NoPlan, match=r"^\[effort-spent\]"):
        solve(problem, 0)
