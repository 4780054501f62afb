"""A job's bench sheet with its pictures and wrenches: what every door shows."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from springcase.assembly.wrenches import choose_wrenches
from springcase.bolting.picture import draw_bolt_order
from springcase.bolting.tool_fit import ToolChoice
from springcase.job.plan import JobPlan
from springcase.owner import Owner
from springcase.paper.document import Picture, SheetDocument
from springcase.paper.given import Drawings, SheetOwner, TorqueTool, UnitCard
from springcase.paper.numbering import stack_numbers
from springcase.paper.sheet import make_sheet
from springcase.paper.stackup import draw_stack_up
from springcase.wording import explain, sentence

FEWEST_IN_A_PATTERN = 3


def draw_pictures(job: JobPlan) -> tuple[str, ...]:
    """Return the stack-up picture of a job's build, numbered as its rebuild, a page each."""
    structure = job.build.structure
    return draw_stack_up(structure, stack_numbers(structure, job.plan))


def draw_sheet(
    job: JobPlan,
    owner: Owner,
    *,
    card: UnitCard,
    today: date,
    highest_gauge: float,
    wrench: str = "",
    tool_reason: str = "",
) -> SheetDocument:
    """
    Return the bench sheet of a job.

    `highest_gauge` is the highest pressure the unit holds, infinite where nobody said [Pa];
    `wrench` the torque tool that would be taken, the first of the kit where none is named.

    Raises
    ------
    BadInput
        If the wrench named is not in the owner's kit.
    """
    structure, plan = job.build.structure, job.plan
    wrenches: dict[str, TorqueTool] = {}
    if owner.torque_tools:
        choices = choose_wrenches(
            structure,
            plan,
            owner.torque_tools,
            wanted=wrench or owner.torque_tools[0].id,
            today=today,
            highest_gauge=highest_gauge,
            misfit_gauge=owner.bolting.misfit_gauge,
            reason=tool_reason,
        )
        for step in plan.steps:
            if step.torque is not None and step.joint in choices:
                wrenches[step.id] = _say_choice(choices[step.joint], owner.units.torque)
    return make_sheet(
        structure,
        plan,
        SheetOwner(
            name=owner.name,
            torque_unit=owner.units.torque,
            one_person_weight=owner.lifting.one_person_weight,
            hold_wait=sentence("sheet-minutes", minutes=f"{owner.holds.zero_again / 60:g}"),
        ),
        plan_digest=job.digest,
        unit=card,
        next_policy=job.following,
        wrenches=wrenches,
        drawings=Drawings(stack_up={"": _stack_up(job)}, patterns=_patterns(job)),
        today=today,
    )


def _say_choice(choice: ToolChoice, unit: str) -> TorqueTool:
    """Return a choice of tool as the sheet prints it: the tool, and the reason where it misfits."""
    faults = " ".join(explain(fault) for fault in choice.faults)
    if choice.tool is None:
        return TorqueTool(words=sentence("sheet-no-wrench"), unit=unit, note=faults)
    note = sentence("sheet-going-on", reason=choice.reason, faults=faults) if choice.reason else ""
    return TorqueTool(words=choice.tool.words, unit=choice.tool.unit, note=note)


def _stack_up(job: JobPlan) -> tuple[Picture, ...]:
    words = sentence("sheet-stack-up-words", family=job.build.structure.name)
    return tuple(Picture(svg=svg, words=words) for svg in draw_pictures(job))


def _patterns(job: JobPlan) -> Mapping[str, Picture]:
    """Return the bolt order drawn on the cover of every opened joint that has one."""
    structure = job.build.structure
    drawn = {}
    for id in job.plan.joints_opened:
        joint = structure.joints[id]
        if joint.pattern and joint.count >= FEWEST_IN_A_PATTERN:
            svg = draw_bolt_order(
                joint.count, cover=joint.cover or "round", pattern=joint.pattern, caption=False
            )
            words = sentence("sheet-pattern-words", joint=joint.words, count=joint.count)
            drawn[id] = Picture(svg=svg, words=words)
    return drawn
