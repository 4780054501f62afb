"""What to take along: parts by kit and loose, lubricants, tools, gauges and papers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from springcase.assembly.disturbed import Disturbance, exchanged_parts
from springcase.assembly.model import (
    KitLine,
    Part,
    PartKind,
    Question,
    RenewRule,
    Step,
    StepKind,
    Structure,
)

USED_UP = (PartKind.CONSUMABLE, PartKind.SEALANT, PartKind.LOCKING)
GAUGES = ("inlet", "outlet", "sensing")
PAPERS = ("permit", "bench-sheet", "makers-instructions", "calibration-papers")
LOOSE = "loose"
SHARED_GROUPS = ("lubricants", "consumables", "tools", "gauges", "papers")
"""What is taken along once, however many jobs use it."""
CONSUMABLES = ("rags", "plugs", "leak-fluid", "cleaner")


def make_kit(
    structure: Structure, question: Question, disturbance: Disturbance, steps: tuple[Step, ...]
) -> tuple[KitLine, ...]:
    """Return one list for one job, each line once, grouped."""
    return (
        *_parts(structure, question, disturbance),
        *_spares(structure, disturbance),
        *_lubricants(structure, steps),
        *_tools(structure, steps),
        *(
            KitLine(id=f"consumable:{each}", group="consumables", words=each)
            for each in CONSUMABLES
        ),
        *(KitLine(id=f"gauge:{each}", group="gauges", words=each) for each in GAUGES),
        *(KitLine(id=f"paper:{each}", group="papers", words=each) for each in PAPERS),
    )


def merge_kits(kits: Iterable[tuple[KitLine, ...]]) -> tuple[KitLine, ...]:
    """
    Return one list for a day: like lines added, things that are used again taken once.

    Parts of different units are alike only where words, size and kit agree.
    """
    merged: dict[tuple[str, str, str, bool], KitLine] = {}
    for kit in kits:
        for line in kit:
            key = (line.group, line.words, line.size, line.on_finding)
            known = merged.get(key)
            if known is None:
                merged[key] = line
            elif line.group not in SHARED_GROUPS:
                merged[key] = replace(known, count=known.count + line.count)
    return tuple(line for lines in group_lines(merged.values()).values() for line in lines)


def group_lines(lines: Iterable[KitLine]) -> dict[str, list[KitLine]]:
    """Return the lines by group: the kits first, then loose parts, then what is taken once."""
    groups: dict[str, list[KitLine]] = {}
    for line in lines:
        groups.setdefault(line.group, []).append(line)
    last = (LOOSE, *SHARED_GROUPS)
    kits = [group for group in groups if group not in last]
    return {group: groups[group] for group in (*kits, *last) if group in groups}


def _part_line(part: Part, why: str, *, on_finding: bool = False) -> KitLine:
    size = " ".join(each for each in (_dash(part), part.size) if each)
    return KitLine(
        id=part.id,
        group=part.kit or LOOSE,
        words=part.words,
        count=part.count,
        size=size,
        why=why,
        on_finding=on_finding,
    )


def _dash(part: Part) -> str:
    return f"AS568-{part.o_ring}" if part.o_ring else ""


def _parts(structure: Structure, question: Question, disturbance: Disturbance) -> Iterator[KitLine]:
    exchanged = exchanged_parts(structure, question)
    if exchanged:
        lump = structure.operations[structure.scopes[question.scope].exchange]
        yield KitLine(
            id=f"unit:{lump.id}",
            group=LOOSE,
            words=lump.words,
            size=structure.name,
            why="exchange",
        )
    asked = {goal.part for goal in question.goals}
    for id in disturbance.renewed:
        if id not in exchanged:
            part = structure.parts[id]
            yield _part_line(part, "asked" if id in asked else "always")


def _spares(structure: Structure, disturbance: Disturbance) -> Iterator[KitLine]:
    for id in disturbance.parts:
        part = structure.parts[id]
        if id in disturbance.renewed:
            continue
        if part.kind in USED_UP:
            yield _part_line(part, "used-up")
        elif part.renew in (RenewRule.FINDING, RenewRule.AGE):
            yield _part_line(part, part.renew.value, on_finding=True)


def _lubricants(structure: Structure, steps: tuple[Step, ...]) -> Iterator[KitLine]:
    named = dict.fromkeys(step.lubricant for step in steps if step.lubricant)
    for id in named:
        yield KitLine(id=id, group="lubricants", words=structure.lubricants[id].words)


def _tools(structure: Structure, steps: tuple[Step, ...]) -> Iterator[KitLine]:
    named = dict.fromkeys(step.tool for step in steps if step.tool)
    for id in named:
        tool = structure.tools[id]
        yield KitLine(id=id, group="tools", words=tool.words, size=tool.size)
    torqued = [step for step in steps if step.kind in (StepKind.TORQUE, StepKind.RETORQUE)]
    values = [step.torque.value for step in torqued if step.torque is not None]
    if values:
        yield KitLine(
            id="tool:torque-wrench",
            group="tools",
            words="torque-wrench",
            size=" to ".join(f"{value:g}" for value in sorted({min(values), max(values)})) + " N.m",
        )
