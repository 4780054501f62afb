"""
The order things go back: a legal order of the rebuild graph with few changes of setup.

A rebuild read backwards is a strip of the same operations, so the same search orders it; the
family's rebuild-only arcs are precedences added to it. Everything that is off goes back: what
this job took off and what was off before.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from springcase.assembly.model import (
    Act,
    Check,
    OperationKind,
    RebuildArc,
    Structure,
    Weights,
    loose,
)
from springcase.assembly.order import Ordering
from springcase.assembly.pose import pose
from springcase.assembly.problem import Component, Problem
from springcase.errors import NoPlan

BEAM_WIDTH = 2
"""States kept a layer: the rebuild's order is not priced, so a good one will do (no source)."""


def order_rebuild(
    structure: Structure, weights: Weights, done: tuple[str, ...], place: str
) -> tuple[str, ...]:
    """
    Return the operations done, in the order they are put back.

    Raises
    ------
    NoPlan
        If the family's rebuild-only order makes a circle: names what waits for what.
    """
    if not done:
        return ()
    chosen = set(done)
    posed = pose(structure, weights, (), place, usable=lambda operation: operation.id in chosen)
    number = {id: index for index, id in enumerate(posed.operations)}
    missing = [id for id in done if id not in number]
    if missing:
        # Work begun on the bench may hold an operation the line does not allow: it goes back there.
        return tuple(reversed(done))
    after = _arcs(structure, find_places(structure, done), number)
    problem = _backwards(posed.problem)
    everything = (1 << len(posed.operations)) - 1
    found = Ordering(problem, everything, after).beam(BEAM_WIDTH)
    if found is None:
        raise NoPlan(
            "rebuild-circle",
            field="rebuild",
            value=structure.family,
            right=" waits for ".join(find_circle_in_rebuild(structure, done)),
        )
    return tuple(reversed(posed.names(found.order)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Places:
    """
    Where parts come back.

    `seats` names, for each part that is off, the operation whose undoing puts it on the body;
    `brings` the one whose undoing ties it to anything, a join where it came loose from a lump.
    """

    structure: Structure
    done: tuple[str, ...]
    seats: Mapping[str, str]
    brings: Mapping[str, str]
    apart: frozenset[str]

    def openers(self, joint: str) -> list[str]:
        """Return the operations done that open a joint."""
        return [id for id in self.done if joint in self.structure.operations[id].opens]

    def moment(self, item: Act | Check) -> tuple[set[str], set[str]]:
        """
        Return the operations an act or rebuild check comes after, and those it comes before.

        Fitted means back on the body; where the parts, or the joint, stay within one lump it
        means joined on the bench.
        """
        after = [part for part in item.after_fit if part in self.seats]
        before = [part for part in item.before_fit if part in self.seats]
        where = self.seats
        if self._is_on_the_bench(after, before, item.before_joint):
            where = self.brings
            after = [part for part in after if part in self.apart]
            before = [part for part in before if part in self.apart]
        return {where[part] for part in after}, {where[part] for part in before}

    def _is_on_the_bench(self, after: list[str], before: list[str], joint: str) -> bool:
        operations = self.structure.operations
        openers = self.openers(joint) or [id for id in operations if joint in operations[id].opens]
        if joint and openers:
            return all(operations[id].kind is OperationKind.SPLIT for id in openers)
        parts = [*after, *before] if before else []
        return len(parts) > 1 and len({self.seats[part] for part in parts}) == 1

    def arc(self, arc: RebuildArc) -> list[tuple[str, str]]:
        """Return the pairs of operations an order ties: what closes the first, then the other."""
        if arc.first not in self.seats or arc.then not in self.seats:
            return []
        where = self.seats
        if self.seats[arc.first] == self.seats[arc.then]:
            if not {arc.first, arc.then} <= self.apart:
                return []
            where = self.brings
        first, then = where[arc.first], where[arc.then]
        if first == then:
            return []
        operations = self.structure.operations
        closing = {first}
        for joint in operations[first].opens:
            if joint not in operations[then].opens:
                closing.update(self.openers(joint), self.awaited_by(joint))
        return [(each, then) for each in sorted(closing)]

    def awaited_by(self, joint: str) -> set[str]:
        """Return the operations undone before what a joint may not be closed without."""
        items = [item for item in rebuild_only(self.structure) if item.before_joint == joint]
        return {id for item in items for id in self.moment(item)[0]}

    def on_the_bench(self) -> list[tuple[str, str]]:
        """Return the pairs a joint of the bench ties: what it waits for, then its lump."""
        operations = self.structure.operations
        pairs = []
        for joint in dict.fromkeys(joint for id in self.done for joint in operations[id].opens):
            openers = self.openers(joint)
            if all(operations[id].kind is OperationKind.SPLIT for id in openers):
                lumps = {self.seats[part] for id in openers for part in operations[id].parts}
                pairs += [(id, lump) for id in self.awaited_by(joint) for lump in lumps]
        return sorted(pairs)


def find_places(structure: Structure, done: tuple[str, ...]) -> Places:
    """Return where each part comes back when these operations are undone."""
    seats: dict[str, str] = {}
    brings: dict[str, str] = {}
    facts: set[str] = set()
    for id in done:
        fresh = structure.operations[id].gives - facts
        facts |= fresh
        for fact in sorted(fresh):
            state, _, part = fact.partition(":")
            if state == "off":
                seats[part] = id
                brings.setdefault(part, id)
            else:
                brings[part] = id
    apart = frozenset(part for part in structure.parts if loose(part) in facts)
    return Places(structure=structure, done=done, seats=seats, brings=brings, apart=apart)


def rebuild_only(structure: Structure) -> list[Act | Check]:
    """Return the acts and checks that are made only while rebuilding."""
    checks = [check for part in structure.parts.values() for check in part.checks]
    return [*structure.acts, *(check for check in checks if check.in_rebuild)]


def _arcs(structure: Structure, places: Places, number: dict[str, int]) -> dict[int, list[int]]:
    """
    Return, backwards, what must come off before what: the later fitted before the earlier.

    What would have to come before itself is kept: it makes the circle that is named.
    """
    pairs = [pair for arc in structure.arcs for pair in places.arc(arc)]
    pairs += places.on_the_bench()
    for item in rebuild_only(structure):
        after, before = places.moment(item)
        pairs += [(first, then) for first in sorted(after) for then in sorted(before)]
    gives = {id: structure.operations[id].gives for id in number}
    # What another gives too must have come off by itself first, else it would give nothing.
    pairs += [(more, less) for more in gives for less in gives if gives[less] < gives[more]]
    waits: dict[int, list[int]] = {}
    for first, then in pairs:
        waits.setdefault(number[first], []).append(number[then])
    return waits


def _backwards(problem: Problem) -> Problem:
    """Return the problem with the setup costs turned round: a rebuild is read from its end."""
    turned = tuple(
        Component(label=each.label, cost=tuple(zip(*each.cost, strict=True)))
        for each in problem.components
    )
    return Problem(
        tasks=problem.tasks,
        goals=problem.goals,
        components=turned,
        joint_seconds=problem.joint_seconds,
        start_setup=problem.start_setup,
    )


def find_circle_in_rebuild(structure: Structure, done: tuple[str, ...]) -> list[str]:
    """
    Return one circle of operations that bars putting these back; empty where there is none.

    Read backwards: what waits to come off until another has, although that waits for it.
    """
    number = {id: place for place, id in enumerate(done)}
    arcs = _arcs(structure, find_places(structure, done), number)
    facts: frozenset[str] = frozenset()
    left = list(done)
    progress = True
    while progress:
        progress = False
        for id in list(left):
            operation = structure.operations[id]
            barred = any(done[other] in left for other in arcs.get(number[id], ()))
            if not barred and any(need <= facts for need in operation.needs):
                facts |= operation.gives
                left.remove(id)
                progress = True
    if not left:
        return []
    waits = {}
    for id in left:
        needed = {fact for need in structure.operations[id].needs for fact in need} - facts
        blockers = [done[other] for other in arcs.get(number[id], ()) if done[other] in left]
        blockers += [
            other for other in left if other != id and structure.operations[other].gives & needed
        ]
        waits[id] = blockers
    path = [left[0]]
    while waits[path[-1]] and waits[path[-1]][0] not in path:
        path.append(waits[path[-1]][0])
    if not waits[path[-1]]:
        return path
    back = waits[path[-1]][0]
    return [*path[path.index(back) :], back]
