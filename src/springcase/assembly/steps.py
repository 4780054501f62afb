"""
The steps of a plan before and during the strip, and after the rebuild.

The rebuild itself is in `rebuild_steps`. Which steps a plan holds, with their ids, is written
down once in `docs/walk/plan.md`.
"""

from __future__ import annotations

from collections.abc import Iterator

from springcase.assembly.disturbed import Disturbance, exchanged_parts
from springcase.assembly.model import (
    Check,
    GoalKind,
    OperationKind,
    Part,
    PartKind,
    Phase,
    Question,
    Step,
    StepKind,
    Structure,
)
from springcase.assembly.pose import setup_of


def opening_steps(
    structure: Structure, question: Question, order: tuple[str, ...], parts_off: tuple[str, ...]
) -> Iterator[Step]:
    """Yield marks, readings as found and the holds of every chamber: before the strip."""
    for mark in structure.marks:
        if mark.part in parts_off:
            yield Step(
                id=f"mark:{mark.id}",
                kind=StepKind.MARK,
                phase=Phase.READY,
                mark=mark.id,
                parts=(mark.part,),
                reading=mark.kind,
            )
    if any(structure.energies[e].hold == "screw-out" for e in _energies(structure, order)):
        yield _read("screw-height", Phase.READY, "mm")
        yield _read("screw-turns", Phase.READY, "turns")
    yield _read("as-found-inlet", Phase.AS_FOUND, "pressure")
    if structure.action == "reducing":
        yield _read("as-found-set", Phase.AS_FOUND, "pressure")
        yield _read("as-found-lock-up", Phase.AS_FOUND, "pressure")
    else:
        yield _read("as-found-crack", Phase.AS_FOUND, "pressure")
        yield _read("as-found-reseat", Phase.AS_FOUND, "pressure")
    yield _read("as-found-time", Phase.AS_FOUND, "time")
    for energy in structure.energies.values():
        if energy.kind == "chamber":
            yield _hold(energy.id, Phase.MAKE_SAFE)


def strip_steps(
    structure: Structure, question: Question, already: tuple[str, ...], order: tuple[str, ...]
) -> Iterator[Step]:
    """Yield the operations in order, each spring let down on the line before it is disturbed."""
    held: set[str] = set()
    protected = any(_opens_pressure(structure, id) for id in already)
    if protected:
        yield _protect()
    for id in order:
        operation = structure.operations[id]
        for energy in operation.energies:
            if structure.energies[energy].kind != "chamber" and energy not in held:
                held.add(energy)
                yield _hold(energy, Phase.STRIP)
        setup = setup_of(operation, question.place)
        kind = StepKind.SPLIT if operation.kind is OperationKind.SPLIT else StepKind.STRIP
        yield Step(
            id=f"{kind}:{id}",
            kind=kind,
            phase=Phase.STRIP,
            operation=id,
            parts=operation.parts,
            tool=setup.tool,
            side=setup.side,
            place=setup.place,
            count=structure.parts[operation.parts[0]].count if len(operation.parts) == 1 else 1,
            seconds=operation.seconds_off,
        )
        if not protected and _opens_pressure(structure, id):
            protected = True
            yield _protect()


def inspect_steps(
    structure: Structure, question: Question, disturbance: Disturbance
) -> Iterator[Step]:
    """
    Yield every check the end state gives access to, the looks, and the wipes.

    Of a part that is not disturbed only what is asked is made: all of it, or the checks named.
    """
    goals = {goal.part for goal in question.goals if goal.kind is GoalKind.INSPECT}
    asked = {goal.split("/")[0] for goal in goals}
    whole = {*disturbance.parts, *goals}
    spared = set(exchanged_parts(structure, question)) - {*disturbance.seals, *asked}
    for id in dict.fromkeys((*disturbance.parts, *sorted(asked))):
        if id in spared:
            continue
        part = structure.parts[id]
        checks = [
            check
            for check in part.checks
            if (id in whole or check.id in goals)
            and not check.in_rebuild
            and is_open(part, check, disturbance.facts)
        ]
        for check in checks:
            yield Step(
                id=f"inspect:{check.id}",
                kind=StepKind.INSPECT,
                phase=Phase.INSPECT,
                parts=(id,),
                check=check.id,
                tool=check.tool,
                reading=check.reading,
                count=part.count,
                seconds=check.seconds,
            )
        if not checks and id in whole and (id in goals or part.kind is PartKind.SOFT):
            yield Step(id=f"inspect:{id}", kind=StepKind.INSPECT, phase=Phase.INSPECT, parts=(id,))
    for part in structure.parts.values():
        if part.look:
            yield Step(
                id=f"look:{part.id}", kind=StepKind.LOOK, phase=Phase.INSPECT, parts=(part.id,)
            )
    for id in disturbance.exposed:
        yield Step(
            id=f"wipe:{id}",
            kind=StepKind.WIPE,
            phase=Phase.INSPECT,
            parts=(id,),
            lubricant=structure.parts[id].lubricant,
        )


def is_open(part: Part, check: Check, facts: frozenset[str]) -> bool:
    """Return whether a check's own access, or else the part's view, is given."""
    return any(need <= facts for need in check.needs or part.view)


def closing_steps(structure: Structure, joints: tuple[str, ...]) -> Iterator[Step]:
    """Yield the leak list, the proof and the close of the job."""
    yield Step(id="leak:low", kind=StepKind.LEAK, phase=Phase.LOAD, reading="pressure")
    for number, joint in enumerate(joints, start=1):
        yield Step(
            id=f"leak:{joint}", kind=StepKind.LEAK, phase=Phase.LOAD, joint=joint, number=number
        )
    proofs = (
        ("set-point", "lock-up", "droop")
        if structure.action == "reducing"
        else ("crack", "build-up", "reseat")
    )
    for proof in (*proofs, "vent"):
        reading = "" if proof == "vent" else "pressure"
        yield Step(
            id=f"prove:{proof}", kind=StepKind.PROVE, phase=Phase.PROVE, reading=reading or "seen"
        )
    closes = (
        ("left-over", "count"),
        ("rags", "count"),
        ("locks", "count"),
        ("seal", "number"),
        ("signed", "name"),
    )
    for name, reading in closes:
        yield Step(id=f"close:{name}", kind=StepKind.CLOSE, phase=Phase.CLOSE, reading=reading)


def _opens_pressure(structure: Structure, id: str) -> bool:
    opens = structure.operations[id].opens
    return any(structure.joints[joint].holds_pressure for joint in opens)


def _protect() -> Step:
    return Step(id="protect:open-ends", kind=StepKind.PROTECT, phase=Phase.STRIP, reading="rags in")


def _energies(structure: Structure, order: tuple[str, ...]) -> list[str]:
    return [energy for id in order for energy in structure.operations[id].energies]


def _read(name: str, phase: Phase, reading: str) -> Step:
    return Step(id=f"read:{name}", kind=StepKind.READ, phase=phase, reading=reading)


def _hold(energy: str, phase: Phase) -> Step:
    return Step(id=f"hold:{energy}", kind=StepKind.HOLD, phase=phase, energy=energy)
