"""One plan step becomes one line: verb first, then the part, the tool and what to fill in."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Final

from springcase.assembly.model import (
    Check,
    Energy,
    Mark,
    Operation,
    OperationKind,
    RenewRule,
    Step,
    StepKind,
)
from springcase.paper.bench import Bench, readings_of, verb_line
from springcase.paper.document import Line, Reading, clean
from springcase.paper.torque_lines import tighten_line, torque_line


def make_line(step: Step, bench: Bench) -> Line:
    """Return the line of one plan step, without its number."""
    line = _MAKERS[step.kind](step, bench)
    return replace(line, step=step.id)


_MARK_LABELS: Final = {
    "clock": ("clock",),
    "arrow": ("points",),
    "facing": ("faces",),
    "witness": ("witness",),
    "port-tag": ("ports",),
}
CLOCK_PICTURE: Final = "clock"
# With fewer screws there is no cross to work, and no two to leave.
_FEWEST_CROSSWISE: Final = 4


def _mark(step: Step, bench: Bench) -> Line:
    mark = next(mark for mark in bench.structure.marks if mark.id == step.mark)
    line = verb_line(bench, f"mark-{mark.kind}", mark=clean(mark.words))
    return replace(
        line,
        ticks=_ends(mark, bench),
        readings=readings_of(step, bench, *_MARK_LABELS[mark.kind]),
        picture=CLOCK_PICTURE if mark.kind == "clock" else "",
    )


def _ends(mark: Mark, bench: Bench) -> int:
    """Return the ticks of a mark: a tube that has one port tag for both its ends gets two."""
    tags = [
        other
        for other in bench.structure.marks
        if other.kind == "port-tag" and other.part == mark.part
    ]
    return 2 if tags == [mark] else 1


def _read(step: Step, bench: Bench) -> Line:
    line = verb_line(bench, step.id.replace(":", "-"))
    return replace(line, readings=readings_of(step, bench))


def _hold(step: Step, bench: Bench) -> Line:
    energy: Energy = bench.structure.energies[step.energy]
    where = clean(energy.where) or bench.say("sheet-where-unknown")
    line = verb_line(bench, f"hold-{energy.hold}", energy=clean(energy.words), where=where)
    details: tuple[str, ...] = ()
    labels: tuple[str, ...] = ()
    if energy.hold == "prove-zero":
        details = (bench.say("sheet-hold-again", wait=clean(bench.owner.hold_wait)),)
        labels = ("zero", "zero-again")
    elif energy.hold == "screw-out":
        labels = ("turns-out",)
    return replace(
        line,
        parts=bench.number((energy.part,)) if energy.part else "",
        details=details,
        readings=tuple(
            replace(reading, unit=bench.chamber_unit(energy.chamber) if energy.chamber else "")
            for reading in readings_of(step, bench, *labels)
        ),
        tool=bench.tool(step.tool) if step.tool else "",
    )


def _take_off(step: Step, bench: Bench) -> Line:
    operation = bench.structure.operations[step.operation]
    key = {
        OperationKind.PART: "take-off",
        OperationKind.LUMP: "take-off-whole",
        OperationKind.SPLIT: "take-apart",
    }[operation.kind]
    return replace(
        verb_line(bench, key, parts=clean(operation.words)),
        parts=bench.number(operation.parts),
        tool=bench.tool(step.tool),
        ticks=step.count,
        details=(*_clear(operation, bench), *_joint_details(operation, bench)),
        readings=readings_of(step, bench),
    )


def _clear(operation: Operation, bench: Bench) -> tuple[str, ...]:
    """Return the room the operation needs, where the family says so."""
    if not operation.clearance:
        return ()
    return (bench.say("sheet-clearance", clearance=clean(operation.clearance)),)


def _joint_details(operation: Operation, bench: Bench) -> tuple[str, ...]:
    """Return how screws of a drawn pattern are loosened, where this operation loosens them."""
    details = []
    for name in operation.opens:
        joint = bench.structure.joints[name]
        is_many = joint.count >= _FEWEST_CROSSWISE
        if joint.pattern and is_many and joint.fastener in operation.parts:
            details.append(bench.say("sheet-loosen-pattern", joint=clean(joint.words)))
    details.extend(
        bench.say("sheet-tag-ports", parts=bench.words(tagged))
        for tagged in [_tagged_parts(operation, bench)]
        if tagged
    )
    return tuple(details)


def _tagged_parts(operation: Operation, bench: Bench) -> tuple[str, ...]:
    """Return the parts this operation moves whose ends carry port tags."""
    return tuple(
        mark.part
        for mark in bench.structure.marks
        if mark.kind == "port-tag" and mark.part in operation.parts
    )


def _protect(step: Step, bench: Bench) -> Line:
    return replace(verb_line(bench, "protect"), readings=readings_of(step, bench, "rags-in"))


def _check_line(key: str, check: Check, step: Step, bench: Bench) -> Line:
    part = bench.structure.parts[check.part]
    return replace(
        verb_line(bench, key, part=clean(part.words), check=clean(check.words)),
        parts=bench.number((check.part,)),
        tool=bench.tool(check.tool) if check.tool else "",
        details=(
            bench.say("sheet-accept", accept=clean(check.accept)),
            bench.say("sheet-reject", reject=clean(check.reject)),
        ),
        ticks=0,
        choices=(bench.say("sheet-choice-accept"), bench.say("sheet-choice-reject")),
        readings=(Reading(unit=clean(check.reading)),) if check.reading else (),
    )


def _inspect(step: Step, bench: Bench) -> Line:
    check = bench.check(step)
    if check is not None:
        return _check_line("measure" if check.reading else "inspect", check, step, bench)
    part = bench.structure.parts[step.parts[0]]
    return replace(
        verb_line(bench, "look", part=clean(part.words)),
        parts=bench.number(step.parts),
        details=(bench.say("sheet-look-for"),),
        ticks=0,
        choices=(bench.say("sheet-choice-keep"), bench.say("sheet-choice-renew")),
        readings=readings_of(step, bench),
    )


def _wipe(step: Step, bench: Bench) -> Line:
    key = "wipe-grease" if step.lubricant else "wipe"
    line = verb_line(
        bench, key, parts=bench.words(step.parts), lubricant=bench.lubricant(step.lubricant)
    )
    return replace(line, parts=bench.number(step.parts), readings=readings_of(step, bench))


def _clean_joint(step: Step, bench: Bench) -> Line:
    joint = bench.structure.joints[step.joint]
    hints = dict.fromkeys(
        bench.say("sheet-clean-part", part=clean(part.words), clean=clean(part.clean))
        for part in bench.structure.parts.values()
        if part.clean and part.id in (*joint.seals, joint.fastener)
    )
    return replace(verb_line(bench, "clean", joint=clean(joint.words)), details=tuple(hints))


def _renew(step: Step, bench: Bench) -> Line:
    return replace(
        verb_line(bench, "renew", parts=bench.words(step.parts)),
        parts=bench.number(step.parts),
        ticks=max(1, step.count),
        details=(*_sizes(step.parts, bench), *_grease(step.lubricant, bench)),
    )


def _grease(lubricant: str, bench: Bench) -> tuple[str, ...]:
    if not lubricant:
        return ()
    return (bench.say("sheet-lubricated", lubricant=bench.lubricant(lubricant)),)


def _sizes(parts: tuple[str, ...], bench: Bench) -> tuple[str, ...]:
    """Return what identifies each part: size, dash number, and shelf life where age renews it."""
    details = []
    for name in parts:
        part = bench.structure.parts[name]
        if part.o_ring:
            details.append(bench.say("sheet-o-ring", number=clean(part.o_ring)))
        elif part.size and len(parts) == 1:
            details.append(clean(part.size))
        if part.renew is RenewRule.AGE and part.life:
            details.append(bench.say("sheet-life", part=clean(part.words), life=clean(part.life)))
    return tuple(dict.fromkeys(details))


def _lubricate(step: Step, bench: Bench) -> Line:
    part = bench.structure.parts[step.parts[0]]
    where = clean(part.lubricate_where)
    return replace(
        verb_line(
            bench,
            "lubricate",
            parts=bench.words(step.parts),
            lubricant=bench.lubricant(step.lubricant or part.lubricant),
        ),
        parts=bench.number(step.parts),
        details=(where,) if where else (),
    )


def _fit(step: Step, bench: Bench) -> Line:
    operation = bench.structure.operations[step.operation]
    key = "join" if operation.kind is OperationKind.SPLIT else "fit"
    new = tuple(part for part in step.new if part in bench.structure.parts)
    condition = ""
    if new and set(new) == set(operation.parts):
        condition = bench.say("sheet-all-new")
    elif new:
        condition = bench.say("sheet-new", parts=bench.words(new))
    details = list(_sizes(new, bench))
    details.extend(
        bench.say(
            "sheet-before",
            then=clean(bench.structure.parts[arc.then].words),
            why=clean(arc.why),
        )
        for arc in bench.structure.arcs
        if arc.first in operation.parts and arc.then in bench.numbers
    )
    return replace(
        verb_line(bench, key, parts=clean(operation.words)),
        parts=bench.number(operation.parts),
        tool=bench.tool(step.tool),
        ticks=step.count,
        condition=condition,
        details=tuple(details),
    )


def _act(step: Step, bench: Bench) -> Line:
    act = next(act for act in bench.structure.acts if act.id == step.act)
    line = verb_line(bench, "act", act=clean(act.words))
    return replace(
        line, tool=bench.tool(act.tool) if act.tool else "", readings=readings_of(step, bench)
    )


def _restore(step: Step, bench: Bench) -> Line:
    mark = next(mark for mark in bench.structure.marks if mark.id == step.mark)
    line = verb_line(bench, f"restore-{mark.kind}", mark=clean(mark.words))
    return replace(
        line,
        parts=bench.number((mark.part,)),
        ticks=_ends(mark, bench),
        readings=readings_of(step, bench, *_MARK_LABELS[mark.kind]),
    )


def _rags(step: Step, bench: Bench) -> Line:
    return replace(verb_line(bench, "rags"), readings=readings_of(step, bench, "rags-out"))


def _leak(step: Step, bench: Bench) -> Line:
    if not step.joint:
        return replace(verb_line(bench, "leak-low"), readings=readings_of(step, bench))
    joint = bench.structure.joints[step.joint]
    # A joint inside the unit cannot be soaped: the seat and the vent tell on it.
    key = "leak" if joint.holds_pressure else "leak-inside"
    return replace(
        verb_line(bench, key, number=step.number, joint=clean(joint.words)),
        ticks=0,
        choices=(bench.say("sheet-choice-tight"), bench.say("sheet-choice-leaks")),
    )


def _prove(step: Step, bench: Bench) -> Line:
    return replace(verb_line(bench, step.id.replace(":", "-")), readings=readings_of(step, bench))


_CLOSE_LABELS: Final = {
    "close:left-over": ("left-over",),
    "close:rags": ("rags-out",),
    "close:locks": ("locks-off",),
    "close:seal": ("seal-number",),
    "close:signed": ("who", "when"),
}


def _close(step: Step, bench: Bench) -> Line:
    line = verb_line(bench, step.id.replace(":", "-"))
    return replace(line, readings=readings_of(step, bench, *_CLOSE_LABELS.get(step.id, ())))


_MAKERS: Final[Mapping[StepKind, Callable[[Step, Bench], Line]]] = {
    StepKind.MARK: _mark,
    StepKind.READ: _read,
    StepKind.HOLD: _hold,
    StepKind.STRIP: _take_off,
    StepKind.SPLIT: _take_off,
    StepKind.PROTECT: _protect,
    StepKind.INSPECT: _inspect,
    StepKind.LOOK: _inspect,
    StepKind.WIPE: _wipe,
    StepKind.CLEAN: _clean_joint,
    StepKind.LUBRICATE: _lubricate,
    StepKind.RENEW: _renew,
    StepKind.FIT: _fit,
    StepKind.JOIN: _fit,
    StepKind.ACT: _act,
    StepKind.CHECK: _inspect,
    StepKind.RESTORE: _restore,
    StepKind.TORQUE: torque_line,
    StepKind.TIGHTEN: tighten_line,
    StepKind.RETORQUE: torque_line,
    StepKind.RAGS: _rags,
    StepKind.LEAK: _leak,
    StepKind.PROVE: _prove,
    StepKind.CLOSE: _close,
}
