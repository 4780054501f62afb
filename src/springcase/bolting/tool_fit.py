"""Whether a torque tool fits a joint, another from the kit, or going on with a reason."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from springcase.errors import BadInput, OutsideValidity, SpringcaseError
from springcase.owner.model import TorqueTool
from springcase.units import format_value

# Below a fifth of its range the accuracy of a torque tool is not stated: iso_6789_1_2017_memory.
LEAST_SHARE_OF_RANGE: Final = 0.20

_SMALL_TOOL: Final = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ToolChoice:
    """
    The tool to use, what is wrong with it, and on what ground the work goes on.

    `tool` is None where no tool may be used; `instead_of` names the tool that did not fit;
    `reason` is printed on the sheet where the work goes on with a fault.
    """

    tool: TorqueTool | None
    faults: tuple[SpringcaseError, ...]
    instead_of: str = ""
    reason: str = ""


def permissible_error(highest: float) -> float:
    """
    Return the permissible error of a setting tool by its highest torque, as a share. [N.m]

    4 % above 10 N.m, 6 % up to it (`iso_6789_1_2017_memory`): only where the tool's own
    accuracy is not known.
    """
    return 0.04 if highest > _SMALL_TOOL else 0.06


def judge_tool(
    tool: TorqueTool, target: float, band: tuple[float, float], today: date
) -> tuple[SpringcaseError, ...]:
    """
    Return what is wrong with a tool for a target torque, as errors that are not raised. [N.m]

    `band` is the torque range of the joint: the tool's error at the target must lie inside it.

    Raises OutsideValidity for a tool or a band that cannot be.
    """
    _check(tool, target, band)
    found: list[SpringcaseError] = []
    least = max(tool.low, LEAST_SHARE_OF_RANGE * tool.high)
    if not least <= target <= tool.high:
        found.append(
            OutsideValidity(
                "tool-range",
                field=tool.id,
                value=format_value(target, "N.m", 3),
                right=f"{format_value(least, 'N.m', 3)} to {format_value(tool.high, 'N.m', 3)}, "
                "20 to 100 % of its range",
            )
        )
    error = tool.accuracy * target
    room = min(target - band[0], band[1] - target)
    if error > room * (1 + 1e-9):
        found.append(
            OutsideValidity(
                "tool-accuracy",
                field=tool.id,
                value=f"{100 * tool.accuracy:.3g} %",
                right=f"at most {100 * max(room, 0) / target:.3g} % at "
                f"{format_value(target, 'N.m', 3)}",
            )
        )
    if tool.calibration_due is None:
        found.append(
            BadInput(
                "tool-calibration-unknown",
                field=tool.id,
                value="none",
                right="a date on or after " + today.isoformat(),
            )
        )
    elif tool.calibration_due < today:
        found.append(
            BadInput(
                "tool-calibration-over",
                field=tool.id,
                value=tool.calibration_due.isoformat(),
                right="a date on or after " + today.isoformat(),
            )
        )
    return tuple(found)


def _check(tool: TorqueTool, target: float, band: tuple[float, float]) -> None:
    if not 0 <= tool.low < tool.high:
        raise OutsideValidity(
            "tool-impossible",
            field=tool.id,
            value=f"{tool.low:g} to {tool.high:g} N.m",
            right="a range that rises from zero or more",
        )
    if not 0 < tool.accuracy < 1:
        raise OutsideValidity(
            "share-outside", field=tool.id, value=tool.accuracy, right="over 0 and below 1 (100 %)"
        )
    if not (target > 0 and band[0] <= target <= band[1]):
        raise OutsideValidity(
            "torque-outside-range",
            field="torque",
            value=format_value(target, "N.m", 3),
            right=f"inside {format_value(band[0], 'N.m', 3)} to {format_value(band[1], 'N.m', 3)}",
        )


def may_go_on(*, holds_pressure: bool, chamber_gauge: float, owner_class_gauge: float) -> bool:
    """
    Return whether a joint may be closed with a tool that does not fit, given a reason. [Pa]

    Never on a joint that holds more pressure than the class the owner names.
    """
    return not holds_pressure or chamber_gauge <= owner_class_gauge


def choose_tool(
    kit: Sequence[TorqueTool],
    wanted: str,
    *,
    target: float,
    band: tuple[float, float],
    today: date,
    owner_allows: bool,
    reason: str = "",
) -> ToolChoice:
    """
    Return the tool to use: the wanted one if it fits, else one of the kit that does.

    Where none fits, the wanted tool goes on only if `owner_allows` (see `may_go_on`) and a
    reason is given, which is printed; else no tool is chosen and the faults say why. Of several
    that fit, the most accurate is taken, then the one with the least range, then by id. [N.m]

    Raises BadInput where `wanted` is not in the kit.
    """
    by_id = {tool.id: tool for tool in kit}
    if wanted not in by_id:
        raise BadInput(
            "tool-not-in-kit",
            field="tool",
            value=wanted,
            right=", ".join(by_id) or "a torque tool named in the owner's file",
        )
    faults = judge_tool(by_id[wanted], target, band, today)
    if not faults:
        return ToolChoice(tool=by_id[wanted], faults=())
    fitting = [tool for tool in kit if not judge_tool(tool, target, band, today)]
    if fitting:
        best = min(fitting, key=lambda tool: (tool.accuracy, tool.high, tool.id))
        return ToolChoice(tool=best, faults=faults, instead_of=wanted)
    if owner_allows and reason.strip():
        return ToolChoice(tool=by_id[wanted], faults=faults, reason=reason.strip())
    return ToolChoice(tool=None, faults=faults, instead_of=wanted)
