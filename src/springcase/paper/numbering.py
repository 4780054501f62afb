"""Stack-up numbers, and which sheet of a pilot-operated unit each step stands on."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from springcase.assembly.model import OperationKind, Phase, Plan, Step, StepKind, Structure

_ON_MAIN = (StepKind.LEAK, StepKind.PROVE, StepKind.CLOSE, StepKind.RAGS, StepKind.PROTECT)


def stack_numbers(structure: Structure, plan: Plan) -> dict[str, int]:
    """Return the number of every part that goes back, by order of fitting."""
    numbers: dict[str, int] = {}
    for operation in plan.rebuild:
        for part in structure.operations[operation].parts:
            numbers.setdefault(part, len(numbers) + 1)
    return numbers


def number_text(parts: Iterable[str], numbers: Mapping[str, int]) -> str:
    """
    Return the stack-up numbers of some parts, runs drawn together.

    Examples
    --------
    >>> number_text(["a", "b", "c", "d"], {"a": 4, "b": 2, "c": 3, "d": 7})
    '2–4, 7'
    """
    found = sorted(numbers[part] for part in set(parts) if part in numbers)
    runs: list[list[int]] = []
    for number in found:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}–{run[-1]}" for run in runs)


@dataclass(frozen=True, slots=True, kw_only=True)
class Homes:
    """Which sheet each operation, joint and part of a plan is worked on ("" is the main valve)."""

    operations: Mapping[str, str]
    joints: Mapping[str, str]
    parts: Mapping[str, str]

    def of(self, step: Step, structure: Structure) -> str:
        """Return the sheet a step stands on."""
        if step.kind in _ON_MAIN or step.phase in (Phase.READY, Phase.AS_FOUND, Phase.MAKE_SAFE):
            return ""
        if step.phase is Phase.INSPECT:
            return structure.parts[step.parts[0]].sheet if step.parts else ""
        if step.kind is StepKind.RETORQUE:
            return ""
        if step.operation:
            return self.operations.get(step.operation, "")
        if step.joint:
            return self.joints.get(step.joint, "")
        return self.parts.get(_worked_part(step, structure), "")

    def lump_of(self, sheet: str, structure: Structure) -> str:
        """Return the lump that leaves the main valve to be worked on a sheet of its own."""
        for name in self.operations:
            operation = structure.operations[name]
            sheets = {structure.parts[part].sheet for part in operation.parts}
            if operation.kind is OperationKind.LUMP and sheets == {sheet}:
                return name
        return ""


def _worked_part(step: Step, structure: Structure) -> str:
    """Return the part whose place decides where an act, check, mark or hold is worked."""
    if step.act:
        found = [act.after_fit for act in structure.acts if act.id == step.act]
        return found[0][0] if found else ""
    if step.mark:
        return next((mark.part for mark in structure.marks if mark.id == step.mark), "")
    if step.energy:
        return structure.energies[step.energy].part
    return step.parts[0] if step.parts else ""


def find_homes(structure: Structure, plan: Plan) -> Homes:
    """Return where each operation, joint and part of the plan is worked."""
    history = (*plan.order, *plan.rebuild)
    lumps_off = {
        sheet
        for name in history
        for sheet in structure.sheets
        if structure.operations[name].kind is OperationKind.LUMP
        and all(structure.parts[part].sheet == sheet for part in structure.operations[name].parts)
    }
    operations: dict[str, str] = {}
    for name in history:
        operation = structure.operations[name]
        sheets = {structure.parts[part].sheet for part in operation.parts}
        sheet = sheets.pop() if len(sheets) == 1 else ""
        # What comes off the body is worked at the body, unless the sheet's parts never leave it
        # as one lump: then the whole of it is stripped where it sits.
        at_the_body = operation.kind is OperationKind.LUMP or (
            operation.kind is OperationKind.PART and sheet in lumps_off
        )
        operations[name] = "" if at_the_body else sheet
    joints: dict[str, str] = {}
    parts: dict[str, str] = {}
    for name in history:
        for joint in structure.operations[name].opens:
            joints.setdefault(joint, operations[name])
    for name in plan.rebuild:
        for part in structure.operations[name].parts:
            parts.setdefault(part, operations[name])
    return Homes(operations=operations, joints=joints, parts=parts)


def is_worked_apart(sheet: str, homes: Homes, structure: Structure, plan: Plan) -> bool:
    """
    Return whether a sheet may be worked by itself between its lump's leaving and its return.

    It may where nothing on it waits for anything else on the main valve, nor the other way
    round; otherwise its lines keep their place among the others and each sheet points across.
    """
    lump = homes.lump_of(sheet, structure)
    if not lump:
        return False
    inside = set(structure.operations[lump].parts)
    own = {name for name, home in homes.operations.items() if home == sheet}
    for name in homes.operations:
        needs = [fact for need in structure.operations[name].needs for fact in need]
        named = {fact.partition(":")[2] for fact in needs}
        if name in own and named - inside:
            return False
        loose_inside = {fact for fact in needs if fact.startswith("loose:")} & {
            f"loose:{part}" for part in inside
        }
        if name not in own and loose_inside:
            return False
    orders = [
        *({arc.first, arc.then} for arc in structure.arcs),
        *({*act.after_fit, *act.before_fit} for act in structure.acts),
        *(
            {check.part, *check.after_fit, *check.before_fit}
            for part in structure.parts.values()
            for check in part.checks
            if check.in_rebuild
        ),
    ]
    worked = {part for part, home in homes.parts.items() if home == sheet}
    fitted = set(homes.parts)
    return not any(group & worked and (group & fitted) - inside for group in orders) and not any(
        step.place == "line" for step in plan.steps if step.operation in own
    )
