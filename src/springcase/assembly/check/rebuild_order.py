"""Orders only the rebuild has: arcs, acts and checks between the fits, and closing chambers."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from springcase.assembly.check.asked import check_name, exchanged
from springcase.assembly.check.forms import Wanted
from springcase.assembly.check.rules import Fault, fault
from springcase.assembly.check.truth import Truth, closing_ids, undo_id
from springcase.assembly.model import (
    Act,
    Check,
    OperationKind,
    Phase,
    RebuildArc,
    StepKind,
)

_LOOKING = frozenset({StepKind.INSPECT, StepKind.LOOK, StepKind.WIPE})


@dataclass(frozen=True, slots=True, kw_only=True)
class _Moment:
    """An act or rebuild check that is due: what it follows, and what it comes before."""

    step: str
    code: str
    after: tuple[str, ...]
    before: tuple[str, ...]
    joint: str
    chamber: str = ""


def _on_the_bench(truth: Truth, parts: tuple[str, ...], joint: str) -> bool:
    """Return whether parts and joint stay within one lump, so that fitted means joined."""
    operations = truth.structure.operations
    openers = truth.openers(joint) or tuple(o.id for o in operations.values() if joint in o.opens)
    if joint and openers:
        return all(operations[name].kind is OperationKind.SPLIT for name in openers)
    return len(parts) > 1 and len({truth.seats[part] for part in parts}) == 1


def _moment(truth: Truth, item: Act | Check) -> _Moment | None:
    """Return when an act or check is due, or None where none of its parts is put back."""
    after = tuple(part for part in item.after_fit if part in truth.gone)
    before = tuple(part for part in item.before_fit if part in truth.gone)
    bench = _on_the_bench(truth, (*after, *before) if before else (), item.before_joint)
    back = truth.brings if bench else truth.seats
    if bench:
        after = tuple(part for part in after if part in truth.apart)
        before = tuple(part for part in before if part in truth.apart)
    # A new unit comes set: what is done inside it in a rebuild is not done.
    if not after or exchanged(truth).issuperset(item.after_fit):
        return None
    is_act = isinstance(item, Act)
    return _Moment(
        step=f"act:{item.id}" if isinstance(item, Act) else f"check:{check_name(item)}",
        code="act" if is_act else "check",
        after=tuple(back[part] for part in after),
        before=tuple(back[part] for part in before),
        joint=item.before_joint if item.before_joint in truth.opened else "",
        chamber="" if isinstance(item, Act) else truth.structure.parts[item.part].chamber,
    )


def _moments(truth: Truth) -> Iterator[tuple[Act | Check, _Moment]]:
    structure = truth.structure
    checks = (c for p in structure.parts.values() for c in p.checks if c.in_rebuild)
    items: tuple[Act | Check, ...] = (*structure.acts, *checks)
    for item in items:
        moment = _moment(truth, item)
        if moment:
            yield item, moment


def wanted_moments(truth: Truth) -> Iterator[Wanted]:
    """Yield the acts and rebuild checks that are due."""
    for item, moment in _moments(truth):
        if isinstance(item, Act):
            kind, holds = StepKind.ACT, {"act": item.id, "seconds": item.seconds}
        else:
            kind = StepKind.CHECK
            holds = {"parts": (item.part,), "seconds": item.seconds, "reading": item.reading}
        yield Wanted(
            id=moment.step,
            kind=kind,
            phase=Phase.REBUILD,
            missing=f"{moment.code}-missing",
            facts=holds,
        )


def closings(truth: Truth, joint: str) -> tuple[int, ...]:
    """Return where the steps that close a joint stand, those there are."""
    found = (truth.at(step) for step in closing_ids(truth.structure.joints[joint]))
    return tuple(position for position in found if position is not None)


def check_moments(truth: Truth) -> Iterator[Fault]:
    """Refuse an act or rebuild check at the wrong time."""
    for _, moment in _moments(truth):
        position = truth.at(moment.step)
        if position is None:
            continue
        if any(fit > position for fit in truth.refits(moment.after)):
            yield fault(f"{moment.code}-early", moment.step, after=moment.after)
        later = list(truth.refits(moment.before))
        later += closings(truth, moment.joint) if moment.joint else ()
        if any(point < position for point in later):
            yield fault(
                f"{moment.code}-late", moment.step, before=moment.before, joint=moment.joint
            )


def check_closed(truth: Truth) -> Iterator[Fault]:
    """Refuse a chamber closed before what is in it was looked at."""
    structure = truth.structure
    moments = tuple(_moments(truth))
    for name in truth.opened:
        closed = closings(truth, name)
        last_fit = max(truth.refits(truth.openers(name)), default=None)
        if not closed or last_fit is None:
            continue
        chambers = structure.joints[name].chambers
        for step in truth.plan.steps[min(closed) :]:
            part = structure.parts.get(step.parts[0]) if step.parts else None
            if step.kind in _LOOKING and part and part.chamber in chambers:
                yield fault("closed-unchecked", step.id, joint=name, chamber=part.chamber)
        for _, moment in moments:
            position = truth.at(moment.step)
            # A check that waits for what closes the chamber can only be made afterwards.
            waits = max(truth.refits(moment.after), default=last_fit) >= last_fit
            if (
                moment.chamber in chambers
                and not waits
                and position is not None
                and position > min(closed)
            ):
                yield fault("closed-unchecked", moment.step, joint=name, chamber=moment.chamber)


def check_arcs(truth: Truth) -> Iterator[Fault]:
    """Refuse a rebuild that breaks an order of its own, or leaves its joint open."""
    for arc in truth.structure.arcs:
        if arc.first in truth.gone and arc.then in truth.gone:
            yield from _check_arc(truth, arc)


def _check_arc(truth: Truth, arc: RebuildArc) -> Iterator[Fault]:
    operations = truth.structure.operations
    bench = truth.seats[arc.first] == truth.seats[arc.then]
    if bench and not {arc.first, arc.then} <= truth.apart:
        return
    back = truth.brings if bench else truth.seats
    first, then = operations[back[arc.first]], operations[back[arc.then]]
    if first is then:
        return
    fitted, limit = truth.at(undo_id(first)), truth.at(undo_id(then))
    if fitted is None or limit is None:
        return
    if fitted > limit:
        yield fault("rebuild-arc", undo_id(then), first=arc.first, then=arc.then)
    for joint in first.opens:
        if joint in truth.opened and joint not in then.opens:
            closed = closings(truth, joint)
            if closed and max(closed) > limit:
                yield fault("rebuild-arc-open", undo_id(then), joint=joint, then=arc.then)
