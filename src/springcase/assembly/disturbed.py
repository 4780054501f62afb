"""What a job disturbs, and what of it is renewed: the rules of `docs/walk/plan.md`, Words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from springcase.assembly.model import (
    GoalKind,
    Question,
    RenewRule,
    Structure,
    loose,
    off,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Disturbance:
    """Everything a sequence of operations has touched, each in order of first touch."""

    facts: frozenset[str]
    parts_off: tuple[str, ...]
    joints: tuple[str, ...]
    seals: tuple[str, ...]
    withdrawn: tuple[str, ...]
    exposed: tuple[str, ...]
    renewed: tuple[str, ...]

    @property
    def parts(self) -> tuple[str, ...]:
        """All disturbed parts, each once."""
        every = (*self.parts_off, *self.seals, *self.withdrawn, *self.exposed)
        return tuple(dict.fromkeys(every))


def find_disturbance(
    structure: Structure, question: Question, operations: tuple[str, ...]
) -> Disturbance:
    """Return what operations done in this order disturb and what of it is renewed."""
    done = [structure.operations[id] for id in operations]
    facts = frozenset(fact for operation in done for fact in operation.gives)
    parts_off = _unique(
        part for operation in done for part in operation.parts if off(part) in operation.gives
    )
    joints = _unique(joint for operation in done for joint in operation.opens)
    seals = _unique(seal for joint in joints for seal in structure.joints[joint].seals)
    withdrawn = _unique(part for operation in done for part in operation.withdraws)
    exposed = _unique(part for operation in done for part in operation.exposes)
    asked = [goal.part for goal in question.goals if goal.kind is GoalKind.RENEW]
    brought = exchanged_parts(structure, question)
    asked += [part for part in brought if off(part) in facts]
    # A seal something slid out of is never trusted again, whatever its own rule.
    by_rule = [
        part
        for part in _unique((*parts_off, *seals, *withdrawn))
        if part not in brought
        and (
            part in withdrawn
            or (
                structure.parts[part].renew is RenewRule.ALWAYS
                and (loose(part) in facts or part in seals)
            )
        )
    ]
    return Disturbance(
        facts=facts,
        parts_off=parts_off,
        joints=joints,
        seals=seals,
        withdrawn=withdrawn,
        exposed=exposed,
        renewed=_unique((*asked, *by_rule)),
    )


def exchanged_parts(structure: Structure, question: Question) -> tuple[str, ...]:
    """Return the parts an exchanged unit brings with it; none where nothing is exchanged."""
    scope = structure.scopes.get(question.scope)
    lump = structure.operations.get(scope.exchange) if scope else None
    return lump.parts if lump else ()


def _unique(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))
