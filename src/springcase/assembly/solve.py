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

from dataclasses import replace
from functools import reduce
from heapq import heappop, heappush
from itertools import combinations, pairwise
from operator import itemgetter, or_
from typing import NamedTuple

from springcase.assembly.order import BEAM_WIDTH, TIE_EFFORT, Ordering, Outcome
from springcase.assembly.problem import (
    PART,
    SECOND,
    SETUP,
    Problem,
    Solution,
    are_met,
    bits,
    close_over,
    has_triangle,
)
from springcase.errors import NoPlan

BUDGET = 1_000_000
"""Effort allowed by default, counted in tasks looked at: about a second (tried; no source)."""
BEST_SETS = 2
"""Sets ordered by a beam when effort ran out before any was ordered exactly (no source)."""
PREPARING = 8
"""Effort of preparing to order a set, in looks a task (tried; no source)."""


class _Grown(NamedTuple):
    """
    A partial set: its tasks, the facts they give, the facts wanted, the tasks committed.

    `work`, `joints` and `setups` are what the tasks cost and use, kept as the set grows.
    """

    tasks: int
    gives: int
    wanted: int
    committed: int
    work: int
    joints: int
    setups: int
    is_complete: bool = False


_Entry = tuple[int, int, _Grown | Ordering]
"""A set still to be grown, or one ready to be ordered: its bound, then when it was met."""


def solve(problem: Problem, budget: int = BUDGET) -> Solution | None:
    """
    Return the least-cost plan, proved, or the best found with its bound; None if there is none.

    Ties in seconds go to fewer parts off, then fewer setups, then the least set of ids.

    Raises
    ------
    NoPlan
        If the effort allowed neither finds a plan nor proves that there is none.
    """
    if not has_triangle(problem.components):
        return _search_plainly(problem, budget)
    solution = _Solver(problem, budget).run()
    return solution and _without_idle(problem, solution)


class _Solver:
    def __init__(self, problem: Problem, budget: int) -> None:
        self.problem = problem
        self.budget = budget
        self.effort = 0
        self.providers: dict[int, list[int]] = {}
        for index, task in enumerate(problem.tasks):
            if task.takes & problem.start_parts == 0:
                for fact in bits(task.gives & ~problem.start):
                    self.providers.setdefault(fact, []).append(index)
        self.needs = [_least_sets(task.needs, problem.start) for task in problem.tasks]
        self.goals = [_least_sets(goal, problem.start) for goal in problem.goals]
        self.bars = self._bars()
        self.shares = self._least_shares()
        self.entry = self._least_entries()

    def _bars(self) -> list[int]:
        """
        Return, for each task, the tasks no sensible set holds beside it.

        Two that take one part; and one that must come first yet gives all the other would: where
        all givers of a needed fact take a common part, a set has one of them at most, so the
        other is done after it and gives nothing.
        """
        tasks = self.problem.tasks
        bars = [0] * len(tasks)

        def bar(one: int, other: int) -> None:
            bars[one] |= 1 << other
            bars[other] |= 1 << one

        takers: dict[int, list[int]] = {}
        for index, task in enumerate(tasks):
            for part in bits(task.takes):
                takers.setdefault(part, []).append(index)
        for rivals in takers.values():
            for one, other in combinations(rivals, 2):
                bar(one, other)
        for index, needs in enumerate(self.needs):
            always = -1 if needs else 0
            for need in needs:
                always &= need
            for fact in bits(always):
                givers = self.providers.get(fact, [])
                if all(bars[one] >> other & 1 for one, other in combinations(givers, 2)):
                    for giver in givers:
                        if tasks[index].gives & ~tasks[giver].gives == 0:
                            bar(giver, index)
        return bars

    def _implied(self, wanted: int) -> int:
        """Return wanted facts with those every way to them needs or gives as well."""
        waiting = list(bits(wanted))
        while waiting:
            shared = -1
            for index in self.providers.get(waiting.pop(), ()):
                always = -1 if self.needs[index] else 0
                for need in self.needs[index]:
                    always &= need
                shared &= always | self.problem.tasks[index].gives & ~self.problem.start
            fresh = 0 if shared == -1 else shared & ~wanted
            wanted |= fresh
            waiting.extend(bits(fresh))
        return wanted

    def _least_shares(self) -> dict[int, int]:
        """Return, for each fact, the least share of a task's work that giving it can cost."""
        shares: dict[int, int] = {}
        for index, task in enumerate(self.problem.tasks):
            work = task.seconds * SECOND + task.takes.bit_count() * PART
            share = work // max(1, (task.gives & ~self.problem.start).bit_count())
            for fact in bits(task.gives & ~self.problem.start):
                if index in self.providers.get(fact, ()):
                    shares[fact] = min(share, shares.get(fact, share))
        return shares

    def _least_entries(self) -> dict[int, int]:
        """Return, for each setup, the least scaled cost of coming to it from another."""
        start = self.problem.start_setup
        setups = {task.setup for task in self.problem.tasks} | {start}
        entries = {
            setup: min(
                (self.problem.changes[other][setup] for other in setups if other != setup),
                default=0,
            )
            for setup in setups
        }
        # What is in hand already need not be come to.
        return entries | {start: 0}

    def estimate(self, grown: _Grown) -> int:
        """Return a lower bound on any plan that grows from a set. [scaled]"""
        total = grown.work
        for setup in bits(grown.setups):
            total += self.entry[setup]
        for fact in bits(grown.wanted & ~grown.gives):
            total += self.shares.get(fact, 0)
        return total

    def run(self) -> Solution | None:
        """Enumerate complete sets by bound and order each until none can be better."""
        best: Solution | None = None
        proved: int | None = None
        tick = 0
        wanted = self._implied(reduce(or_, (goal[0] for goal in self.goals if len(goal) == 1), 0))
        root = _Grown(
            tasks=0,
            gives=self.problem.start,
            wanted=wanted,
            committed=0,
            work=0,
            joints=self.problem.start_joints,
            setups=0,
        )
        heap: list[_Entry] = [(0, tick, root)]
        seen: set[object] = {root}
        while heap:
            bound, _, found = heappop(heap)
            if self._is_settled(best, bound) or self.effort > self.budget:
                heappush(heap, (bound, -1, found))
                break
            if isinstance(found, Ordering):
                limit = None if best is None else best.cost + self._may_win_tie(found, best)
                outcome = found.search(limit, max(self.budget - self.effort, found.size))
                self.effort += outcome.effort
                best, proved = self._better(best, proved, outcome)
                continue
            if found.is_complete:
                ready = Ordering(self.problem, found.tasks)
                self.effort += PREPARING * ready.size
                tick += 1
                heappush(heap, (max(bound, ready.bound()), tick, ready))
                children = self.enrich(found)
            else:
                children = self.grow(found)
            for child in children:
                key: object = child.tasks if child.is_complete else child
                if key not in seen:
                    seen.add(key)
                    tick += 1
                    heappush(heap, (max(bound, self.estimate(child)), tick, child))
        if best is None:
            if not heap:
                return None
            best = self._dive(sorted(heap, key=itemgetter(0, 1)))
        open_bound = heap[0][0] if heap else best.cost
        lower = min([best.cost, open_bound] + ([] if proved is None else [proved]))
        return replace(best, bound=lower, effort=self.effort)

    def _is_settled(self, best: Solution | None, bound: int) -> bool:
        """Return whether no set left can be better; ties are looked at while that is cheap."""
        if best is None:
            return False
        spent = self.effort > TIE_EFFORT
        return bound > best.cost or (spent and bound // SECOND >= best.cost // SECOND)

    def _dive(self, heap: list[_Entry]) -> Solution:
        """
        Return a plan by always growing the most promising set: when effort ran out before one.

        Raises
        ------
        NoPlan
            If as much effort again finds none: neither found nor proved impossible.
        """
        stack = [each for _, _, each in reversed(heap) if isinstance(each, _Grown)]
        ready = [each for _, _, each in heap if isinstance(each, Ordering)]
        found_all = [ordering.beam(BEAM_WIDTH) for ordering in ready[:BEST_SETS]]
        plans = [found for found in found_all if found is not None]
        if plans:
            return min(plans, key=self._rank)
        limit = self.effort + self.budget
        while stack and self.effort <= limit:
            grown = stack.pop()
            if grown.is_complete:
                found = Ordering(self.problem, grown.tasks).beam(BEAM_WIDTH)
                if found is not None:
                    return found
            else:
                stack.extend(sorted(self.grow(grown), key=self.estimate, reverse=True))
        raise NoPlan("effort-spent", field="scope", value=self.effort, right=self.budget)

    def enrich(self, grown: _Grown) -> list[_Grown]:
        """Return a complete set with each one task more that may spare a change of setup."""
        named = 0
        for index in bits(grown.tasks):
            for need in self.needs[index]:
                named |= need
        richer = []
        for index, task in enumerate(self.problem.tasks):
            outside = not grown.tasks >> index & 1 and self._may_join(index, grown.tasks)
            if outside and task.gives & named and self._is_useful(grown.tasks, index):
                richer.append(self._add(grown._replace(is_complete=False), index))
        return richer

    def _is_useful(self, tasks: int, extra: int) -> bool:
        """Return whether a task can give something before the set's own tasks give it all."""
        gives = self.problem.tasks[extra].gives
        rivals = sum(
            1 << index for index in bits(tasks) if gives & ~self.problem.tasks[index].gives == 0
        )
        self.effort += tasks.bit_count()
        if not rivals:
            return True
        facts, _ = close_over(self.problem, tasks & ~rivals, self.problem.start)
        return any(need & ~facts == 0 for need in self.problem.tasks[extra].needs)

    def grow(self, grown: _Grown) -> list[_Grown]:
        """Return the sets after the next real choice; forced ones are made on the way."""
        self.effort += 1 + grown.tasks.bit_count()
        forced = self._force(grown)
        while forced is not None:
            choices = self._choices(forced)
            if choices and choices[0].is_complete:
                return choices
            alive = [each for each in map(self._force, choices) if each is not None]
            if len(alive) != 1:
                return alive
            forced = alive[0]
        return []

    def _force(self, grown: _Grown) -> _Grown | None:
        """Make every choice that is none: a sole provider, a sole access. None: a dead end."""
        while True:
            before = grown
            for fact in bits(grown.wanted & ~grown.gives):
                if grown.gives >> fact & 1:
                    continue
                able = self._able(fact, grown.tasks)
                if not able:
                    return None
                if len(able) == 1:
                    grown = self._add(grown, able[0])
            committed, wanted = grown.committed, grown.wanted
            for index in bits(grown.tasks & ~committed):
                if len(self.needs[index]) == 1:
                    committed |= 1 << index
                    wanted |= self.needs[index][0]
            grown = grown._replace(committed=committed, wanted=wanted)
            if (grown.tasks, wanted) == (before.tasks, before.wanted):
                return grown

    def _able(self, fact: int, tasks: int) -> list[int]:
        """Return the tasks that could give a fact beside a set: in it, or barred by none of it."""
        return [
            index
            for index in self.providers.get(fact, ())
            if tasks >> index & 1 or self._may_join(index, tasks)
        ]

    def _may_join(self, index: int, tasks: int) -> bool:
        task = self.problem.tasks[index]
        return not self.bars[index] & tasks and not task.takes & self.problem.start_parts

    def _choices(self, grown: _Grown) -> list[_Grown]:
        absent = grown.wanted & ~grown.gives
        if absent:
            fact = absent.bit_length() - 1
            able = self._able(fact, grown.tasks)
            return [self._add(grown, index) for index in able]
        self.effort += grown.tasks.bit_count()
        facts, fired = close_over(self.problem, grown.tasks, self.problem.start)
        for index in bits(grown.tasks & ~fired & ~grown.committed):
            committed = grown.committed | 1 << index
            return [
                grown._replace(wanted=grown.wanted | need, committed=committed)
                for need in self.needs[index]
            ]
        pending = grown.wanted & ~facts
        if pending or grown.tasks != fired:
            # What is wanted has its giver, but they wait for each other: one fact needs another.
            others = {
                index
                for fact in bits(pending)
                for index in self._able(fact, grown.tasks)
                if not grown.tasks >> index & 1
            }
            return [self._add(grown, index) for index in sorted(others)]
        for goal in self.goals:
            if not any(need & ~facts == 0 for need in goal):
                return [grown._replace(wanted=grown.wanted | need) for need in goal]
        return [grown._replace(is_complete=True)]

    def _add(self, grown: _Grown, index: int) -> _Grown:
        task = self.problem.tasks[index]
        seconds = task.seconds
        for joint in bits(task.joints & ~grown.joints):
            seconds += self.problem.joint_seconds[joint]
        return _Grown(
            tasks=grown.tasks | 1 << index,
            gives=grown.gives | task.gives,
            wanted=grown.wanted,
            committed=grown.committed,
            work=grown.work + seconds * SECOND + task.takes.bit_count() * PART,
            joints=grown.joints | task.joints,
            setups=grown.setups | 1 << task.setup,
        )

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

    def _may_win_tie(self, ordering: Ordering, best: Solution) -> bool:
        ids = sorted(self.problem.tasks[index].id for index in bits(ordering.all))
        return ids < self._rank(best)[1]

    def _rank(self, solution: Solution) -> tuple[int, list[str]]:
        return solution.cost, sorted(self.problem.tasks[index].id for index in solution.order)


def _without_idle(problem: Problem, solution: Solution) -> Solution:
    """Return a solution without tasks that give nothing where they stand: free, yet not legal."""
    facts, order = problem.start, []
    for index in solution.order:
        gives = problem.tasks[index].gives
        if gives & ~facts:
            order.append(index)
            facts |= gives
    if len(order) == len(solution.order):
        return solution
    setups = [problem.start_setup, *(problem.tasks[index].setup for index in order)]
    changes = sum(problem.changes[one][other] for one, other in pairwise(setups))
    cost = problem.work(sum(1 << index for index in order)) + changes
    return replace(solution, order=tuple(order), cost=cost)


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
            return Solution(order=order, cost=cost, bound=cost, effort=effort)
        if cost > cheapest[state]:
            continue
        effort += len(everything)
        if effort > budget:
            raise NoPlan("effort-spent", field="scope", value=effort, right=budget)
        for index in everything:
            task = problem.tasks[index]
            if task.takes & parts or task.gives & ~facts == 0:
                continue
            if not any(need & ~facts == 0 for need in task.needs):
                continue
            opened = sum(problem.joint_seconds[j] for j in bits(task.joints & ~joints))
            onward = cost + (task.seconds + opened) * SECOND + task.takes.bit_count() * PART
            onward += problem.changes[setup][task.setup]
            reached = (facts | task.gives, parts | task.takes, joints | task.joints, task.setup)
            if onward < cheapest.get(reached, onward + 1):
                cheapest[reached] = onward
                tick += SETUP
                heappush(heap, (onward, tick, reached, (*order, index)))
    return None
