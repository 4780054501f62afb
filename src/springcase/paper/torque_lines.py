"""Lines that turn a screw: the torque large in the unit of the wrench, the other units once."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from springcase.assembly.model import Amount, Joint, Step, StepKind
from springcase.paper.bench import Bench, verb_line
from springcase.paper.document import Line, Torque, clean
from springcase.paper.given import TorqueTool
from springcase.units import format_value

TORQUE_UNITS: Final = ("N.m", "lbf.in", "lbf.ft")
_DIGITS: Final = 3


def _condition(joint: Joint, bench: Bench) -> str:
    if joint.lubricated:
        return bench.say("sheet-lubricated", lubricant=bench.lubricant(joint.lubricated))
    return bench.say("sheet-dry")


def torque_line(step: Step, bench: Bench) -> Line:
    """Return the line of one torque pass, of the closing round, or of torquing again."""
    joint = bench.structure.joints[step.joint]
    wrench = bench.wrenches.get(step.id)
    facts: dict[str, object] = {}
    if step.share == 0:
        key = "torque-round"
    elif len(joint.passes) > 1:
        number = joint.passes.index(step.share) + 1 if step.share in joint.passes else 1
        key = "torque-pass"
        facts = {"number": number, "passes": len(joint.passes), "share": step.share}
    else:
        key = "torque"
    if step.kind is StepKind.RETORQUE:
        key = "retorque"
    return _torque_line(
        verb_line(bench, key, what=_held(joint, bench), **facts), step, joint, wrench, bench
    )


def _held(joint: Joint, bench: Bench) -> str:
    """Return what is turned: the fastener, or the joint where it has none."""
    part = bench.structure.parts.get(joint.fastener)
    if part is None or part.words in joint.words:
        return clean(joint.words)
    return bench.say("sheet-fastener-of", fastener=clean(part.words), joint=clean(joint.words))


def _torque_line(
    line: Line, step: Step, joint: Joint, wrench: TorqueTool | None, bench: Bench
) -> Line:
    torque = step.torque or joint.torque
    setting_share = wrench.setting_share if wrench is not None else 1.0
    unit = wrench.unit if wrench is not None else bench.owner.torque_unit
    share = (step.share or 100) / 100
    details: list[str] = []
    if wrench is not None:
        details.append(clean(wrench.words))
        if setting_share != 1.0 and torque is not None:
            at_screw = format_value(torque.value * share, unit, _DIGITS).removesuffix(f" {unit}")
            details.append(
                bench.say("sheet-setting", torque=f"{at_screw} {unit_words(unit, bench)}")
            )
        if wrench.note:
            details.append(bench.say("sheet-wrench-note", note=clean(wrench.note)))
    return replace(
        line,
        parts=bench.number((joint.fastener,)) if joint.fastener else "",
        tool=bench.tool(step.tool or joint.tool),
        torque=torque_cell(torque, share * setting_share, unit, bench)
        if torque is not None
        else None,
        ticks=step.count,
        condition=_condition(joint, bench),
        details=tuple(details),
        picture=joint.id if joint.id in bench.drawings.patterns else "",
    )


def tighten_line(step: Step, bench: Bench) -> Line:
    """Return the line of a joint that is closed without a torque, and why."""
    joint = bench.structure.joints[step.joint]
    details: list[str] = []
    if joint.turns:
        details.append(clean(joint.turns))
    if joint.no_torque:
        details.append(bench.say("sheet-no-torque", why=clean(joint.no_torque)))
    return replace(
        verb_line(bench, "tighten", what=_held(joint, bench)),
        parts=bench.number((joint.fastener,)) if joint.fastener else "",
        tool=bench.tool(step.tool or joint.tool),
        ticks=step.count,
        condition=_condition(joint, bench) if joint.lubricated else "",
        details=tuple(details),
    )


def torque_cell(torque: Amount, share: float, unit: str, bench: Bench) -> Torque:
    """Return a share of a torque in the unit of the wrench, and in the other two once. [N.m]"""
    texts = {name: format_value(torque.value * share, name, _DIGITS) for name in TORQUE_UNITS}
    large = texts.pop(unit) if unit in texts else format_value(torque.value * share, unit, _DIGITS)
    return Torque(
        large=large.removesuffix(f" {unit}"),
        unit=unit_words(unit, bench),
        others=tuple(
            text.removesuffix(f" {name}") + " " + unit_words(name, bench)
            for name, text in texts.items()
        ),
    )


def unit_words(unit: str, bench: Bench) -> str:
    """Return a torque unit as it is printed, and any other unit as it was typed."""
    if unit in TORQUE_UNITS:
        return bench.say("sheet-unit-" + unit.replace(".", "-").lower())
    return clean(unit)
