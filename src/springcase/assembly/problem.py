"""
The plan's mathematics as bit masks: what `order` and `solve` work on.

Facts, parts and joints are numbered; sets of them are Python integers. Costs are whole numbers
that hold three things in one, so that one comparison settles ties as the design asks: seconds
first, then parts taken off, then setups changed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import lru_cache, reduce
from operator import and_, or_

SECOND = 1 << 24
"""One second in a scaled cost."""
PART = 1 << 12
"""One part taken off in a scaled cost."""
SETUP = 1
"""One setup change in a scaled cost."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One operation: alternatives of needed facts, what it gives, takes, opens and costs."""

    id: str
    needs: tuple[int, ...]
    gives: int
    takes: int = 0
    joints: int = 0
    seconds: int = 0
    setup: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """
    One additive part of the setup cost: a label for each setup and a cost between labels.

    The setup cost d(s, t) is the sum over components of ``cost[label[s]][label[t]]``.
    """

    label: tuple[int, ...]
    cost: tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Problem:
    """
    One question as numbers.

    `goals` are alternatives each; `start` the facts true already, `start_parts` the parts off
    already, `start_joints` the joints open already, `start_setup` what is in hand. Made
    from them: `changes`, the scaled costs between setups; `watchers`, the tasks whose access
    names a fact; `givers`, the tasks that give one; `always`, the facts a task cannot do
    without; `in_setup`, the tasks of a setup.
    """

    tasks: tuple[Task, ...]
    goals: tuple[tuple[int, ...], ...]
    components: tuple[Component, ...]
    joint_seconds: tuple[int, ...] = ()
    start: int = 0
    start_parts: int = 0
    start_joints: int = 0
    start_setup: int = 0
    changes: tuple[tuple[int, ...], ...] = field(init=False, compare=False, repr=False)
    watchers: Mapping[int, int] = field(init=False, compare=False, repr=False)
    givers: Mapping[int, int] = field(init=False, compare=False, repr=False)
    always: tuple[int, ...] = field(init=False, compare=False, repr=False)
    in_setup: Mapping[int, int] = field(init=False, compare=False, repr=False)

    def __post_init__(self) -> None:
        setups = range(len(self.components[0].label))
        changes = tuple(tuple(self._change(one, other) for other in setups) for one in setups)
        watchers: dict[int, int] = {}
        givers: dict[int, int] = {}
        in_setup: dict[int, int] = {}
        for index, task in enumerate(self.tasks):
            here = 1 << index
            in_setup[task.setup] = in_setup.get(task.setup, 0) | here
            for fact in bits(reduce(or_, task.needs, 0)):
                watchers[fact] = watchers.get(fact, 0) | here
            for fact in bits(task.gives & ~self.start):
                givers[fact] = givers.get(fact, 0) | here
        always = tuple(
            reduce(and_, task.needs, ~self.start) if task.needs else 0 for task in self.tasks
        )
        for name, value in (
            ("changes", changes),
            ("watchers", watchers),
            ("givers", givers),
            ("always", always),
            ("in_setup", in_setup),
        ):
            object.__setattr__(self, name, value)

    def _change(self, before: int, after: int) -> int:
        """Return the scaled cost of changing from one setup to another."""
        if before == after:
            return 0
        seconds = sum(c.cost[c.label[before]][c.label[after]] for c in self.components)
        return seconds * SECOND + SETUP

    def work(self, tasks: int) -> int:
        """Return the scaled cost of a set of tasks (a mask over `tasks`) without setups."""
        seconds = parts = joints = 0
        for index in bits(tasks):
            task = self.tasks[index]
            seconds += task.seconds
            parts += task.takes.bit_count()
            joints |= task.joints
        for joint in bits(joints & ~self.start_joints):
            seconds += self.joint_seconds[joint]
        return seconds * SECOND + parts * PART


@dataclass(frozen=True, slots=True, kw_only=True)
class Solution:
    """An order of tasks with its scaled cost and the scaled lower bound that was proved."""

    order: tuple[int, ...]
    cost: int
    bound: int
    effort: int

    @property
    def optimal(self) -> bool:
        """Whether the bound proves that no plan costs less."""
        return self.bound >= self.cost


@lru_cache(maxsize=1 << 15)
def bits(mask: int) -> tuple[int, ...]:
    """Return the positions of the bits set in a mask, lowest first."""
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return tuple(found)


def has_triangle(components: tuple[Component, ...]) -> bool:
    """Return whether the setup costs obey the triangle inequality, component by component."""
    for component in components:
        size = range(len(component.cost))
        for first in size:
            row = component.cost[first]
            for middle in size:
                step = row[middle]
                onward = component.cost[middle]
                if any(row[last] > step + onward[last] for last in size):
                    return False
    return True


def close_over(problem: Problem, tasks: int, start: int) -> tuple[int, int]:
    """Return the facts that forward chaining over some tasks reaches, and the tasks it fired."""
    table, watchers = problem.tasks, problem.watchers
    facts, fired, ready = start, 0, 0
    for index in bits(tasks):
        for need in table[index].needs:
            if not need & ~facts:
                ready |= 1 << index
                break
    while ready:
        low = ready & -ready
        ready ^= low
        fired |= low
        fresh = table[low.bit_length() - 1].gives & ~facts
        facts |= fresh
        woken = 0
        for fact in bits(fresh):
            woken |= watchers.get(fact, 0)
        for index in bits(woken & tasks & ~fired & ~ready):
            for need in table[index].needs:
                if not need & ~facts:
                    ready |= 1 << index
                    break
    return facts, fired


def are_met(goals: tuple[tuple[int, ...], ...], facts: int) -> bool:
    """Return whether every goal has an alternative that holds."""
    return all(any(need & ~facts == 0 for need in goal) for goal in goals)
