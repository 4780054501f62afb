"""Whether a torque tool fits, another one, or going on with a reason."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from springcase.bolting.tool_fit import choose_tool, judge_tool, may_go_on
from springcase.errors import BadInput, OutsideValidity
from springcase.owner import TorqueTool
from springcase.wording import explain

TODAY = date(2026, 11, 25)
BAND = (11.0, 13.0)


def make_tool(**changes: Any) -> TorqueTool:
    """Return a tool of 5 to 25 N.m, 4 %, calibrated, with these changes."""
    facts: dict[str, Any] = {
        "id": "wrench-25",
        "words": "torque wrench",
        "low": 5.0,
        "high": 25.0,
        "unit": "N.m",
        "accuracy": 0.04,
        "calibration_due": date(2027, 1, 31),
        "low_text": "5 N.m",
        "high_text": "25 N.m",
        "accuracy_text": "4 %",
    }
    return TorqueTool(**(facts | changes))


def codes(tool: TorqueTool, target: float = 12.0, band: tuple[float, float] = BAND) -> list[str]:
    """Return the codes of what is wrong with a tool."""
    return [fault.code for fault in judge_tool(tool, target, band, TODAY)]


def test_a_tool_in_its_range_accuracy_and_date_fits() -> None:
    """A tool used inside its range, good enough and in calibration has no fault."""
    assert [] == codes(make_tool())


@pytest.mark.parametrize(
    ("high", "found"),
    [(60.0, []), (60.1, ["tool-range"]), (12.0, []), (11.9, ["tool-range"])],
)
def test_a_tool_is_used_between_a_fifth_and_all_of_its_range(high: float, found: list[str]) -> None:
    """12 N.m is 20 % of 60 N.m and 100 % of 12 N.m: both fit, beyond does not."""
    assert found == codes(make_tool(high=high))


@pytest.mark.parametrize(
    ("accuracy", "found"), [(1 / 12, []), (0.09, ["tool-accuracy"]), (0.04, [])]
)
def test_the_error_of_a_tool_lies_inside_the_band(accuracy: float, found: list[str]) -> None:
    """12 N.m in a band of 11 to 13 N.m leaves one in twelve for the tool."""
    assert found == codes(make_tool(accuracy=accuracy))


@pytest.mark.parametrize(
    ("due", "found"),
    [
        (date(2026, 11, 25), []),
        (date(2026, 11, 24), ["tool-calibration-over"]),
        (None, ["tool-calibration-unknown"]),
    ],
)
def test_calibration_counts_by_the_day(due: date | None, found: list[str]) -> None:
    """A tool may be used on the day its calibration is due and not after it."""
    assert found == codes(make_tool(calibration_due=due))


def test_all_faults_are_said_in_sentences() -> None:
    """A tool may be wrong in every way at once, and each fault is a sentence."""
    tool = make_tool(high=100.0, accuracy=0.2, calibration_due=date(2026, 1, 1))
    faults = judge_tool(tool, 12.0, BAND, TODAY)

    assert [
        'Torque tool wrench-25 does not reach "12.0 N.m" as it should; '
        "right would be 20.0 N.m to 100 N.m, 20 to 100 % of its range.",
        'Torque tool wrench-25 is good to "20 %", wider than the joint allows; '
        "right would be at most 8.33 % at 12.0 N.m.",
        'Torque tool wrench-25 was due for calibration on "2026-01-01"; '
        "right would be a date on or after 2026-11-25.",
    ] == [explain(fault) for fault in faults]


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"low": 30.0}, "tool-impossible"),
        ({"low": -1.0}, "tool-impossible"),
        ({"accuracy": 0.0}, "share-outside"),
        ({"accuracy": 1.0}, "share-outside"),
    ],
)
def test_a_tool_that_cannot_be_is_refused(changes: dict[str, float], code: str) -> None:
    """A range that does not rise and an accuracy of nothing or all are refused."""
    with pytest.raises(OutsideValidity, match=rf"\[{code}\] wrench-25"):
        judge_tool(make_tool(**changes), 12.0, BAND, TODAY)


def test_a_target_outside_its_own_band_is_refused() -> None:
    """The torque to reach lies inside the joint's range."""
    with pytest.raises(OutsideValidity, match=r"\[torque-outside-range\] torque"):
        judge_tool(make_tool(), 14.0, BAND, TODAY)


def choose(*kit: TorqueTool, **changes: Any) -> Any:
    """Return the choice from a kit for the tool wrench-25."""
    facts: dict[str, Any] = {"target": 12.0, "band": BAND, "today": TODAY, "owner_allows": False}
    return choose_tool(kit, "wrench-25", **(facts | changes))


def test_the_wanted_tool_is_kept_where_it_fits() -> None:
    """A better tool in the kit does not replace one that fits."""
    wanted, better = make_tool(), make_tool(id="better", accuracy=0.01)

    assert (wanted, "") == (choose(wanted, better).tool, choose(wanted, better).instead_of)


def test_another_tool_of_the_kit_is_taken() -> None:
    """Where the wanted tool does not fit, the most accurate that fits is taken."""
    wanted = make_tool(high=100.0)
    fair, good = make_tool(id="fair", accuracy=0.05), make_tool(id="good", accuracy=0.03)
    choice = choose(wanted, fair, good)

    assert (good, "wrench-25", ["tool-range"]) == (
        choice.tool,
        choice.instead_of,
        [fault.code for fault in choice.faults],
    )


def test_going_on_needs_leave_and_a_reason() -> None:
    """A tool that does not fit is used only where the owner allows it and a reason is given."""
    wrong = make_tool(high=100.0)
    tools = [
        choose(wrong, owner_allows=allows, reason=reason).tool
        for allows, reason in ((True, "only one here"), (True, "  "), (False, "only one here"))
    ]

    assert [wrong, None, None] == tools


def test_the_reason_is_kept_to_be_printed() -> None:
    """The reason for going on stands in the choice."""
    choice = choose(make_tool(high=100.0), owner_allows=True, reason=" only one here ")

    assert ("only one here", ["tool-range"]) == (choice.reason, [f.code for f in choice.faults])


@pytest.mark.parametrize(
    ("holds", "chamber", "allowed"),
    [(False, 5e5, True), (True, 0.0, True), (True, 1e4, True), (True, 1.01e4, False)],
)
def test_never_on_a_pressure_joint_above_the_owners_class(
    holds: bool, chamber: float, allowed: bool
) -> None:
    """Above the owner's class a joint that holds pressure is never closed with a misfit."""
    assert allowed == may_go_on(holds_pressure=holds, chamber_gauge=chamber, owner_class_gauge=1e4)


def test_a_tool_that_is_not_in_the_kit_is_refused() -> None:
    """A tool nobody has is refused with those there are."""
    with pytest.raises(BadInput, match=r"\[tool-not-in-kit\] tool: 'wrench-25' \(right: other\)"):
        choose(make_tool(id="other"))
