"""Tool fit of `springcase torque`: one tool as typed, or the owner's kit."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from datetime import date
from typing import Any

from springcase.bolting import tool_fit
from springcase.errors import BadInput, OutsideValidity
from springcase.owner import Owner, TorqueTool
from springcase.units import parse_quantity, parse_range
from springcase.wording import explain, sentence


def add_tool_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options that ask whether a torque tool fits."""
    add = parser.add_argument
    add("--range", metavar="TORQUES", help="torque range of the joint, such as 10 to 12 N.m")
    add("--tool", metavar="ID", help="torque tool of the owner's kit")
    add("--tool-range", metavar="TORQUES", help="range of a torque tool, such as 5 to 25 N.m")
    add("--tool-accuracy", metavar="SHARE", help="accuracy of that tool, such as 4 %%")
    add("--tool-due", metavar="DATE", help="day its calibration is due, such as 2027-01-31")
    add("--holds", metavar="PRESSURE", help="highest pressure the joint holds, such as 4 bar gauge")
    add("--reason", metavar="WORDS", help="why the work goes on with a tool that does not fit")


def positive(text: str, kind: str, option: str) -> float:
    """Return a typed quantity that must be more than zero."""
    value = parse_quantity(text, kind, field=option).value
    if value <= 0:
        raise OutsideValidity("not-positive", field=option, value=text, right="more than zero")
    return value


def share_typed(text: str, option: str) -> float:
    """Return a typed share over 0 and up to 1."""
    value = parse_quantity(text, "ratio", field=option).value
    if not 0 < value <= 1:
        raise OutsideValidity(
            "share-outside", field=option, value=text, right="over 0 and up to 1 (100 %)"
        )
    return value


def needs_torque(torque: float | None, option: str, value: object) -> float:
    """Return the torque, or refuse an option that has none to work on."""
    if torque is None:
        raise BadInput("option-needs", field=option, value=value, right="--torque")
    return torque


def judged_tool(
    arguments: argparse.Namespace, torque: float | None, owner: Owner, warnings: list[str]
) -> dict[str, Any] | None:
    """Return which tool may be used and what is wrong; None where none was named."""
    if not arguments.tool and not arguments.tool_range:
        for option in ("tool_accuracy", "tool_due", "range", "holds", "reason"):
            if getattr(arguments, option):
                raise BadInput(
                    "option-needs",
                    field="--" + option.replace("_", "-"),
                    value=getattr(arguments, option),
                    right="--tool or --tool-range",
                )
        return None
    wanted = arguments.tool or arguments.tool_range
    target = needs_torque(torque, "--tool" if arguments.tool else "--tool-range", wanted)
    kit = list(owner.torque_tools)
    if arguments.tool_range:
        if arguments.tool:
            raise BadInput(
                "torque-given-twice",
                field="--tool-range",
                value=arguments.tool_range,
                right="--tool",
            )
        kit.append(_typed_tool(arguments, warnings))
    choice = tool_fit.choose_tool(
        kit,
        wanted,
        target=target,
        band=_band(arguments, target),
        today=arguments.today,
        owner_allows=_owner_allows(arguments, owner),
        reason=arguments.reason or "",
    )
    problems = [explain(fault) for fault in choice.faults]
    if choice.reason:
        warnings.append(sentence("torque-goes-on", reason=choice.reason))
    return {
        "id": None if choice.tool is None else choice.tool.id,
        "fits": choice.tool is not None and not choice.reason,
        "instead_of": choice.instead_of,
        "reason": choice.reason,
        "problems": problems,
    }


def _typed_tool(arguments: argparse.Namespace, warnings: list[str]) -> TorqueTool:
    low, high = parse_range(arguments.tool_range, "torque", field="--tool-range")
    if arguments.tool_accuracy:
        accuracy = share_typed(arguments.tool_accuracy, "--tool-accuracy")
    else:
        accuracy = tool_fit.permissible_error(high.value)
        warnings.append(sentence("torque-accuracy-assumed", share=f"{100 * accuracy:.0f}"))
    if arguments.tool_due:
        due = _day(arguments.tool_due)
    else:
        # A tool typed without a date is not judged by it; a tool of the kit always is.
        due = arguments.today
        warnings.append(sentence("torque-tool-date-unknown"))
    return TorqueTool(
        id=arguments.tool_range,
        words="torque tool",
        low=low.value,
        high=high.value,
        unit=high.unit,
        accuracy=accuracy,
        calibration_due=due,
        low_text=low.text,
        high_text=high.text,
        accuracy_text=arguments.tool_accuracy or f"{100 * accuracy:.0f} %",
    )


def _band(arguments: argparse.Namespace, target: float) -> tuple[float, float]:
    """Return the joint's range; without one the accuracy of the tool is not judged."""
    if not arguments.range:
        return 0.0, 2 * target
    low, high = parse_range(arguments.range, "torque", field="--range")
    return low.value, high.value


def _owner_allows(arguments: argparse.Namespace, owner: Owner) -> bool:
    """Return whether a misfit may be accepted; a joint of unknown pressure never is."""
    if not arguments.holds:
        return False
    held = parse_quantity(arguments.holds, "pressure", field="--holds")
    if held.reference != "gauge":
        raise BadInput(
            "pressure-reference-wrong",
            field="--holds",
            value=arguments.holds,
            right="a gauge pressure such as 4 bar gauge",
        )
    return tool_fit.may_go_on(
        holds_pressure=held.value > 0,
        chamber_gauge=held.value,
        owner_class_gauge=owner.bolting.misfit_gauge,
    )


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError as error:
        raise BadInput(
            "date-unreadable", field="--tool-due", value=text, right="a day such as 2027-01-31"
        ) from error


def tool_lines(tool: Mapping[str, Any]) -> list[str]:
    """Return the lines for people that say which tool to use and why."""
    if tool["id"] is None:
        head = "none fits"
    elif tool["reason"]:
        head = f"{tool['id']}, going on because: {tool['reason']}"
    elif tool["instead_of"]:
        head = f"{tool['id']} instead of {tool['instead_of']}"
    else:
        head = f"{tool['id']} fits"
    return [f"Torque tool    {head}", *(f"               {line}" for line in tool["problems"])]
