"""
The plan's mathematics as bit masks: what `order` and `solve` work on.

Facts, parts and joints are numbered; sets of them are Python integers. Costs are whole numbers
that hold three things in one, so that one comparison settles ties as the design asks: seconds
first, then parts taken off, then setups changed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

SECOND = 1 << 24
"""One second in a scaled cost."""
PART = 1 << 12
"""One part taken off in a scaled cost."""
SETUP = 1
"""One setup change in a scaled cost."""


@dataclass(frozen=True, slots=True)
class Task:
    """One operation: alternatives of needed facts, what it gives, takes, opens and costs."""

    id: str
    needs: tuple[int, ...]
    gives: int
    takes: int = 0
    joints: int = 0
    seconds: int = 0
    setup: int = 0


@dataclass(frozen=True, slots=True)
class Component:
    """
    One additive part of the setup cost: a label for each setup and a cost between labels.

    The setup cost d(s, t) is the sum over components of ``cost[label[s]][label[t]]``.
    """

    label: tuple[int, ...]
    cost: tuple[tuple[int, ...], ...]


@dataclass(frozen=True, slots=True)
class Problem:
    """
    One question as numbers.

    `goals` are alternatives each; `start` the facts true already, `start_parts` the parts off
    already, `start_joints` the joints open already, `start_setup` what is in hand.
    """

    tasks: tuple[Task, ...]
    goals: tuple[tuple[int, ...], ...]
    components: tuple[Component, ...]
    joint_seconds: tuple[int, ...] = ()
    start: int = 0
    start_parts: int = 0
    start_joints: int = 0
    start_setup: int = 0

    def change(self, before: int, after: int) -> int:
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


@dataclass(frozen=True, slots=True)
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
    facts, fired = start, 0
    waiting: Sequence[int] = bits(tasks)
    while waiting:
        blocked = []
        for index in waiting:
            task = problem.tasks[index]
            for need in task.needs:
                if need & ~facts == 0:
                    facts |= task.gives
                    fired |= 1 << index
                    break
            else:
                blocked.append(index)
        if len(blocked) == len(waiting):
            break
        waiting = blocked
    return facts, fired


def are_met(goals: tuple[tuple[int, ...], ...], facts: int) -> bool:
    """Return whether every goal has an alternative that holds."""
    return all(any(need & ~facts == 0 for need in goal) for goal in goals)
