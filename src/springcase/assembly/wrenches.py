"""Which torque tool of the owner's kit closes each joint of a plan, and what is wrong with it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date

from springcase.assembly.model import Plan, StepKind, Structure
from springcase.bolting.tool_fit import ToolChoice, choose_tool, may_go_on
from springcase.owner import TorqueTool


def choose_wrenches(
    structure: Structure,
    plan: Plan,
    kit: Sequence[TorqueTool],
    *,
    wanted: str,
    today: date,
    highest_gauge: float,
    misfit_gauge: float,
    reason: str,
) -> Mapping[str, ToolChoice]:
    """
    Return the choice of tool for each joint with a torque, by joint id.

    `highest_gauge` is the highest pressure the unit holds, `misfit_gauge` the owner's class up
    to which a tool that does not fit may be used for a printed reason. [Pa]

    Raises
    ------
    BadInput
        If the wanted tool is not in the kit.
    """
    choices: dict[str, ToolChoice] = {}
    for step in plan.steps:
        joint = structure.joints.get(step.joint)
        if step.kind is not StepKind.TORQUE or joint is None or joint.torque is None:
            continue
        if joint.id in choices:
            continue
        low = joint.torque_low.value if joint.torque_low else joint.torque.value
        high = joint.torque_high.value if joint.torque_high else joint.torque.value
        choices[joint.id] = choose_tool(
            kit,
            wanted,
            target=joint.torque.value,
            band=(low, high),
            today=today,
            owner_allows=may_go_on(
                holds_pressure=joint.holds_pressure,
                chamber_gauge=highest_gauge,
                owner_class_gauge=misfit_gauge,
            ),
            reason=reason,
        )
    return choices
