"""Which torque tool of the owner's kit closes each joint of a plan."""

from __future__ import annotations

import math
from datetime import date

import pytest

from springcase.assembly.wrenches import choose_wrenches
from springcase.bolting.tool_fit import ToolChoice
from springcase.errors import BadInput
from springcase.owner import TorqueTool
from unit.assembly.test_policies import BUILDS, plan

TODAY = date(2026, 11, 25)
CLASS = 4e5


def tool(id: str, low: float, high: float, due: date | None = date(2027, 6, 1)) -> TorqueTool:
    """Return a torque tool of 2 per cent."""
    return TorqueTool(
        id=id,
        words=id,
        low=low,
        high=high,
        unit="N.m",
        accuracy=0.02,
        calibration_due=due,
        low_text=f"{low:g} N.m",
        high_text=f"{high:g} N.m",
        accuracy_text="2 %",
    )


SMALL, LARGE, OLD = (
    tool("small", 1, 12), tool("large", 10, 200), tool("old", 1, 200, date(2020, 1, 1))
)  # fmt: skip


def choose(
    *kit: TorqueTool, wanted: str = "", highest: float = math.inf, reason: str = ""
) -> dict[str, ToolChoice]:
    """Return the tool of each joint of Dogwood's overhaul."""
    return dict(
        choose_wrenches(
            BUILDS["dogwood"],
            plan("dogwood", "overhaul"),
            kit,
            wanted=wanted or kit[0].id,
            today=TODAY,
            highest_gauge=highest,
            misfit_gauge=CLASS,
            reason=reason,
        )
    )


def test_each_joint_with_a_torque_has_a_choice() -> None:
    """Exactly the opened joints with a torque get one choice each."""
    structure, made = BUILDS["dogwood"], plan("dogwood", "overhaul")
    wanted = {id for id in made.joints_opened if structure.joints[id].torque is not None}

    assert wanted == set(choose(SMALL, LARGE))


def test_a_tool_that_reaches_is_taken_and_one_that_does_not_is_named() -> None:
    """Each tool chosen holds the torque within its range; the one wanted is named where not."""
    structure = BUILDS["dogwood"]
    choices = choose(SMALL, LARGE)
    taken = {choice.tool.id for choice in choices.values() if choice.tool is not None}

    assert {"small", "large"} == taken
    for joint, choice in choices.items():
        torque = structure.joints[joint].torque
        if choice.tool is not None and torque is not None:
            assert choice.tool.low <= torque.value <= choice.tool.high
            assert ("small" if choice.tool.id == "large" else "") == choice.instead_of


def test_where_no_tool_fits_none_is_chosen_without_a_reason() -> None:
    """A tool out of calibration closes no joint; the fault is said."""
    choices = choose(OLD)

    assert {None} == {choice.tool for choice in choices.values()}
    assert all(choice.faults for choice in choices.values())
    assert "tool-calibration-over" in {
        fault.code for choice in choices.values() for fault in choice.faults
    }


def test_a_reason_never_counts_on_a_joint_that_holds_more_than_the_owners_class() -> None:
    """With a reason the misfit goes on, but not where pressure above the class is held."""
    structure = BUILDS["dogwood"]
    high = choose(OLD, highest=CLASS * 2, reason="checked against another")
    low = choose(OLD, highest=CLASS, reason="checked against another")
    held = {joint for joint in high if structure.joints[joint].holds_pressure}
    misfit = {joint for joint, choice in high.items() if choice.tool is None}

    assert held and held < set(high)
    assert held == misfit
    assert {"checked against another"} == {high[joint].reason for joint in set(high) - held}
    assert {"old"} == {choice.tool.id for choice in low.values() if choice.tool is not None}


def test_an_unknown_tool_is_refused() -> None:
    """A tool that is not in the kit cannot be wanted."""
    with pytest.raises(BadInput, match=r"^\[tool-not-in-kit\]"):
        choose(SMALL, wanted="none-such")
