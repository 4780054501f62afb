"""How a plan is spoiled: small edits of its steps, and the list of named mutations."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace

from springcase.assembly.model import Phase, Plan, Step, StepKind, Structure, off

Mutation = Callable[[Structure, Plan], Iterator[Plan]]

MUTATIONS: list[tuple[str, str, Mutation]] = []
"""Name, the code of the rule it breaks, and the function that makes broken plans."""

STRIPPING = (StepKind.STRIP, StepKind.SPLIT)
FITTING = (StepKind.FIT, StepKind.JOIN)
TIGHTENING = (StepKind.TORQUE, StepKind.TIGHTEN)


def breaks(rule: str) -> Callable[[Mutation], Mutation]:
    """Enter a mutation in the list, under its own name, for one rule."""

    def enter(mutation: Mutation) -> Mutation:
        MUTATIONS.append((mutation.__name__, rule, mutation))
        return mutation

    return enter


def where(plan: Plan, *kinds: StepKind) -> list[int]:
    """Return where steps of these kinds stand."""
    return [i for i, step in enumerate(plan.steps) if step.kind in kinds]


def at(plan: Plan, step_id: str) -> int | None:
    """Return where a step stands, or None."""
    return next((i for i, step in enumerate(plan.steps) if step.id == step_id), None)


def in_phase(plan: Plan, phase: Phase) -> list[int]:
    """Return where the steps of a phase stand."""
    return [i for i, step in enumerate(plan.steps) if step.phase is phase]


def end_of_rebuild(plan: Plan) -> int:
    """Return the position before which a step is last of the rebuild, save counting rags."""
    rags = at(plan, "rags:out")
    return in_phase(plan, Phase.REBUILD)[-1] + 1 if rags is None else rags


def with_steps(plan: Plan, steps: Iterable[Step]) -> Plan:
    """
    Return the plan with other steps and every list that only repeats them brought in line.

    So that a mutant breaks the rule it is made for, and not only the rule that the plan's order
    is its strip steps.
    """
    kept = tuple(steps)
    return replace(
        plan,
        steps=kept,
        order=tuple(s.operation for s in kept if s.kind in STRIPPING),
        rebuild=tuple(s.operation for s in kept if s.kind in FITTING),
        seconds_strip=plan.seconds_strip + _longer(plan, kept, Phase.STRIP),
        seconds_rebuild=plan.seconds_rebuild + _longer(plan, kept, Phase.REBUILD),
        seconds_whole=plan.seconds_whole + _longer(plan, kept, *Phase),
    )


def _longer(plan: Plan, kept: tuple[Step, ...], *phases: Phase) -> int:
    """Return how much longer the steps of some phases have become. [s]"""
    before, after = (sum(s.seconds for s in x if s.phase in phases) for x in (plan.steps, kept))
    return after - before


def dropped(plan: Plan, *positions: int) -> Plan:
    """Return the plan without some steps."""
    return with_steps(plan, (s for i, s in enumerate(plan.steps) if i not in positions))


def doubled(plan: Plan, position: int) -> Plan:
    """Return the plan with a step twice."""
    return inserted(plan, position + 1, plan.steps[position])


def inserted(plan: Plan, position: int, step: Step) -> Plan:
    """Return the plan with one more step, which then stands at this position."""
    return with_steps(plan, (*plan.steps[:position], step, *plan.steps[position:]))


def moved(plan: Plan, position: int, target: int) -> Plan:
    """Return the plan with a step taken out and put before the one now at `target`."""
    step = plan.steps[position]
    rest = [s for i, s in enumerate(plan.steps) if i != position]
    place = target if target <= position else target - 1
    return with_steps(plan, (*rest[:place], step, *rest[place:]))


def swapped(plan: Plan, one: int, other: int) -> Plan:
    """Return the plan with two steps exchanged."""
    steps = list(plan.steps)
    steps[one], steps[other] = steps[other], steps[one]
    return with_steps(plan, steps)


def changed(plan: Plan, position: int, **facts: object) -> Plan:
    """Return the plan with other facts in one step."""
    steps = list(plan.steps)
    steps[position] = replace(steps[position], **facts)  # type: ignore[arg-type]
    return with_steps(plan, steps)


def opened(structure: Structure, plan: Plan) -> list[str]:
    """Return the joints that anything done opens."""
    done = [structure.operations[name] for name in (*plan.already, *plan.order)]
    return list(dict.fromkeys(joint for operation in done for joint in operation.opens))


def openers(structure: Structure, plan: Plan, joint: str) -> list[str]:
    """Return the operations done that open a joint."""
    done = (*plan.already, *plan.order)
    return [name for name in done if joint in structure.operations[name].opens]


def fits(structure: Structure, plan: Plan, names: Iterable[str]) -> list[int]:
    """Return where operations are undone."""
    wanted = set(names)
    return [i for i in where(plan, *FITTING) if plan.steps[i].operation in wanted]


def gone(structure: Structure, plan: Plan) -> set[str]:
    """Return the parts that are off when the strip is over."""
    done = [structure.operations[name] for name in (*plan.already, *plan.order)]
    facts = {fact for operation in done for fact in operation.gives}
    return {part for part in structure.parts if off(part) in facts}


def seat(structure: Structure, plan: Plan, part: str) -> str:
    """Return the operation done that took a part off the body."""
    done = (*plan.already, *plan.order)
    return next(name for name in done if part in structure.operations[name].takes)


def disturbed(structure: Structure, plan: Plan) -> set[str]:
    """Return every part the plan disturbs."""
    found = gone(structure, plan)
    for name in (*plan.already, *plan.order):
        operation = structure.operations[name]
        found |= {*operation.withdraws, *operation.exposes}
        for joint in operation.opens:
            found |= set(structure.joints[joint].seals)
    return found
