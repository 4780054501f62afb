"""Made-up sequencing problems of any size: near-chain, branched, and wide random graphs."""

from __future__ import annotations

import random
from dataclasses import dataclass

from springcase.assembly.problem import Component, Problem, Task

TOOLS = 6
SIDES = 2
TOOL_CHANGE = 20
TURN_OVER = 45


@dataclass(frozen=True, slots=True, kw_only=True)
class Shape:
    """How the access graph of a made-up unit looks."""

    name: str
    alternatives: bool


NEAR_CHAIN = Shape(name="near-chain", alternatives=False)
BRANCHED = Shape(name="alternatives, lumps", alternatives=True)
WIDE = Shape(name="wide, 6 %", alternatives=False)


def make_problem(parts: int, shape: Shape, seed: int) -> Problem:
    """
    Return a problem in which every one of so many parts must come loose.

    Near-chain: each part waits for one or two of the seven before it. Branched: the same, with
    a second way of access for every fifth part and a lump of three for every twelfth. Wide: each
    earlier part bars a later one with a chance of 6 %.
    """
    dice = random.Random(seed)
    setups = TOOLS * SIDES
    tasks = []
    for part in range(parts):
        if shape is WIDE:
            before = [other for other in range(part) if dice.random() < 0.06]
        else:
            recent = range(max(0, part - 7), part)
            before = dice.sample(recent, min(len(recent), dice.randint(1, 2)))
        needs = [mask(before)]
        if shape.alternatives and part % 5 == 4:
            needs.append(mask(dice.sample(range(part), min(part, 3))))
        tasks.append(
            Task(
                id=f"part-{part}",
                needs=tuple(sorted(set(needs))),
                gives=both(part, parts),
                takes=1 << part,
                joints=1 << part if part % 3 == 0 else 0,
                seconds=dice.randint(1, 10) * 30,
                setup=dice.randrange(setups),
            )
        )
    if shape.alternatives:
        for first in range(6, parts - 3, 12):
            tasks.extend(make_lump(first, parts, dice))
    return Problem(
        tasks=tuple(tasks),
        goals=tuple((1 << (parts + part),) for part in range(parts)),
        components=components(setups),
        joint_seconds=tuple(120 for _ in range(parts)),
    )


def make_lump(first: int, parts: int, dice: random.Random) -> list[Task]:
    """Return three neighbours as a lump, and the splits that make each loose on the bench."""
    members = range(first, first + 3)
    lump = Task(
        id=f"lump-{first}",
        needs=(mask([max(0, first - 1), max(0, first - 3)]),),
        gives=mask(members),
        takes=mask(members),
        seconds=dice.randint(2, 6) * 30,
        setup=dice.randrange(TOOLS * SIDES),
    )
    splits = [
        Task(
            id=f"split-{part}",
            needs=(mask(members),),
            gives=1 << (parts + part),
            seconds=dice.randint(1, 3) * 30,
            setup=dice.randrange(TOOLS * SIDES),
        )
        for part in members
    ]
    return [lump, *splits]


def components(setups: int) -> tuple[Component, ...]:
    """Return the setup cost: a tool change, and a turn of the unit."""
    return (
        Component(
            label=tuple(setup % TOOLS for setup in range(setups)),
            cost=tuple(
                tuple(0 if a == b else TOOL_CHANGE for b in range(TOOLS)) for a in range(TOOLS)
            ),
        ),
        Component(
            label=tuple(setup // TOOLS for setup in range(setups)),
            cost=tuple(
                tuple(0 if a == b else TURN_OVER for b in range(SIDES)) for a in range(SIDES)
            ),
        ),
    )


def mask(numbers: range | list[int]) -> int:
    """Return a set of numbers as bits."""
    return sum(1 << number for number in numbers)


def both(part: int, parts: int) -> int:
    """Return the two facts of a part: off, and loose."""
    return 1 << part | 1 << (parts + part)
