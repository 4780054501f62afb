"""Every disturbed part is inspected or renewed, wiped, lubricated, as its rule and goal say."""

from __future__ import annotations

from collections.abc import Iterator

from springcase.assembly.check.asked import (
    check_access,
    check_name,
    demanded_renewals,
    exchanged,
    inspect_goals,
)
from springcase.assembly.check.forms import Wanted
from springcase.assembly.check.rules import Fault, fault
from springcase.assembly.check.truth import FITTING, Truth, met, undo_id
from springcase.assembly.model import Check, Part, PartKind, Phase, StepKind


def renewed_by_steps(truth: Truth) -> frozenset[str]:
    """Return the parts the steps renew, in place or while fitting."""
    return frozenset(part for step in truth.plan.steps for part in step.new)


def _in_place(truth: Truth, part: str) -> tuple[str, ...]:
    """Return the operations done that lay a part bare without taking it: its openers."""
    operations = truth.structure.operations
    seals = {j for j in truth.opened if part in truth.structure.joints[j].seals}
    return tuple(
        name
        for name in truth.done
        if seals.intersection(operations[name].opens) or part in operations[name].withdraws
    )


def wanted_renewals(truth: Truth) -> Iterator[Wanted]:
    """Yield the parts renewed in place: renewals of what is not by itself."""
    for part in sorted(demanded_renewals(truth) - truth.apart - exchanged(truth)):
        if _in_place(truth, part):
            yield Wanted(
                id=f"renew:{part}",
                kind=StepKind.RENEW,
                phase=Phase.REBUILD,
                missing="renew-missing",
                facts={"parts": (part,), "new": (part,)},
                wrong="new-wrong",
            )


def check_renewals(truth: Truth) -> Iterator[Fault]:
    """Refuse renewals missing, unasked, or made too late."""
    plan = truth.plan
    demanded = demanded_renewals(truth)
    renewed = renewed_by_steps(truth)
    allowed = demanded | frozenset(plan.question.found)
    for part in sorted(demanded - renewed):
        yield fault("renew-missing", part=part)
    for part in sorted(renewed - allowed):
        yield fault("renew-unasked", part=part)
    if sorted(plan.renewed) != sorted(renewed):
        yield fault("renewed-list", value=plan.renewed, right=sorted(renewed))
    for step in plan.steps:
        if step.kind in FITTING:
            wrong = [part for part in step.new if truth.brings.get(part) != step.operation]
            if wrong:
                yield fault("new-wrong", step.id, parts=tuple(wrong))
        if step.kind is not StepKind.RENEW or not step.parts:
            continue
        part, position = step.parts[0], truth.positions[step.id]
        if any(fit < position for fit in truth.refits(_in_place(truth, part))):
            yield fault("renew-late", step.id, part=part)
        cleaned = _cleaned(truth, part)
        if cleaned and min(cleaned) > position:
            yield fault("renew-uncleaned", step.id, part=part)


def _cleaned(truth: Truth, seal: str) -> list[int]:
    joints = truth.structure.joints
    found = (truth.at(f"clean:{j}") for j in truth.opened if seal in joints[j].seals)
    return [position for position in found if position is not None]


def _due_checks(truth: Truth, part: Part) -> list[Check]:
    """Return the strip checks of a part that the end of the strip gives access to."""
    return [
        check
        for check in part.checks
        if not check.in_rebuild
        and met(truth.structure, check_access(truth.structure, check), truth.end)
    ]


def wanted_inspections(truth: Truth) -> Iterator[Wanted]:
    """Yield what is inspected, looked at and wiped."""
    structure = truth.structure
    goals, spared = inspect_goals(truth), exchanged(truth)
    for part in structure.parts.values():
        whole_goal = part.id in goals
        due = _due_checks(truth, part)
        for check in due:
            asked = whole_goal or check_name(check) in goals
            if asked or part.id in truth.disturbed:
                yield Wanted(
                    id=f"inspect:{check_name(check)}",
                    kind=StepKind.INSPECT,
                    phase=Phase.INSPECT,
                    missing="inspect-missing" if asked or part.id not in spared else "",
                    facts={
                        "parts": (part.id,),
                        "reading": check.reading,
                        "seconds": check.seconds,
                    },
                )
        soft = part.kind is PartKind.SOFT and part.id in truth.disturbed
        if not due and (soft or whole_goal):
            yield Wanted(
                id=f"inspect:{part.id}",
                kind=StepKind.INSPECT,
                phase=Phase.INSPECT,
                missing="inspect-missing" if whole_goal else "",
                facts={"parts": (part.id,)},
            )
        if part.look:
            yield Wanted(
                id=f"look:{part.id}",
                kind=StepKind.LOOK,
                phase=Phase.INSPECT,
                missing="look-missing",
                facts={"parts": (part.id,)},
            )
        if part.id in truth.exposed:
            yield Wanted(
                id=f"wipe:{part.id}",
                kind=StepKind.WIPE,
                phase=Phase.INSPECT,
                # A seal that is thrown away need not be wiped and greased.
                missing="" if part.id in renewed_by_steps(truth) else "wipe-missing",
                facts={"parts": (part.id,), "lubricant": part.lubricant},
            )


def check_seen(truth: Truth) -> Iterator[Fault]:
    """Refuse a disturbed soft part that is neither inspected nor renewed."""
    looking = {StepKind.INSPECT, StepKind.LOOK, StepKind.WIPE}
    seen = {p for step in truth.plan.steps if step.kind in looking for p in step.parts}
    handled = seen | renewed_by_steps(truth) | exchanged(truth)
    for part in sorted(truth.disturbed - handled):
        if truth.structure.parts[part].kind is PartKind.SOFT:
            yield fault("disturbed-unseen", part=part)


def _bringing(truth: Truth) -> dict[str, str]:
    """Return, for each part that needs its lubricant, the step it is put on before."""
    structure = truth.structure
    steps = {
        part: undo_id(structure.operations[name])
        for part, name in truth.brings.items()
        if name in truth.done
    }
    for step in truth.plan.steps:
        if step.kind is StepKind.RENEW:
            steps.update({part: step.id for part in step.parts if part not in truth.apart})
    return {
        part: step
        for part, step in steps.items()
        if part in structure.parts
        and structure.parts[part].lubricant
        and part not in exchanged(truth)
    }


def wanted_lubricants(truth: Truth) -> Iterator[Wanted]:
    """Yield the lubricant each part needs as it goes back."""
    for part in _bringing(truth):
        yield Wanted(
            id=f"lubricate:{part}",
            kind=StepKind.LUBRICATE,
            phase=Phase.REBUILD,
            missing="lubricant-missing",
            facts={"parts": (part,), "lubricant": truth.structure.parts[part].lubricant},
            wrong="lubricant-wrong",
        )


def check_lubricants(truth: Truth) -> Iterator[Fault]:
    """Refuse a lubricant on before the clean, or not directly before its part goes back."""
    steps, operations = truth.plan.steps, truth.structure.operations
    for part, target in _bringing(truth).items():
        position = truth.at(f"lubricate:{part}")
        if position is None:
            continue
        following = (s for s in steps[position + 1 :] if s.kind is not StepKind.LUBRICATE)
        after = next(following, None)
        if after is None or after.id != target:
            yield fault("lubricant-not-direct", steps[position].id, before=target)
        brought = truth.brings.get(part)
        opens = operations[brought].opens if brought and not target.startswith("renew:") else ()
        cleaned = [truth.at(f"clean:{joint}") for joint in opens]
        late = any(clean is not None and clean > position for clean in cleaned)
        in_place = _cleaned(truth, part) if target.startswith("renew:") else []
        if late or (in_place and min(in_place) > position):
            yield fault("lubricant-uncleaned", steps[position].id, part=part)
