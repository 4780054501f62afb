"""
Random builds as expansion would have made them.

`random_structure` leaves out what expansion fills in: the side of an operation that names none,
the bench of a split, a check's whole name, and when a part can be seen.
"""

from __future__ import annotations

import random
from dataclasses import replace

from properties.structures import random_structure
from springcase.assembly.model import (
    Alternatives,
    Operation,
    OperationKind,
    Part,
    Setup,
    Structure,
    loose,
    off,
)


def as_expanded(structure: Structure) -> Structure:
    """Return a build with everything filled in that expansion fills in."""
    operations = {id: _filled(structure, each) for id, each in structure.operations.items()}
    parts = {id: _named(part, operations) for id, part in structure.parts.items()}
    return replace(structure, operations=operations, parts=parts)


def random_build(rng: random.Random, smallest: int = 3, largest: int = 10) -> Structure:
    """Return a random sound build as expansion would have made it."""
    drawn = random_structure(
        rng,
        parts=rng.randint(smallest, largest),
        alternatives=rng.choice((0.0, 0.4, 0.9)),
        lumps=rng.randint(0, 2),
        joints=rng.choice((0.0, 0.4, 0.8)),
        rules=rng.randint(0, 5),
    )
    return as_expanded(drawn)


def without(structure: Structure, part: str) -> Structure:
    """Return a build that lacks a part: it counts as off and loose, and nothing takes it."""
    gone = {off(part), loose(part)}
    operations = {}
    for id, each in structure.operations.items():
        if each.gives <= gone:
            continue
        gives = each.gives - gone
        left = tuple(name for name in each.parts if name != part)
        if each.kind is OperationKind.LUMP and len(left) == 1:
            gives |= {loose(left[0])}
        operations[id] = replace(
            each,
            parts=left,
            takes=each.takes - {part},
            gives=gives,
            needs=tuple(dict.fromkeys(need - gone for need in each.needs)),
            withdraws=tuple(name for name in each.withdraws if name != part),
            exposes=tuple(name for name in each.exposes if name != part),
        )
    return replace(
        structure,
        parts={id: _unseen(each, gone, part) for id, each in structure.parts.items() if id != part},
        joints={
            id: replace(
                each,
                seals=tuple(name for name in each.seals if name != part),
                fastener="" if each.fastener == part else each.fastener,
            )
            for id, each in structure.joints.items()
        },
        operations=operations,
        marks=tuple(mark for mark in structure.marks if mark.part != part),
        acts=tuple(act for act in structure.acts if part not in (*act.after_fit, *act.before_fit)),
        arcs=tuple(arc for arc in structure.arcs if part not in (arc.first, arc.then)),
    )


def _unseen(each: Part, gone: set[str], part: str) -> Part:
    """Return a part whose view and rebuild checks do without an absent one."""
    return replace(
        each,
        view=tuple(need - gone for need in each.view),
        checks=tuple(c for c in each.checks if part not in (*c.after_fit, *c.before_fit)),
    )


def _filled(structure: Structure, operation: Operation) -> Operation:
    at = operation.setup
    bench = operation.kind is OperationKind.SPLIT
    setup = Setup(
        tool=at.tool, side=at.side or structure.side_up, place="bench" if bench else at.place
    )
    return replace(operation, setup=setup, in_line=operation.in_line or bench)


def _named(part: Part, operations: dict[str, Operation]) -> Part:
    checks = tuple(replace(check, id=f"{part.id}/{check.id}") for check in part.checks)
    return replace(part, checks=checks, view=part.view or _view(part, operations))


def _view(part: Part, operations: dict[str, Operation]) -> Alternatives:
    if part.fixed:
        return (frozenset(),)
    own = [each for each in operations.values() if each.parts[0] == part.id]
    sets = {need for each in own if each.kind is not OperationKind.LUMP for need in each.needs}
    return tuple(
        sorted((sets or {frozenset({off(part.id)})}) | {frozenset({loose(part.id)})}, key=sorted)
    )
