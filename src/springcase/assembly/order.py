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
from dataclasses import dataclass, replace
from heapq import heappop, heappush

from springcase.assembly.problem import SECOND, SETUP, Problem, Solution, bits

BEAM_WIDTH = 12
"""States kept a layer when the exact search ran out of effort (tried on 300 parts; no source)."""

_Levels = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Label:
    """What one label forces: (n, mask of remaining tasks any of which forces n entries)."""

    price: int
    forced: _Levels
    forced_in_hand: _Levels


@dataclass(slots=True, kw_only=True)
class _Node:
    """A state of the search: what is done, true, open and in hand, and how it came about."""

    cost: int
    done: int
    facts: int
    ready: int
    setup: int
    fired: tuple[int, ...]
    parent: _Node | None


@dataclass(frozen=True, slots=True, kw_only=True)
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
        self.tasks = [problem.tasks[index] for index in self.indices]
        self.after = [0] * len(self.indices)
        if after:
            local = {index: place for place, index in enumerate(self.indices)}
            for index, place in local.items():
                for earlier in after.get(index, ()):
                    self.after[place] |= 1 << local[earlier]
        self.in_setup: dict[int, int] = {}
        for place, task in enumerate(self.tasks):
            self.in_setup[task.setup] = self.in_setup.get(task.setup, 0) | 1 << place
        self._prepare_watch()
        self._prepare_bound()

    def _prepare_watch(self) -> None:
        """Note which tasks a new fact, or a task done, may open."""
        self.watchers: dict[int, int] = {}
        self.followers = [0] * len(self.tasks)
        for place, task in enumerate(self.tasks):
            named = 0
            for need in task.needs:
                named |= need
            for fact in bits(named):
                self.watchers[fact] = self.watchers.get(fact, 0) | 1 << place
            for earlier in bits(self.after[place]):
                self.followers[earlier] |= 1 << place

    def _successors(self) -> list[set[int]]:
        """Return, for each task, the tasks that must wait for it in every order."""
        givers: dict[int, int] = {}
        for place, task in enumerate(self.tasks):
            for fact in bits(task.gives & ~self.problem.start):
                givers[fact] = -1 if fact in givers else place
        waiting: list[set[int]] = [set() for _ in self.tasks]
        for place, task in enumerate(self.tasks):
            needed = ~self.problem.start if task.needs else 0
            for need in task.needs:
                needed &= need
            for fact in bits(needed):
                giver = givers.get(fact, -1)
                if giver not in (-1, place):
                    waiting[giver].add(place)
            for earlier in bits(self.after[place]):
                waiting[earlier].add(place)
        return waiting

    def _prepare_bound(self) -> None:
        """Build the tables of forced entries for every label of every component."""
        chains = _Chains(self._successors())
        self.labels: list[tuple[tuple[int, ...], list[tuple[int, _Label]]]] = []
        for component in self.problem.components:
            own: dict[int, int] = {}
            for setup, mask in self.in_setup.items():
                label = component.label[setup]
                own[label] = own.get(label, 0) | mask
            used = {*own, component.label[self.problem.start_setup]}
            tables = []
            for label, mask in sorted(own.items()):
                prices = [component.cost[other][label] for other in used if other != label]
                price = min(prices, default=0)
                if price:
                    tables.append((label, chains.table(price * SECOND, mask)))
            self.labels.append((component.label, tables))
        self.setup_labels = [chains.table(SETUP, mask) for _, mask in sorted(self.in_setup.items())]

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
        start = self._start()
        return start.cost + self.bound_from(start.done, start.setup)

    def _start(self) -> _Node:
        """Return the start, with all done that the setup in hand can do."""
        facts = self.problem.start
        ready = 0
        for place in range(len(self.tasks)):
            if self._is_open(place, 0, facts):
                ready |= 1 << place
        start = _Node(
            cost=self.work,
            done=0,
            facts=facts,
            ready=ready,
            setup=self.problem.start_setup,
            fired=(),
            parent=None,
        )
        return self._close(start)

    def _is_open(self, place: int, done: int, facts: int) -> bool:
        """Return whether a task may be done now."""
        if self.after[place] & ~done:
            return False
        return any(need & ~facts == 0 for need in self.tasks[place].needs)

    def _close(self, node: _Node) -> _Node:
        """Do everything the setup in hand can do, in order of ids."""
        done, facts, ready, fired = node.done, node.facts, node.ready, []
        mine = self.in_setup.get(node.setup, 0)
        while ready & mine:
            now = ready & mine
            place = (now & -now).bit_length() - 1
            fired.append(place)
            done |= 1 << place
            ready &= ~(1 << place)
            fresh = self.tasks[place].gives & ~facts
            facts |= fresh
            woken = self.followers[place]
            for fact in bits(fresh):
                woken |= self.watchers.get(fact, 0)
            for other in bits(woken & ~done & ~ready):
                if self._is_open(other, done, facts):
                    ready |= 1 << other
        node.done, node.facts, node.ready, node.fired = done, facts, ready, tuple(fired)
        return node

    def _next(self, node: _Node) -> list[_Node]:
        """Return the closed states one setup change away."""
        changes = self.problem.changes[node.setup]
        return [
            self._close(
                _Node(
                    cost=node.cost + changes[setup],
                    done=node.done,
                    facts=node.facts,
                    ready=node.ready,
                    setup=setup,
                    fired=(),
                    parent=node,
                )
            )
            for setup, mask in self.in_setup.items()
            if mask & node.ready
        ]

    def _solution(self, node: _Node, bound: int, effort: int) -> Solution:
        runs = []
        at: _Node | None = node
        while at is not None:
            runs.append(at.fired)
            at = at.parent
        order = tuple(self.indices[place] for run in reversed(runs) for place in run)
        return Solution(order=order, cost=node.cost, bound=bound, effort=effort)

    def search(self, limit: int | None, budget: int) -> Outcome:
        """
        Find the least-cost order that costs less than `limit` (scaled), exactly.

        `budget` is the effort allowed, counted in tasks looked at. When it runs out the best
        order a beam finds is returned with the bound proved so far.
        """
        start = self._start()
        best: dict[tuple[int, int], int] = {(start.done, start.setup): start.cost}
        tick = 0
        first = start.cost + self.bound_from(start.done, start.setup)
        heap = [(first, 0, tick, start)]
        effort = 0
        size = len(self.tasks)
        while heap:
            estimate, _, _, node = heappop(heap)
            if limit is not None and estimate >= limit:
                return Outcome(solution=None, bound=estimate, effort=effort)
            if node.done == self.all:
                return Outcome(
                    solution=self._solution(node, node.cost, effort),
                    bound=node.cost,
                    effort=effort,
                )
            if node.cost > best[node.done, node.setup]:
                continue
            effort += size
            if effort > budget:
                return self._give_up(estimate, effort, limit)
            for child in self._next(node):
                key = (child.done, child.setup)
                if child.cost < best.get(key, child.cost + 1):
                    best[key] = child.cost
                    tick += 1
                    onward = child.cost + self.bound_from(child.done, child.setup)
                    if limit is None or onward < limit:
                        heappush(heap, (onward, -child.done.bit_count(), tick, child))
        return Outcome(solution=None, bound=limit if limit is not None else 0, effort=effort)

    def _give_up(self, bound: int, effort: int, limit: int | None) -> Outcome:
        """Return what a beam finds, with the bound the exact search had proved."""
        found = self.beam(BEAM_WIDTH)
        if found is None or (limit is not None and found.cost >= limit):
            return Outcome(solution=None, bound=bound, effort=effort)
        bound = min(bound, found.cost)
        return Outcome(
            solution=replace(found, bound=bound, effort=effort), bound=bound, effort=effort
        )

    def beam(self, width: int) -> Solution | None:
        """Return a good order found by keeping the best few states a layer; None: a dead end."""
        layer = [self._start()]
        finished: _Node | None = None
        while layer:
            grown: dict[tuple[int, int], _Node] = {}
            for node in layer:
                if node.done == self.all:
                    if finished is None or node.cost < finished.cost:
                        finished = node
                    continue
                for child in self._next(node):
                    key = (child.done, child.setup)
                    if key not in grown or child.cost < grown[key].cost:
                        grown[key] = child
            if finished is not None:
                grown = {key: node for key, node in grown.items() if node.cost < finished.cost}
            ranked = sorted(
                grown.values(),
                key=lambda node: (
                    node.cost + self.bound_from(node.done, node.setup),
                    -node.done.bit_count(),
                ),
            )
            layer = ranked[:width]
        return None if finished is None else self._solution(finished, self.work, 0)


class _Chains:
    """Chains of tasks each of which must wait for the one before."""

    def __init__(self, waiting: list[set[int]]) -> None:
        self.waiting = waiting
        self.backwards = _later_first(waiting)
        self.earlier = [0] * len(waiting)
        for place in reversed(self.backwards):
            for other in waiting[place]:
                self.earlier[other] |= 1 << place | self.earlier[place]

    def table(self, price: int, own: int) -> _Label:
        """Return how many entries into one label each remaining task forces from itself on."""
        before = 0
        for place in bits(own):
            before |= self.earlier[place]
        if own & before == 0:
            # No task of the label waits for another: one entry at most is forced.
            in_hand = ((1, before & ~own),) if before & ~own else ()
            return _Label(price=price, forced=((1, own),), forced_in_hand=in_hand)
        entries = [0] * len(self.waiting)
        for place in self.backwards:
            mine = own >> place & 1
            if mine or before >> place & 1:
                most = mine
                for later in self.waiting[place]:
                    most = max(most, entries[later] + (mine and not own >> later & 1))
                entries[place] = most
        back = [count - (own >> place & 1) for place, count in enumerate(entries)]
        return _Label(price=price, forced=_levels(entries), forced_in_hand=_levels(back))


def _later_first(waiting: list[set[int]]) -> list[int]:
    """Return the tasks ordered so that each stands after all that must wait for it."""
    order: list[int] = []
    seen = [False] * len(waiting)
    for root in range(len(waiting)):
        stack = [(root, False)]
        while stack:
            place, is_last = stack.pop()
            if is_last:
                order.append(place)
            elif not seen[place]:
                seen[place] = True
                stack.append((place, True))
                stack.extend((later, False) for later in sorted(waiting[place]))
    return order


def _levels(values: Sequence[int]) -> _Levels:
    """Return (n, mask of tasks whose value is at least n), largest n first."""
    top = max(values, default=0)
    return tuple(
        (n, sum(1 << place for place, value in enumerate(values) if value >= n))
        for n in range(top, 0, -1)
    )
