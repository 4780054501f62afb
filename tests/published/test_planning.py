"""
The planner against published planning problems (`check-values-mechanical.md`, section 5).

Sources: L. S. Homem de Mello and A. C. Sanderson, AAAI-86 pp. 1113-1121 and IEEE T-RA 6(2) 1990
pp. 188-199 (four-part assembly; structure from memory, counts by enumeration); D. G. Ullman, The
Mechanical Design Process, section 11.5 (ball-point pen); Chase, Jacobs and Aquilano, Operations
Management, "Model J wagon"; TSPLIB, sequential ordering problem ESC07, best known 2125; OEIS and
the hook-length formula for the posets.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cache
from itertools import combinations

import pytest

from springcase.assembly.problem import (
    SECOND,
    Component,
    Problem,
    Task,
    are_met,
    bits,
    close_over,
)
from springcase.assembly.solve import solve

ONE_SETUP = (Component(label=(0,), cost=((0,),)),)


def make_problem(
    access: Mapping[str, list[Iterable[str]]],
    seconds: Mapping[str, int],
    goals: Iterable[str],
) -> Problem:
    """Return a problem in which every part comes off by itself, with alternatives of access."""
    number = {part: place for place, part in enumerate(sorted(access))}

    def mask(parts: Iterable[str]) -> int:
        return sum(1 << number[part] for part in parts)

    tasks = tuple(
        Task(
            id=part,
            needs=tuple(mask(each) for each in access[part]) or (0,),
            gives=1 << number[part],
            takes=1 << number[part],
            seconds=seconds.get(part, 0),
        )
        for part in sorted(access)
    )
    return Problem(tasks=tasks, goals=tuple((mask([g]),) for g in goals), components=ONE_SETUP)


def can_fire(problem: Problem, index: int, facts: int, parts: int) -> bool:
    """Return whether rule 3 of the plan's mathematics lets a task be done in a state."""
    task = problem.tasks[index]
    return (
        not task.takes & parts
        and bool(task.gives & ~facts)
        and any(need & ~facts == 0 for need in task.needs)
    )


def count_orders(problem: Problem, allowed: int) -> tuple[int, int]:
    """Return the legal orders that do every allowed task or reach the goals, and the states."""
    seen: set[int] = set()

    @cache
    def count(done: int) -> int:
        seen.add(done)
        facts = parts = 0
        for index in bits(done):
            facts |= problem.tasks[index].gives
            parts |= problem.tasks[index].takes
        if problem.goals and are_met(problem.goals, facts):
            return 1
        if done == allowed:
            return 1
        return sum(
            count(done | 1 << index)
            for index in bits(allowed & ~done)
            if can_fire(problem, index, facts, parts)
        )

    return count(0), len(seen)


def everything(problem: Problem) -> int:
    """Return the mask of all tasks."""
    return (1 << len(problem.tasks)) - 1


def make_poset(before: Mapping[str, str]) -> Problem:
    """Return the problem of doing everything in an order; `before` maps an item to those first."""
    return make_problem({item: [first] for item, first in before.items()}, {}, [])


WAGON_SECONDS = {
    "A": 45,
    "B": 11,
    "C": 9,
    "D": 50,
    "E": 15,
    "F": 12,
    "G": 12,
    "H": 12,
    "I": 12,
    "J": 8,
    "K": 9,
}
WAGON_BEFORE = {
    "A": "",
    "B": "A",
    "C": "B",
    "D": "",
    "E": "D",
    "F": "C",
    "G": "C",
    "H": "E",
    "I": "E",
    "J": "FGHI",
    "K": "J",
}
# Taking apart runs the other way: a part comes off once all that was put on after it is off.
WAGON_STRIP = {
    part: [[later for later, first in WAGON_BEFORE.items() if part in first]]
    for part in WAGON_BEFORE
}


def test_wagon_has_the_published_orders_and_down_sets() -> None:
    """The eleven-task wagon has 504 orders over 44 states."""
    counted = count_orders(make_poset(WAGON_BEFORE), (1 << 11) - 1)

    assert (504, 44) == counted


@pytest.mark.parametrize(
    ("target", "tasks", "seconds", "orders"),
    [
        ("F", "KJF", 29, 1),
        ("C", "KJFGC", 50, 2),
        ("B", "KJFGCB", 61, 2),
        ("A", "KJFGCBA", 106, 2),
        ("D", "KJHIED", 106, 2),
        ("FH", "KJFH", 41, 2),
        ("CH", "KJFGHC", 62, 8),
        ("CD", "KJFGHICED", 139, 140),
    ],
)
def test_wagon_strips_no_further_than_needed(
    target: str, tasks: str, seconds: int, orders: int
) -> None:
    """The least strip-down to each target is the reverse closure, at its cost and order count."""
    problem = make_problem(WAGON_STRIP, WAGON_SECONDS, target)

    solution = solve(problem)

    assert solution is not None
    done = "".join(problem.tasks[index].id for index in solution.order)
    assert sorted(tasks) == sorted(done)
    assert seconds == solution.cost // SECOND
    assert solution.optimal
    chosen = sum(1 << index for index in solution.order)
    assert orders == count_orders(problem, chosen)[0]


def test_ball_point_pen_has_thirty_orders() -> None:
    """Five connections with 3 before 4 and 1 before 5 have 30 orders over 18 states."""
    pen = make_poset({"1": "", "2": "", "3": "", "4": "3", "5": "1"})

    assert (30, 18) == count_orders(pen, everything(pen))


@pytest.mark.parametrize(("order", "legal"), [("23415", True), ("43125", False), ("51234", False)])
def test_ball_point_pen_orders_are_told_apart(order: str, legal: bool) -> None:
    """The published sequence is legal; one that begins with 4 or 5 is not."""
    pen = make_poset({"1": "", "2": "", "3": "", "4": "3", "5": "1"})
    number = {task.id: index for index, task in enumerate(pen.tasks)}
    facts, went = 0, True
    for item in order:
        went = went and can_fire(pen, number[item], facts, facts)
        facts |= pen.tasks[number[item]].gives

    assert legal == went


def four_part_assembly(geometric: bool) -> Problem:
    """Return the cap, stick, receptacle and handle as splits of subassemblies into two."""
    touching = {frozenset(pair) for pair in ("CR", "CS", "SR", "SH", "RH")}
    infeasible = {frozenset(["S", "CHR"]), frozenset(["R", "CHS"])} if geometric else set()

    def is_connected(parts: str) -> bool:
        reached, waiting = {parts[0]}, [parts[0]]
        while waiting:
            here = waiting.pop()
            for other in parts:
                if other not in reached and frozenset((here, other)) in touching:
                    reached.add(other)
                    waiting.append(other)
        return len(reached) == len(parts)

    groups = [
        "".join(group)
        for size in range(1, 5)
        for group in combinations("CHRS", size)
        if is_connected("".join(group))
    ]
    number = {group: place for place, group in enumerate(groups)}
    tasks = []
    for group in groups:
        for size in range(1, len(group) // 2 + 1):
            for one in map("".join, combinations(group, size)):
                other = "".join(part for part in group if part not in one)
                if (
                    one not in number
                    or other not in number
                    or (len(one) == len(other) and one > other)
                ):
                    continue
                if frozenset([one, other]) in infeasible:
                    continue
                tasks.append(
                    Task(
                        id=f"{group}:{one}+{other}",
                        needs=(1 << number[group],),
                        gives=1 << number[one] | 1 << number[other],
                        takes=1 << number[group],
                    )
                )
    return Problem(
        tasks=tuple(tasks),
        goals=tuple((1 << number[single],) for single in "CHRS"),
        components=ONE_SETUP,
        start=1 << number["CHRS"],
    )


def trees(problem: Problem) -> set[int]:
    """Return the sets of tasks that take the assembly wholly apart, each subassembly once."""
    found: set[int] = set()

    def grow(done: int, facts: int, parts: int) -> None:
        if are_met(problem.goals, facts):
            found.add(done)
            return
        for index, task in enumerate(problem.tasks):
            if can_fire(problem, index, facts, parts):
                grow(done | 1 << index, facts | task.gives, parts | task.takes)

    grow(0, problem.start, 0)
    return found


def sequences(problem: Problem) -> int:
    """Return the number of sequential orders that take the assembly wholly apart."""

    def count(facts: int, parts: int) -> int:
        if are_met(problem.goals, facts):
            return 1
        return sum(
            count(facts | task.gives, parts | task.takes)
            for index, task in enumerate(problem.tasks)
            if can_fire(problem, index, facts, parts)
        )

    return count(problem.start, 0)


@pytest.mark.parametrize(
    ("geometric", "nodes", "hyperarcs", "tree_count", "orders"),
    [(True, 12, 15, 8, 10), (False, 14, 21, 12, 14)],
)
def test_four_part_assembly_has_the_published_and_or_graph(
    geometric: bool, nodes: int, hyperarcs: int, tree_count: int, orders: int
) -> None:
    """The four-part AND/OR graph has 12 nodes, 15 hyperarcs, 8 trees and 10 orders."""
    problem = four_part_assembly(geometric)
    facts, fired = close_over(problem, everything(problem), problem.start)

    assert nodes == facts.bit_count()
    assert hyperarcs == fired.bit_count()
    assert tree_count == len(trees(problem))
    assert orders == sequences(problem)


@pytest.mark.parametrize("geometric", [True, False])
def test_four_part_assembly_comes_apart_in_three_splits(geometric: bool) -> None:
    """The solver takes four parts apart in three splits, one of the published trees."""
    problem = four_part_assembly(geometric)

    solution = solve(problem)

    assert solution is not None
    assert sum(1 << index for index in solution.order) in trees(problem)


ESC07 = """
0 0 0 0 0 0 0 0 1000000
-1 0 100 200 75 0 300 100 0
-1 400 0 500 325 400 600 0 0
-1 700 800 0 550 700 900 800 0
-1 -1 250 225 0 275 525 250 0
-1 -1 100 200 -1 0 -1 -1 0
-1 -1 1100 1200 1075 1000 0 1100 0
-1 -1 0 500 325 400 600 0 0
-1 -1 -1 -1 -1 -1 -1 -1 0
"""


def esc07() -> Problem:
    """Return ESC07 as nine tasks with a setup each; -1 in a row says the column comes first."""
    matrix = [[int(cell) for cell in row.split()] for row in ESC07.split("\n") if row]
    size = len(matrix)
    tasks = tuple(
        Task(
            id=str(node),
            needs=(sum(1 << first for first in range(size) if matrix[node][first] == -1),),
            gives=1 << node,
            takes=1 << node,
            setup=node,
        )
        for node in range(size)
    )
    # A forbidden succession is barred by precedence, so its cost is never paid.
    cost = tuple(tuple(max(cell, 0) for cell in row) for row in matrix)
    return Problem(
        tasks=tasks,
        goals=tuple((1 << node,) for node in range(size)),
        components=(Component(label=tuple(range(size)), cost=cost),),
        start_setup=0,
    )


def test_esc07_reaches_the_best_known_cost() -> None:
    """The sequential ordering problem ESC07 is solved to its optimum 2125 (TSPLIB)."""
    problem = esc07()

    solution = solve(problem)

    assert solution is not None
    assert 2125 == solution.cost // SECOND
    assert solution.optimal


def test_esc07_has_the_enumerated_orders() -> None:
    """ESC07 has 252 feasible orders."""
    problem = esc07()
    ordered = replace(problem, goals=())

    assert 252 == count_orders(ordered, everything(problem))[0]


OR_ACCESS: dict[str, list[Iterable[str]]] = {
    "A": ["D"],
    "B": [],
    "C": ["DE"],
    "D": [],
    "E": [],
    "T": ["AB", "C"],
}
OR_SECONDS = {"A": 4, "B": 3, "C": 5, "D": 2, "E": 3, "T": 1}


@pytest.mark.parametrize(
    ("target", "seconds", "tasks", "orders"),
    [("T", 10, "ABDT", 3), ("C", 10, "CDE", 2), ("CT", 11, "CDET", 2)],
)
def test_or_access_merges_two_goals(target: str, seconds: int, tasks: str, orders: int) -> None:
    """Two goals solved together cost 11, not the 18 of merging their single optima."""
    problem = make_problem(OR_ACCESS, OR_SECONDS, target)

    solution = solve(problem)

    assert solution is not None
    assert seconds == solution.cost // SECOND
    assert sorted(tasks) == sorted(problem.tasks[index].id for index in solution.order)
    chosen = sum(1 << index for index in solution.order)
    assert orders == count_orders(problem, chosen)[0]


def grid(rows: int, columns: int) -> dict[str, str]:
    """Return the product of two chains as what must come before what."""

    def name(row: int, column: int) -> str:
        return chr(ord("a") + row * columns + column)

    return {
        name(r, c): (name(r - 1, c) if r else "") + (name(r, c - 1) if c else "")
        for r in range(rows)
        for c in range(columns)
    }


def fence(size: int) -> dict[str, str]:
    """Return the zigzag poset: every second item waits for its neighbours."""
    items = "abcdef"[:size]
    return {
        item: ("".join(items[n] for n in (place - 1, place + 1) if n < size) if place % 2 else "")
        for place, item in enumerate(items)
    }


@pytest.mark.parametrize(
    ("name", "before", "orders", "states"),
    [
        ("antichain of 5", dict.fromkeys("abcde", ""), 120, 32),
        ("chain of 5", {"a": "", "b": "a", "c": "b", "d": "c", "e": "d"}, 1, 6),
        ("N", {"a": "", "b": "", "c": "a", "d": "ab"}, 5, 8),
        ("2 x 3 grid", grid(2, 3), 5, 10),
        ("2 x 4 grid", grid(2, 4), 14, 15),
        ("3 x 3 grid", grid(3, 3), 42, 20),
        (
            "heap of 7",
            {"a": "", "b": "a", "c": "a", "d": "b", "e": "b", "f": "c", "g": "c"},
            80,
            26,
        ),
        ("fence of 2", fence(2), 1, 3),
        ("fence of 3", fence(3), 2, 5),
        ("fence of 4", fence(4), 5, 8),
        ("fence of 5", fence(5), 16, 13),
        ("fence of 6", fence(6), 61, 21),
    ],
)
def test_posets_have_their_known_counts(
    name: str, before: Mapping[str, str], orders: int, states: int
) -> None:
    """Known partial orders have their known numbers of linear extensions and down-sets."""
    problem = make_poset(before)

    assert (orders, states) == count_orders(problem, everything(problem)), name
