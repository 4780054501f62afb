"""
The least-cost order of a fixed set of tasks.

Best-first search over (tasks done, setup in hand). Because setup costs obey the triangle
inequality and a task never bars another of the set (takes are disjoint, facts only grow),
everything the setup in hand can do is done at once: a state is left only to change setup.

The lower bound counts, for every tool, side and place on its own, how often precedence forces
coming back to it: along a chain of tasks each of which must wait for the one before, every new
run of a label is one more entry, and an entry costs at least the cheapest way into the label.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush

from springcase.assembly.problem import SECOND, Problem, Solution, bits

BEAM_WIDTH = 12
"""States kept a layer when the exact search ran out of effort (tried on 300 parts; no source)."""

_Levels = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True)
class _Label:
    """What one label forces: (n, mask of remaining tasks any of which forces n entries)."""

    price: int
    forced: _Levels
    forced_in_hand: _Levels


@dataclass(slots=True)
class _Node:
    """A state of the search: what is done, what is true, what is in hand, how it came about."""

    cost: int
    done: int
    facts: int
    setup: int
    fired: tuple[int, ...]
    parent: _Node | None


@dataclass(frozen=True, slots=True)
class Outcome:
    """What an ordering found: the solution, or none below the limit; with the bound proved."""

    solution: Solution | None
    bound: int
    effort: int


class Ordering:
    """One fixed set of tasks, prepared for ordering. `after` adds precedences between tasks."""

    def __init__(
        self, problem: Problem, tasks: int, after: Mapping[int, Iterable[int]] | None = None
    ) -> None:
        self.problem = problem
        self.indices = bits(tasks)
        self.all = (1 << len(self.indices)) - 1
        self.work = problem.work(tasks)
        local = {index: place for place, index in enumerate(self.indices)}
        self.tasks = [problem.tasks[index] for index in self.indices]
        self.after = [
            sum(1 << local[earlier] for earlier in set((after or {}).get(index, ())))
            for index in self.indices
        ]
        self.by_setup: dict[int, list[int]] = {}
        for place, task in enumerate(self.tasks):
            self.by_setup.setdefault(task.setup, []).append(place)
        self.changes = {
            (before, after_): problem.change(before, after_)
            for before in {*self.by_setup, problem.start_setup}
            for after_ in self.by_setup
        }
        self._prepare_bound()

    def _successors(self) -> list[list[int]]:
        """Return, for each task, the tasks that must wait for it in every order."""
        providers: dict[int, list[int]] = {}
        for place, task in enumerate(self.tasks):
            for fact in bits(task.gives & ~self.problem.start):
                providers.setdefault(fact, []).append(place)
        waiting: list[list[int]] = [[] for _ in self.tasks]
        for place, task in enumerate(self.tasks):
            needed = ~0
            for need in task.needs:
                needed &= need
            if not task.needs:
                needed = 0
            sole = {
                providers[fact][0]
                for fact in bits(needed & ~self.problem.start)
                if len(providers.get(fact, ())) == 1
            }
            for earlier in sole.union(bits(self.after[place])) - {place}:
                waiting[earlier].append(place)
        return waiting

    def _prepare_bound(self) -> None:
        """Build the tables of forced entries for every label of every component."""
        waiting = self._successors()
        backwards = _later_first(waiting)
        self.labels: list[tuple[tuple[int, ...], list[tuple[int, _Label]]]] = []
        for component in self.problem.components:
            own = [component.label[task.setup] for task in self.tasks]
            used = sorted({*own, component.label[self.problem.start_setup]})
            tables = []
            for label in sorted(set(own)):
                price = min(
                    (component.cost[other][label] for other in used if other != label), default=0
                )
                if price:
                    tables.append((label, _table(price * SECOND, own, label, waiting, backwards)))
            self.labels.append((component.label, tables))
        own = [task.setup for task in self.tasks]
        self.setup_labels = [
            _table(1, own, setup, waiting, backwards) for setup in sorted(set(own))
        ]

    def bound_from(self, done: int, setup: int) -> int:
        """Return a lower bound on the setup cost still to come from a closed state. [scaled]"""
        left = self.all & ~done
        total = 0
        for label_of, tables in self.labels:
            in_hand = label_of[setup]
            for label, table in tables:
                for count, mask in table.forced_in_hand if label == in_hand else table.forced:
                    if mask & left:
                        total += count * table.price
                        break
        for table in self.setup_labels:
            for count, mask in table.forced:
                if mask & left:
                    total += count
                    break
        return total

    def bound(self) -> int:
        """Return a lower bound on the whole scaled cost of any order of these tasks."""
        start = self._close(
            _Node(self.work, 0, self.problem.start, self.problem.start_setup, (), None)
        )
        return start.cost + self.bound_from(start.done, start.setup)

    def _is_open(self, place: int, done: int, facts: int) -> bool:
        """Return whether a task may be done now."""
        if self.after[place] & ~done:
            return False
        return any(need & ~facts == 0 for need in self.tasks[place].needs)

    def _close(self, node: _Node) -> _Node:
        """Do everything the setup in hand can do, in order of ids."""
        done, facts, fired = node.done, node.facts, list(node.fired)
        group = self.by_setup.get(node.setup, [])
        progress = True
        while progress:
            progress = False
            for place in group:
                if not done >> place & 1 and self._is_open(place, done, facts):
                    done |= 1 << place
                    facts |= self.tasks[place].gives
                    fired.append(place)
                    progress = True
        return _Node(node.cost, done, facts, node.setup, tuple(fired), node.parent)

    def _next(self, node: _Node) -> list[_Node]:
        """Return the closed states one setup change away."""
        setups = set()
        for place in bits(self.all & ~node.done):
            setup = self.tasks[place].setup
            if setup not in setups and self._is_open(place, node.done, node.facts):
                setups.add(setup)
        return [
            self._close(
                _Node(
                    node.cost + self.changes[node.setup, setup],
                    node.done,
                    node.facts,
                    setup,
                    (),
                    node,
                )
            )
            for setup in sorted(setups)
        ]

    def _solution(self, node: _Node, bound: int, effort: int) -> Solution:
        order: list[int] = []
        at: _Node | None = node
        runs = []
        while at is not None:
            runs.append(at.fired)
            at = at.parent
        for run in reversed(runs):
            order.extend(self.indices[place] for place in run)
        return Solution(tuple(order), node.cost, bound, effort)

    def search(self, limit: int | None, budget: int) -> Outcome:
        """
        Find the least-cost order that costs less than `limit` (scaled), exactly.

        `budget` is the effort allowed, counted in tasks looked at. When it runs out the best
        order a beam finds is returned with the bound proved so far.
        """
        start = self._close(
            _Node(self.work, 0, self.problem.start, self.problem.start_setup, (), None)
        )
        best: dict[tuple[int, int], int] = {(start.done, start.setup): start.cost}
        tick = 0
        first = start.cost + self.bound_from(start.done, start.setup)
        heap = [(first, 0, tick, start)]
        effort = 0
        size = len(self.tasks)
        while heap:
            estimate, _, _, node = heappop(heap)
            if limit is not None and estimate >= limit:
                return Outcome(None, estimate, effort)
            if node.done == self.all:
                return Outcome(self._solution(node, node.cost, effort), node.cost, effort)
            if node.cost > best[node.done, node.setup]:
                continue
            effort += size
            if effort > budget:
                return self._give_up(start, estimate, effort, limit)
            for child in self._next(node):
                key = (child.done, child.setup)
                if child.cost < best.get(key, child.cost + 1):
                    best[key] = child.cost
                    tick += 1
                    onward = child.cost + self.bound_from(child.done, child.setup)
                    if limit is None or onward < limit:
                        heappush(heap, (onward, -child.done.bit_count(), tick, child))
        return Outcome(None, limit if limit is not None else 0, effort)

    def _give_up(self, start: _Node, bound: int, effort: int, limit: int | None) -> Outcome:
        """Return what a beam finds, with the bound the exact search had proved."""
        layer = [start]
        finished: _Node | None = None
        while layer:
            grown: dict[tuple[int, int], _Node] = {}
            for node in layer:
                if node.done == self.all:
                    if finished is None or node.cost < finished.cost:
                        finished = node
                    continue
                effort += len(self.tasks)
                for child in self._next(node):
                    key = (child.done, child.setup)
                    if key not in grown or child.cost < grown[key].cost:
                        grown[key] = child
            if finished is not None:
                grown = {k: n for k, n in grown.items() if n.cost < finished.cost}
            ranked = sorted(
                grown.values(),
                key=lambda n: (n.cost + self.bound_from(n.done, n.setup), -n.done.bit_count()),
            )
            layer = ranked[:BEAM_WIDTH]
        if finished is None or (limit is not None and finished.cost >= limit):
            return Outcome(None, bound, effort)
        bound = min(bound, finished.cost)
        return Outcome(self._solution(finished, bound, effort), bound, effort)


def _later_first(waiting: list[list[int]]) -> list[int]:
    """Return the tasks ordered so that each stands after all that must wait for it."""
    order: list[int] = []
    seen = [False] * len(waiting)
    for root in range(len(waiting)):
        stack = [(root, 0)]
        while stack:
            place, turn = stack.pop()
            if turn == 0:
                if seen[place]:
                    continue
                seen[place] = True
            if turn < len(waiting[place]):
                stack.append((place, turn + 1))
                if not seen[waiting[place][turn]]:
                    stack.append((waiting[place][turn], 0))
            else:
                order.append(place)
    return order


def _table(
    price: int, own: list[int], label: int, waiting: list[list[int]], backwards: list[int]
) -> _Label:
    """Return how many entries into one label each remaining task forces from itself onward."""
    entries = [0] * len(own)
    for place in backwards:
        mine = own[place] == label
        most = 1 if mine else 0
        for later in waiting[place]:
            most = max(most, entries[later] + (1 if mine and own[later] != label else 0))
        entries[place] = most
    in_hand = [count - (own[place] == label) for place, count in enumerate(entries)]
    return _Label(price, _levels(entries), _levels(in_hand))


def _levels(values: Sequence[int]) -> _Levels:
    """Return (n, mask of tasks whose value is at least n), largest n first."""
    top = max(values, default=0)
    return tuple(
        (n, sum(1 << place for place, value in enumerate(values) if value >= n))
        for n in range(top, 0, -1)
    )
