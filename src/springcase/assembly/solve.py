"""
The exact solver: which tasks, by which access, as which lumps, in which order.

Sets of tasks that reach the goals are enumerated best first by a lower bound; each complete set
is ordered exactly (`order`); the search stops when no set left can cost less than the best plan.

A set grows by commitments: a goal or a task commits to one alternative, a fact to one provider.
Where the set can already do what is needed nothing is committed, so branches stand only where
there is a real choice. A complete set may still gain from one task more: an access it could do
without, but that spares a change of tools. So every complete set is offered each task that gives
a fact some alternative of its tasks names, and is grown to a complete set again.
"""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heappop, heappush
from typing import NamedTuple

from springcase.assembly.order import Ordering, Outcome
from springcase.assembly.problem import (
    SECOND,
    SETUP,
    Problem,
    Solution,
    are_met,
    bits,
    close_over,
    has_triangle,
)

BUDGET = 4_000_000
"""Effort allowed by default, counted in tasks looked at (about 2 s; common practice, no source)."""


class _Grown(NamedTuple):
    """A partial set: its tasks, the facts they must reach, and which fact has its provider."""

    tasks: int
    wanted: int
    provided: int
    committed: int
    takes: int
    goals: int


@dataclass(slots=True)
class _Effort:
    spent: int = 0


def solve(problem: Problem, budget: int = BUDGET) -> Solution | None:
    """
    Return the least-cost plan, proved, or the best found with its bound; None if there is none.

    Ties in seconds go to fewer parts off, then fewer setups, then the least set of ids.
    """
    if not has_triangle(problem.components):
        return _search_plainly(problem, budget)
    return _Solver(problem, budget).run()


class _Solver:
    def __init__(self, problem: Problem, budget: int) -> None:
        self.problem = problem
        self.budget = budget
        self.providers: dict[int, list[int]] = {}
        for index, task in enumerate(problem.tasks):
            if task.takes & problem.start_parts == 0:
                for fact in bits(task.gives & ~problem.start):
                    self.providers.setdefault(fact, []).append(index)
        self.entry = [
            min(
                problem.change(before, setup)
                for before in range(len(problem.components[0].label))
                if before != setup
            )
            if len(problem.components[0].label) > 1
            else 0
            for setup in range(len(problem.components[0].label))
        ]

    def estimate(self, tasks: int) -> int:
        """Return a lower bound on any plan that holds these tasks. [scaled]"""
        setups = {self.problem.tasks[index].setup for index in bits(tasks)}
        setups.discard(self.problem.start_setup)
        return self.problem.work(tasks) + sum(self.entry[setup] for setup in setups)

    def run(self) -> Solution | None:
        """Enumerate complete sets by bound and order each until none can be better."""
        best: Solution | None = None
        proved: int | None = None
        effort = tick = 0
        root = _Grown(0, 0, 0, 0, self.problem.start_parts, 0)
        heap: list[tuple[int, int, _Grown | None, Ordering | None]] = [(0, tick, root, None)]
        seen: set[object] = {root}
        while heap:
            bound, _, grown, ordering = heappop(heap)
            if best is not None and bound > best.cost:
                heappush(heap, (bound, -1, None, None))
                break
            if effort > self.budget:
                heappush(heap, (bound, -1, None, None))
                break
            if ordering is not None:
                limit = None if best is None else best.cost + 1
                outcome = ordering.search(limit, max(self.budget - effort, len(ordering.tasks)))
                effort += outcome.effort
                best, proved = self._better(best, proved, outcome)
                continue
            if grown is None:
                continue
            children = self.grow(grown)
            if grown.goals == -1:
                ready = Ordering(self.problem, grown.tasks)
                tick += 1
                heappush(heap, (max(bound, ready.bound()), tick, None, ready))
                children = self.enrich(grown)
            for child in children:
                effort += max(1, child.tasks.bit_count())
                key: object = child
                complete = child.goals == -1
                if complete:
                    key = child.tasks
                if key in seen:
                    continue
                seen.add(key)
                tick += 1
                least = max(bound, self.estimate(child.tasks))
                heappush(heap, (least, tick, child, None))
        if best is None:
            return None
        open_bound = heap[0][0] if heap else best.cost
        lower = min([best.cost, open_bound] + ([] if proved is None else [proved]))
        return Solution(best.order, best.cost, lower, effort)

    def enrich(self, grown: _Grown) -> list[_Grown]:
        """Return a complete set with each one task more that may spare a change of setup."""
        named = 0
        for index in bits(grown.tasks):
            for need in self.problem.tasks[index].needs:
                named |= need
        named &= ~self.problem.start
        richer = []
        for index, task in enumerate(self.problem.tasks):
            outside = not grown.tasks >> index & 1 and self._may_add(grown, index)
            if outside and task.gives & named and self._is_useful(grown.tasks, index):
                added = self._add(grown, index)
                richer.append(
                    added._replace(
                        wanted=grown.wanted | task.gives,
                        provided=grown.provided | task.gives,
                        goals=0,
                    )
                )
        return richer

    def _is_useful(self, tasks: int, extra: int) -> bool:
        """Return whether a task can give something before the set's own tasks give it all."""
        gives = self.problem.tasks[extra].gives
        rivals = sum(
            1 << index for index in bits(tasks) if gives & ~self.problem.tasks[index].gives == 0
        )
        if not rivals:
            return True
        facts, _ = close_over(self.problem, tasks & ~rivals, self.problem.start)
        return any(need & ~facts == 0 for need in self.problem.tasks[extra].needs)

    def grow(self, grown: _Grown) -> list[_Grown]:
        """Return the sets one commitment larger; a complete set is marked by ``goals == -1``."""
        while True:
            facts, fired = close_over(self.problem, grown.tasks, self.problem.start)
            choices = self._choices(grown, facts, fired)
            if len(choices) != 1:
                return choices
            grown = choices[0]
            if grown.goals == -1:
                return choices

    def _choices(self, grown: _Grown, facts: int, fired: int) -> list[_Grown]:
        pending = grown.wanted & ~facts
        for fact in bits(pending & ~grown.provided):
            provided = grown.provided | 1 << fact
            return [
                self._add(grown, index)._replace(provided=provided)
                for index in self.providers.get(fact, ())
                if self._may_add(grown, index)
            ]
        for index in bits(grown.tasks & ~fired & ~grown.committed):
            committed = grown.committed | 1 << index
            return [
                grown._replace(wanted=grown.wanted | need, committed=committed)
                for need in _least_sets(self.problem.tasks[index].needs, self.problem.start)
            ]
        if pending or grown.tasks != fired:
            return []
        for index, goal in enumerate(self.problem.goals):
            if not any(need & ~facts == 0 for need in goal):
                marked = grown.goals | 1 << index
                if marked == grown.goals:
                    return []
                return [
                    grown._replace(wanted=grown.wanted | need, goals=marked)
                    for need in _least_sets(goal, self.problem.start)
                ]
        return [grown._replace(goals=-1)]

    def _better(
        self, best: Solution | None, proved: int | None, outcome: Outcome
    ) -> tuple[Solution | None, int | None]:
        """Keep the better plan, and the least bound of a set whose search was cut short."""
        found = outcome.solution
        cut_short = not found.optimal if found else best is not None and outcome.bound < best.cost
        if cut_short:
            proved = outcome.bound if proved is None else min(proved, outcome.bound)
        if found is not None and (best is None or self._rank(found) < self._rank(best)):
            best = found
        return best, proved

    def _rank(self, solution: Solution) -> tuple[int, list[str]]:
        return solution.cost, sorted(self.problem.tasks[index].id for index in solution.order)

    def _may_add(self, grown: _Grown, index: int) -> bool:
        inside = grown.tasks >> index & 1
        return bool(inside) or not self.problem.tasks[index].takes & grown.takes

    def _add(self, grown: _Grown, index: int) -> _Grown:
        if grown.tasks >> index & 1:
            return grown
        task = self.problem.tasks[index]
        return grown._replace(tasks=grown.tasks | 1 << index, takes=grown.takes | task.takes)


def _least_sets(alternatives: tuple[int, ...], start: int) -> list[int]:
    """Return the alternatives less what is true already, without those that hold another."""
    open_ = sorted({need & ~start for need in alternatives}, key=lambda n: (n.bit_count(), n))
    least: list[int] = []
    for need in open_:
        if not any(kept & ~need == 0 for kept in least):
            least.append(need)
    return least


def _search_plainly(problem: Problem, budget: int) -> Solution | None:
    """Search over single tasks: no dominance holds where setup costs break the triangle."""
    everything = tuple(range(len(problem.tasks)))
    tick = effort = 0
    start = (problem.start, problem.start_parts, problem.start_joints, problem.start_setup)
    heap: list[tuple[int, int, tuple[int, int, int, int], tuple[int, ...]]] = [(0, 0, start, ())]
    cheapest = {start: 0}
    while heap:
        cost, _, state, order = heappop(heap)
        facts, parts, joints, setup = state
        if are_met(problem.goals, facts):
            return Solution(order, cost, cost, effort)
        if cost > cheapest[state]:
            continue
        effort += len(everything)
        if effort > budget:
            return None
        for index in everything:
            task = problem.tasks[index]
            if task.takes & parts or task.gives & ~facts == 0:
                continue
            if not any(need & ~facts == 0 for need in task.needs):
                continue
            opened = sum(problem.joint_seconds[j] for j in bits(task.joints & ~joints))
            onward = cost + (task.seconds + opened) * SECOND + task.takes.bit_count() * (1 << 12)
            onward += problem.change(setup, task.setup)
            reached = (facts | task.gives, parts | task.takes, joints | task.joints, task.setup)
            if onward < cheapest.get(reached, onward + 1):
                cheapest[reached] = onward
                tick += SETUP
                heappush(heap, (onward, tick, reached, (*order, index)))
    return None
