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

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from heapq import heapify, heappop, heappush

from springcase.assembly.problem import SECOND, SETUP, Problem, Solution, bits

BEAM_WIDTH = 12
"""States kept a layer when the exact search ran out of effort (tried on 300 parts; no source)."""

TIE_EFFORT = 20_000
"""Effort spent on ties before seconds alone count: no case of up to ten parts comes near it."""

_Levels = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Label:
    """What one label forces: (n, mask of remaining tasks any of which forces n entries)."""

    price: int
    forced: _Levels
    forced_in_hand: _Levels


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    """
    One additive part of the setup cost: the tables of its labels, and the knots between them.

    A knot is a pair of labels each of which has a task that waits for one of the other: a single
    entry into each cannot do, so the cheaper is entered once more.
    """

    label_of: tuple[int, ...]
    tables: tuple[tuple[int, _Label], ...]
    knots: tuple[tuple[int, int, int, int], ...]


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
        self.all = tasks
        self.size = tasks.bit_count()
        self.work = problem.work(tasks)
        self.after: dict[int, int] = {}
        self.followers: dict[int, int] = {}
        for index, earlier in (after or {}).items():
            for other in set(earlier):
                self.after[index] = self.after.get(index, 0) | 1 << other
                self.followers[other] = self.followers.get(other, 0) | 1 << index
        self.in_setup = {
            setup: mask & tasks for setup, mask in problem.in_setup.items() if mask & tasks
        }
        self._prepare_bound()

    def _successors(self) -> dict[int, set[int]]:
        """Return, for each task, the tasks that must wait for it in every order."""
        givers, always = self.problem.givers, self.problem.always
        waiting: dict[int, set[int]] = {index: set() for index in bits(self.all)}
        for index in waiting:
            for fact in bits(always[index]):
                giver = givers.get(fact, 0) & self.all
                if giver and not giver & (giver - 1):
                    waiting[giver.bit_length() - 1].add(index)
            for earlier in bits(self.after.get(index, 0)):
                waiting[earlier].add(index)
        return waiting

    def _prepare_bound(self) -> None:
        """Build the tables of forced entries for every label of every component."""
        self.chains = chains = _Chains(self._successors())
        self.parts = []
        # How often setups change settles ties alone: counted only once a search begins.
        self.setup_labels: list[_Label] = []
        for component in self.problem.components:
            own: dict[int, int] = {}
            for setup, mask in self.in_setup.items():
                label = component.label[setup]
                own[label] = own.get(label, 0) | mask
            used = {*own, component.label[self.problem.start_setup]}
            labels = []
            for label, mask in sorted(own.items()):
                prices = [component.cost[other][label] for other in used if other != label]
                price = min(prices, default=0) * SECOND
                if price:
                    labels.append((label, mask, chains.table(price, mask)))
            self.parts.append(
                _Part(
                    label_of=component.label,
                    tables=tuple((label, table) for label, _, table in labels),
                    knots=chains.knots([(mask, table.price) for _, mask, table in labels]),
                )
            )

    def bound_from(self, done: int, setup: int) -> int:
        """Return a lower bound on the setup cost still to come from a closed state. [scaled]"""
        left = self.all & ~done
        total = 0
        for part in self.parts:
            in_hand = part.label_of[setup]
            once = 0
            for place, (label, table) in enumerate(part.tables):
                for count, mask in table.forced_in_hand if label == in_hand else table.forced:
                    if mask & left:
                        total += count * table.price
                        if count == 1 and label != in_hand:
                            once |= 1 << place
                        break
            for both, one_first, other_first, price in part.knots:
                if both & once == both and one_first & left and other_first & left:
                    total += price
                    once ^= both
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
        for index in bits(self.all):
            if self._is_open(index, 0, facts):
                ready |= 1 << index
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

    def _is_open(self, index: int, done: int, facts: int) -> bool:
        """Return whether a task may be done now."""
        if self.after.get(index, 0) & ~done:
            return False
        return any(need & ~facts == 0 for need in self.problem.tasks[index].needs)

    def _close(self, node: _Node) -> _Node:
        """Do everything the setup in hand can do, in order of ids."""
        done, facts, ready, fired = node.done, node.facts, node.ready, []
        watchers = self.problem.watchers
        mine = self.in_setup.get(node.setup, 0)
        while ready & mine:
            now = ready & mine
            low = now & -now
            index = low.bit_length() - 1
            fired.append(index)
            done |= low
            ready ^= low
            fresh = self.problem.tasks[index].gives & ~facts
            facts |= fresh
            woken = self.followers.get(index, 0)
            for fact in bits(fresh):
                woken |= watchers.get(fact, 0)
            for other in bits(woken & self.all & ~done & ~ready):
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
        order = tuple(index for run in reversed(runs) for index in run)
        return Solution(order=order, cost=node.cost, bound=bound, effort=effort)

    def search(self, limit: int | None, budget: int) -> Outcome:
        """
        Find the least-cost order that costs less than `limit` (scaled), exactly.

        `budget` is the effort allowed, counted in tasks looked at. When it runs out the best
        order a beam finds is returned with the bound proved so far. Ties in seconds are settled
        while they cost no more effort than `TIE_EFFORT`; after it seconds alone are proved least.
        """
        self.setup_labels = [self.chains.table(SETUP, mask) for mask in self.in_setup.values()]
        start = self._start()
        best: dict[tuple[int, int], int] = {(start.done, start.setup): start.cost}
        tick = effort = 0
        grain = 1
        first = start.cost + self.bound_from(start.done, start.setup)
        heap = [(first, 0, tick, start)]
        while heap:
            estimate, _, _, node = heappop(heap)
            if limit is not None and estimate >= limit - limit % grain:
                return Outcome(solution=None, bound=estimate, effort=effort)
            if node.done == self.all:
                bound = min(estimate, node.cost)
                found = self._solution(node, bound, effort)
                return Outcome(solution=found, bound=bound, effort=effort)
            if node.cost > best[node.done, node.setup]:
                continue
            # What is open already is not looked at again: about half of the tasks.
            effort += 1 + self.size // 2
            if effort > budget:
                return self._give_up(estimate, effort, limit)
            if grain == 1 and effort > TIE_EFFORT:
                grain = SECOND
                heap = [(each[0] - each[0] % grain, *each[1:]) for each in heap]
                heapify(heap)
            for child in self._next(node):
                key = (child.done, child.setup)
                if child.cost < best.get(key, child.cost + 1):
                    best[key] = child.cost
                    tick += 1
                    onward = child.cost + self.bound_from(child.done, child.setup)
                    onward -= onward % grain
                    if limit is None or onward < limit - limit % grain:
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

    def __init__(self, waiting: Mapping[int, set[int]]) -> None:
        self.waiting = waiting
        self.backwards = _later_first(waiting)
        self.earlier = dict.fromkeys(waiting, 0)
        for index in reversed(self.backwards):
            before = 1 << index | self.earlier[index]
            for later in waiting[index]:
                self.earlier[later] |= before

    def knots(self, labels: list[tuple[int, int]]) -> tuple[tuple[int, int, int, int], ...]:
        """Return (places of both labels, tasks of each that come before the other, price)."""
        before = []
        for own, _ in labels:
            earlier = 0
            for index in bits(own):
                earlier |= self.earlier[index]
            before.append(earlier)
        found = []
        for one, (mine, price) in enumerate(labels):
            for other in range(one):
                theirs, their_price = labels[other]
                one_first, other_first = mine & before[other], theirs & before[one]
                if one_first and other_first:
                    both = 1 << one | 1 << other
                    found.append((both, one_first, other_first, min(price, their_price)))
        return tuple(sorted(found, key=lambda knot: -knot[3]))

    def table(self, price: int, own: int) -> _Label:
        """Return how many entries into one label each remaining task forces from itself on."""
        before = 0
        for index in bits(own):
            before |= self.earlier[index]
        if own & before == 0:
            # No task of the label waits for another: one entry at most is forced.
            in_hand = ((1, before & ~own),) if before & ~own else ()
            return _Label(price=price, forced=((1, own),), forced_in_hand=in_hand)
        entries: dict[int, int] = {}
        concerned = own | before
        for index in self.backwards:
            if concerned >> index & 1:
                mine = own >> index & 1
                most = mine
                for later in self.waiting[index]:
                    if later in entries:
                        most = max(most, entries[later] + (mine and not own >> later & 1))
                entries[index] = most
        back = {index: count - (own >> index & 1) for index, count in entries.items()}
        return _Label(price=price, forced=_levels(entries), forced_in_hand=_levels(back))


def _later_first(waiting: Mapping[int, set[int]]) -> list[int]:
    """Return the tasks ordered so that each stands after all that must wait for it."""
    order: list[int] = []
    seen: set[int] = set()
    for root in waiting:
        stack = [(root, False)]
        while stack:
            index, is_last = stack.pop()
            if is_last:
                order.append(index)
            elif index not in seen:
                seen.add(index)
                stack.append((index, True))
                stack.extend((later, False) for later in waiting[index] if later not in seen)
    return order


def _levels(entries: Mapping[int, int]) -> _Levels:
    """Return (n, mask of tasks that force at least n entries), largest n first."""
    masks: dict[int, int] = {}
    for index, count in entries.items():
        masks[count] = masks.get(count, 0) | 1 << index
    levels = []
    mask = 0
    for count in range(max(masks, default=0), 0, -1):
        mask |= masks.get(count, 0)
        levels.append((count, mask))
    return tuple(levels)
