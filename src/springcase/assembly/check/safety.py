"""Holds, marks, as-found readings, open ends, rags, and the proof and closing lines."""

from __future__ import annotations

from collections.abc import Iterator

from springcase.assembly.check.forms import Wanted
from springcase.assembly.check.rules import Fault, fault
from springcase.assembly.check.truth import OPENING, Truth, do_id, undo_id
from springcase.assembly.model import Energy, Phase, StepKind

_REDUCING = "reducing"
_CLOSE = ("left-over", "rags", "locks", "seal", "signed")


def _guarded(truth: Truth, energy: Energy) -> tuple[str, ...]:
    """Return the strip's operations that disturb a store of energy, in order."""
    operations = truth.structure.operations
    return tuple(n for n in truth.strip if energy.id in operations[n].energies)


def _due_energies(truth: Truth) -> Iterator[Energy]:
    for energy in truth.structure.energies.values():
        if energy.kind == "chamber" or _guarded(truth, energy):
            yield energy


def wanted_safety(truth: Truth) -> Iterator[Wanted]:
    """Yield holds, marks, readings, protection and rags."""
    due = list(_due_energies(truth))
    for energy in due:
        yield Wanted(
            id=f"hold:{energy.id}",
            kind=StepKind.HOLD,
            phase=Phase.MAKE_SAFE if energy.kind == "chamber" else Phase.STRIP,
            missing="hold-missing",
            facts={"energy": energy.id},
        )
    if any(energy.hold == "screw-out" for energy in due):
        for reading in ("screw-height", "screw-turns"):
            yield _read(reading, Phase.READY, "screw-read-missing")
    for reading in _as_found(truth):
        yield _read(reading, Phase.AS_FOUND, "as-found-missing")
    yield from _wanted_marks(truth)
    if _pressure_opener(truth) is not None:
        yield Wanted(
            id="protect:open-ends",
            kind=StepKind.PROTECT,
            phase=Phase.STRIP,
            missing="protect-missing",
            reading=True,
        )
    yield Wanted(
        id="rags:out",
        kind=StepKind.RAGS,
        phase=Phase.REBUILD,
        missing="rags-missing",
        reading=True,
    )


def _wanted_marks(truth: Truth) -> Iterator[Wanted]:
    operations = truth.structure.operations
    taken = {part for name in truth.strip for part in operations[name].takes}
    for mark in truth.structure.marks:
        if mark.part not in truth.gone:
            continue
        yield Wanted(
            id=f"mark:{mark.id}",
            kind=StepKind.MARK,
            phase=Phase.READY,
            # What was off already can no longer be asked about; a re-plan keeps its old line.
            missing="mark-missing" if mark.part in taken else "",
            facts={"mark": mark.id},
            reading=True,
        )
        yield Wanted(
            id=f"restore:{mark.id}",
            kind=StepKind.RESTORE,
            phase=Phase.REBUILD,
            missing="restore-missing",
            facts={"mark": mark.id},
        )


def _as_found(truth: Truth) -> tuple[str, ...]:
    reducing = truth.structure.action == _REDUCING
    own = ("set", "lock-up") if reducing else ("crack", "reseat")
    return tuple(f"as-found-{name}" for name in ("inlet", *own, "time"))


def _read(name: str, phase: Phase, missing: str) -> Wanted:
    return Wanted(id=f"read:{name}", kind=StepKind.READ, phase=phase, missing=missing, reading=True)


def wanted_end(truth: Truth) -> Iterator[Wanted]:
    """Yield the lines that prove and close the job."""
    reducing = truth.structure.action == _REDUCING
    proofs = ("set-point", "lock-up", "droop") if reducing else ("crack", "build-up", "reseat")
    for name in (*proofs, "vent"):
        yield Wanted(
            id=f"prove:{name}",
            kind=StepKind.PROVE,
            phase=Phase.PROVE,
            missing="prove-missing",
            reading=True,
        )
    for name in _CLOSE:
        yield Wanted(
            id=f"close:{name}",
            kind=StepKind.CLOSE,
            phase=Phase.CLOSE,
            missing="close-missing",
            reading=True,
        )


def check_holds(truth: Truth) -> Iterator[Fault]:
    """Refuse a hold that comes too late, out of order, or away from what it guards."""
    structure, steps = truth.structure, truth.plan.steps
    begin = truth.first_operation()
    chambers = []
    for energy in _due_energies(truth):
        position = truth.at(f"hold:{energy.id}")
        if position is None:
            continue
        guarded = _guarded(truth, energy)
        limit = begin
        if energy.kind != "chamber":
            found = truth.at(do_id(structure.operations[guarded[0]]))
            limit = begin if found is None else found
            between = steps[position + 1 : limit]
            if any(step.kind is not StepKind.HOLD for step in between):
                yield fault("hold-not-direct", steps[position].id, operation=guarded[0])
        else:
            chambers.append(position)
        if position > limit:
            yield fault("hold-late", steps[position].id, energy=energy.id)
    if chambers != sorted(chambers):
        yield fault("hold-order")


def check_ready(truth: Truth) -> Iterator[Fault]:
    """Refuse marks and readings asked after the strip began, or a mark restored elsewhere."""
    steps = truth.plan.steps
    begin = truth.first_operation()
    as_found = {f"read:{name}" for name in _as_found(truth)}
    for step in steps[begin:]:
        if step.id in as_found:
            yield fault("as-found-late", step.id)
        elif step.kind in (StepKind.MARK, StepKind.READ):
            yield fault("ready-late", step.id)
    for mark in truth.structure.marks:
        position = truth.at(f"restore:{mark.id}")
        if position is None or mark.part not in truth.seats:
            continue
        fit = undo_id(truth.structure.operations[truth.seats[mark.part]])
        before = next(s for s in _backwards(truth, position) if s != StepKind.RESTORE)
        if before != fit:
            yield fault("restore-late", steps[position].id, after=fit)


def _backwards(truth: Truth, position: int) -> Iterator[str]:
    """Yield the ids before a position, nearest first, a restore by its kind alone."""
    for step in reversed(truth.plan.steps[:position]):
        yield step.kind if step.kind is StepKind.RESTORE else step.id
    yield ""


def _opens_pressure(truth: Truth, name: str) -> bool:
    joints = truth.structure.joints
    opens = truth.structure.operations[name].opens
    return any(joint in joints and joints[joint].holds_pressure for joint in opens)


def _pressure_opener(truth: Truth) -> str | None:
    """Return the first operation done that opens a joint holding pressure."""
    return next((name for name in truth.done if _opens_pressure(truth, name)), None)


def check_open_ends(truth: Truth) -> Iterator[Fault]:
    """Refuse open ends protected too late, and rags counted out before the rebuild is over."""
    steps = truth.plan.steps
    position = truth.at("protect:open-ends")
    opener = _pressure_opener(truth)
    if position is not None and opener is not None:
        before = [s.operation for s in steps[:position] if s.kind in OPENING]
        at_once = before[-1:] == [opener] if opener in truth.strip else not before
        if not at_once:
            yield fault("protect-late", steps[position].id, after=opener)
    counted = truth.at("rags:out")
    rebuild = [i for i, step in enumerate(steps) if step.phase is Phase.REBUILD]
    if counted is not None and rebuild and rebuild[-1] > counted:
        yield fault("rags-early", steps[counted].id)
