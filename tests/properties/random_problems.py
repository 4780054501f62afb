"""Random problems as numbers, and their least cost by looking at every state."""

from __future__ import annotations

import random
from heapq import heappop, heappush

from springcase.assembly.problem import (
    PART,
    SECOND,
    SETUP,
    Component,
    Problem,
    Task,
    are_met,
    has_triangle,
)


def random_component(rng: random.Random, setups: int, *, triangle: bool) -> Component:
    """Return one part of a setup cost, with or without the triangle inequality."""
    labels = rng.randint(1, 3)
    label = tuple(rng.randrange(labels) for _ in range(setups))
    while True:
        cost = tuple(
            tuple(0 if a == b else rng.choice((0, 5, 10, 20, 60)) for b in range(labels))
            for a in range(labels)
        )
        made = Component(label=label, cost=cost)
        if not triangle or has_triangle((made,)):
            return made


def random_problem(
    rng: random.Random,
    *,
    tasks: int,
    triangle: bool = True,
    started: bool = True,
    setups: int = 0,
) -> Problem:
    """
    Return a problem of single tasks and lumps; nothing says that its goals can be reached.

    Facts are parts off (low) and parts loose (high), as a build has them. Some tasks cost no
    time and are needed by nothing but an alternative that spares a change of tools.
    """
    parts = rng.randint(2, max(2, tasks))
    setups = setups or rng.randint(1, 4)
    made = [_task(rng, f"t{number:02d}", parts, setups) for number in range(tasks)]
    rng.shuffle(made)
    start = start_parts = start_joints = 0
    if started and rng.random() < 0.3:
        for _ in range(rng.randint(1, 2)):
            start_parts |= 1 << rng.randrange(parts)
        start = start_parts | (start_parts & rng.getrandbits(parts)) << parts
        start_joints = rng.getrandbits(2)
    goals = tuple(_needs(rng, parts, facts=2) for _ in range(rng.randint(1, 3)))
    return Problem(
        tasks=tuple(made),
        goals=goals,
        components=tuple(
            random_component(rng, setups, triangle=triangle) for _ in range(rng.randint(1, 3))
        ),
        joint_seconds=tuple(rng.choice((0, 15, 60, 300)) for _ in range(4)),
        start=start,
        start_parts=start_parts,
        start_joints=start_joints,
        start_setup=rng.randrange(setups),
    )


def _needs(rng: random.Random, parts: int, facts: int) -> tuple[int, ...]:
    ways = []
    for _ in range(rng.choice((1, 1, 1, 2, 2, 3))):
        chosen = [rng.randrange(2 * parts) for _ in range(rng.randint(0, facts))]
        ways.append(sum(1 << fact for fact in set(chosen)))
    return tuple(ways)


def _task(rng: random.Random, id: str, parts: int, setups: int) -> Task:
    kind = rng.choice(("part", "part", "part", "lump", "split"))
    named = {rng.randrange(parts) for _ in range(1 if kind == "part" else rng.randint(1, 3))}
    mask = sum(1 << part for part in named)
    gives = {"part": mask | mask << parts, "lump": mask, "split": mask << parts}[kind]
    needs = _needs(rng, parts, facts=3)
    if kind == "split":
        needs = tuple(need | mask for need in needs)
    return Task(
        id=id,
        needs=tuple(need & ~gives for need in needs),
        gives=gives,
        takes=0 if kind == "split" else mask,
        joints=rng.choice((0, 0, 1, 2, 3, 4, 8)),
        seconds=rng.choice((0, 0, 5, 10, 30, 100)),
        setup=rng.randrange(setups),
    )


def layered_problem(rng: random.Random, *, tasks: int) -> Problem:
    """
    Return a problem of single parts, each waiting for earlier ones by one way or another.

    Changes of setup are dear, so that a part more, off by the tool in hand, may pay.
    """
    made = []
    for place in range(tasks):
        ways = [rng.sample(range(place), min(place, rng.randint(1, 3))) for _ in range(2)]
        made.append(
            Task(
                id=f"t{place:02d}",
                needs=tuple(sum(1 << part for part in way) for way in ways),
                gives=1 << place,
                takes=1 << place,
                seconds=rng.choice((5, 10, 20)),
                setup=rng.randrange(3),
            )
        )
    change = rng.choice((30, 60, 90))
    cost = tuple(tuple(0 if a == b else change for b in range(3)) for a in range(3))
    wanted = rng.sample(range(tasks // 2, tasks), 2)
    return Problem(
        tasks=tuple(made),
        goals=tuple((1 << part,) for part in wanted),
        components=(Component(label=(0, 1, 2), cost=cost),),
    )


def least_by_looking(problem: Problem) -> int | None:
    """Return the least scaled cost of all legal orders, state by state; None: no order."""
    start = (problem.start, problem.start_parts, problem.start_joints, problem.start_setup)
    waiting = [(0, start)]
    settled = set()
    while waiting:
        cost, state = heappop(waiting)
        if state in settled:
            continue
        settled.add(state)
        facts, parts, joints, setup = state
        if are_met(problem.goals, facts):
            return cost
        for task in problem.tasks:
            legal = any(need & ~facts == 0 for need in task.needs)
            if not legal or task.takes & parts or not task.gives & ~facts:
                continue
            reached = (
                facts | task.gives, parts | task.takes, joints | task.joints, task.setup
            )  # fmt: skip
            if reached not in settled:
                heappush(waiting, (cost + price(problem, task, joints, setup), reached))
    return None


def price(problem: Problem, task: Task, joints: int, setup: int) -> int:
    """Return what a task costs with these joints open and this setup in hand. [scaled]"""
    seconds = task.seconds
    for joint, opened in enumerate(problem.joint_seconds):
        if task.joints & ~joints & 1 << joint:
            seconds += opened
    for component in problem.components:
        seconds += component.cost[component.label[setup]][component.label[task.setup]]
    changed = SETUP if setup != task.setup else 0
    return seconds * SECOND + task.takes.bit_count() * PART + changed


def cost_of(problem: Problem, order: tuple[int, ...]) -> int:
    """
    Return the scaled cost of an order.

    Raises
    ------
    AssertionError
        If it is not legal or does not meet the goals.
    """
    facts, parts, joints = problem.start, problem.start_parts, problem.start_joints
    setup, cost = problem.start_setup, 0
    for index in order:
        task = problem.tasks[index]
        if task.takes & parts or not task.gives & ~facts:
            raise AssertionError(f"{task.id} takes what is off, or gives nothing")
        if not any(need & ~facts == 0 for need in task.needs):
            raise AssertionError(f"{task.id} is barred")
        cost += price(problem, task, joints, setup)
        facts, parts, joints = facts | task.gives, parts | task.takes, joints | task.joints
        setup = task.setup
    if not are_met(problem.goals, facts):
        raise AssertionError("the goals are not met")
    return cost


def least_sets(problem: Problem) -> list[list[str]]:
    """Return the sets of task ids, sorted, of all legal orders of the least cost."""
    least = least_by_looking(problem)
    found: set[tuple[str, ...]] = set()
    if least is None:
        return []
    waiting = [
        (0, problem.start, problem.start_parts, problem.start_joints, problem.start_setup, ())
    ]
    seen = set(waiting)
    while waiting:
        cost, facts, parts, joints, setup, done = waiting.pop()
        if are_met(problem.goals, facts):
            if cost == least:
                found.add(done)
            continue
        for task in problem.tasks:
            legal = any(need & ~facts == 0 for need in task.needs)
            if not legal or task.takes & parts or not task.gives & ~facts:
                continue
            onward = (
                cost + price(problem, task, joints, setup),
                facts | task.gives,
                parts | task.takes,
                joints | task.joints,
                task.setup,
                tuple(sorted((*done, task.id))),
            )
            if onward[0] <= least and onward not in seen:
                seen.add(onward)
                waiting.append(onward)
    return sorted(list(ids) for ids in found)
