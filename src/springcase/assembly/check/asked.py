"""What a question asks of a plan: the facts to reach, and the parts to renew."""

from __future__ import annotations

from collections.abc import Iterator

from springcase.assembly.check.rules import Fault, fault
from springcase.assembly.check.truth import Truth, met, view
from springcase.assembly.model import (
    Alternatives,
    Check,
    Goal,
    GoalKind,
    Part,
    PartKind,
    Policy,
    RenewRule,
    Scope,
    Structure,
    loose,
    off,
)


def check_name(check: Check) -> str:
    """Return `PART/CHECK`, however the check's own id is spelled."""
    return f"{check.part}/{check.id.removeprefix(f'{check.part}/')}"


def find_check(structure: Structure, name: str) -> Check | None:
    """Return the check called `PART/CHECK`, or None."""
    part = structure.parts.get(name.partition("/")[0])
    found = part.checks if part else ()
    return next((check for check in found if check_name(check) == name), None)


def check_access(structure: Structure, check: Check) -> Alternatives:
    """Return when a check can be made; one of the rebuild once a part it waits for is off."""
    if check.in_rebuild:
        present = (part for part in check.after_fit if part in structure.parts)
        return tuple(frozenset({off(part)}) for part in present)
    return check.needs or view(structure, check.part)


def goal_needs(structure: Structure, goal: Goal) -> Alternatives:
    """Return the ways to satisfy a goal; none where the goal names what the build lacks."""
    check = find_check(structure, goal.part)
    if goal.kind is GoalKind.INSPECT and check:
        return check_access(structure, check)
    if goal.part not in structure.parts:
        return ()
    if goal.kind is GoalKind.INSPECT:
        return view(structure, goal.part)
    return (frozenset({off(goal.part) if goal.kind is GoalKind.REACH else loose(goal.part)}),)


def named_scope(truth: Truth) -> Scope | None:
    """Return the scope the question names, or None."""
    return truth.structure.scopes.get(truth.plan.question.scope)


def exchanged(truth: Truth) -> frozenset[str]:
    """Return the parts of the lump a scope exchanges whole."""
    scope = named_scope(truth)
    lump = truth.structure.operations.get(scope.exchange) if scope else None
    return lump.takes if lump else frozenset()


def _by_policy(truth: Truth, part: Part) -> bool:
    policy = truth.plan.question.policy
    if policy is Policy.FULL_KIT:
        return part.kit != ""
    if policy is Policy.WHILE_OPEN:
        joints = (truth.structure.joints[name] for name in truth.opened)
        open_chambers = {chamber for joint in joints for chamber in joint.chambers}
        return part.kind is PartKind.SOFT and part.chamber in open_chambers
    return False


def asked_renewals(truth: Truth) -> frozenset[str]:
    """Return the parts that goals, scope and policy ask to renew; a new unit brings its own."""
    structure, question = truth.structure, truth.plan.question
    asked = {goal.part for goal in question.goals if goal.kind is GoalKind.RENEW}
    scope = named_scope(truth)
    for part in structure.parts.values():
        by_scope = scope is not None and (part.id in scope.renew or part.kind in scope.renew_kinds)
        if (by_scope or _by_policy(truth, part)) and loose(part.id) in truth.possible:
            asked.add(part.id)
    return frozenset(asked & structure.parts.keys()) - exchanged(truth)


def ruled_renewals(truth: Truth) -> frozenset[str]:
    """Return the parts renewed by rule: those that say always, and every seal drawn through."""
    at_hand = truth.apart | truth.joint_seals
    parts = truth.structure.parts
    always = {part for part in at_hand if parts[part].renew is RenewRule.ALWAYS}
    return frozenset((truth.disturbed & always | truth.withdrawn) - exchanged(truth))


def demanded_renewals(truth: Truth) -> frozenset[str]:
    """Return every part that must go back new, those of an exchanged unit included."""
    return asked_renewals(truth) | ruled_renewals(truth) | (exchanged(truth) & truth.gone)


def inspect_goals(truth: Truth) -> frozenset[str]:
    """Return the parts and checks (`PART/CHECK`) the question or its scope asks to inspect."""
    scope = named_scope(truth)
    asked = {g.part for g in truth.plan.question.goals if g.kind is GoalKind.INSPECT}
    asked.update(scope.inspect if scope else ())
    return frozenset(
        name for name in asked if name in truth.structure.parts or find_check(truth.structure, name)
    )


def check_goals(truth: Truth) -> Iterator[Fault]:
    """Refuse a strip that ends before what is asked is reached."""
    structure, question = truth.structure, truth.plan.question
    for goal in question.goals:
        if not met(structure, goal_needs(structure, goal), truth.end):
            yield fault("goal-not-reached", goal=goal.kind.value, part=goal.part)
    scope = named_scope(truth)
    wanted = {loose(part) for part in asked_renewals(truth)}
    if scope:
        wanted |= {off(part) for part in (*scope.reach, *exchanged(truth))}
        for name in inspect_goals(truth):
            needs = goal_needs(structure, Goal(kind=GoalKind.INSPECT, part=name))
            if not met(structure, needs, truth.end):
                yield fault("goal-not-reached", goal="inspect", part=name)
        if scope.everything:
            wanted |= {loose(p) for p in structure.parts if loose(p) in truth.possible}
    for fact in sorted(wanted - truth.end):
        if fact.partition(":")[2] in structure.parts:
            yield fault("goal-not-reached", goal="fact", part=fact)
