"""The spring under its screw: set range, a turn, and the verdict on the spring inside."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from springcase.errors import SpringcaseError
from springcase.regulator import lever, setting
from springcase.regulator.setting import SpringIdentity
from springcase.units import INCH, POUND_FORCE, PSI
from springcase.wording import explain

V5: dict[str, Any] = {
    "measured_pressure_per_turn_diff": 1.35 * PSI,
    "pitch": INCH / 12,
    "effective_area": 46 * INCH * INCH,
    "carded_rate": 480 * POUND_FORCE / INCH,
}
RANGE: dict[str, Any] = {
    "rate": 5e3,
    "free_length": 0.060,
    "solid_length": 0.020,
    "screw_travel": 0.030,
    "screw_pitch": 0.002,
    "effective_area": 0.02,
}


def refusal(action: Callable[[], object]) -> str:
    """Return the sentence an action is refused with."""
    with pytest.raises(SpringcaseError, match=r"^\[") as caught:
        action()
    return explain(caught.value)


def test_the_spring_of_field_case_v5_is_wrong() -> None:
    """1.35 psi a turn is 745 lbf/in against 480 carded: the wrong spring, 55 per cent stiffer."""
    seen = setting.identify_spring(**V5)
    droops = [
        float(lever.droop_diff(rate, INCH / 4, V5["effective_area"])) / PSI
        for rate in (seen.rate, seen.carded_rate)
    ]

    assert SpringIdentity.WRONG is seen.verdict
    assert [745, 55] == [round(seen.rate * INCH / POUND_FORCE), round(100 * seen.ratio - 100)]
    assert [4.05, 2.61] == [round(droop, 2) for droop in droops]


@pytest.mark.parametrize(
    ("psi", "uncertainty", "verdict"),
    [
        (0.8696, 0.05, SpringIdentity.CARDED),
        (0.91, 0.05, SpringIdentity.CARDED),
        (0.95, 0.05, SpringIdentity.INCONCLUSIVE),
        (1.02, 0.05, SpringIdentity.WRONG),
        (0.70, 0.05, SpringIdentity.WRONG),
        (1.02, 0.20, SpringIdentity.INCONCLUSIVE),
        (0.8696, 0.20, SpringIdentity.INCONCLUSIVE),
        (0.8696, 0.0, SpringIdentity.CARDED),
    ],
)
def test_the_verdict_respects_the_uncertainty(
    psi: float, uncertainty: float, verdict: SpringIdentity
) -> None:
    """Only a band wholly within the card's is carded, and only one wholly outside it is wrong."""
    asked = V5 | {"measured_pressure_per_turn_diff": psi * PSI, "uncertainty": uncertainty}

    assert verdict is setting.identify_spring(**asked).verdict


def test_a_set_range_runs_from_screw_out_to_screw_in() -> None:
    """The range is rate times travel over area, a turn its share, and what is left is said."""
    reach = setting.set_range(**RANGE)

    assert (0.0, 7500.0) == (reach.low_diff, round(reach.high_diff, 6))
    assert (15.0, 500.0) == (round(reach.turns, 9), round(reach.per_turn_diff, 6))
    assert math.isclose(0.010, reach.left_before_solid)


def test_a_spring_fitted_pressed_in_has_a_least_set_point() -> None:
    """A spring with less room than its free length sets a pressure with the screw out."""
    reach = setting.set_range(**(RANGE | {"fitted_length": 0.055, "screw_travel": 0.02}))

    assert [1250.0, 6250.0] == [round(reach.low_diff, 6), round(reach.high_diff, 6)]


def test_a_linkage_lessens_a_turn() -> None:
    """With a ratio of 2 a turn moves half the pressure, and gives the same rate."""
    plain = float(setting.pressure_per_turn_diff(5e3, 0.002, 0.02))
    linked = float(setting.pressure_per_turn_diff(5e3, 0.002, 0.02, 2.0))

    assert math.isclose(plain, 2 * linked)
    assert math.isclose(5e3, float(setting.rate_from_turn(linked, 0.002, 0.02, 2.0)))


def test_turns_reach_the_change_asked() -> None:
    """The turns for a change times the pressure of a turn are that change, either way."""
    turns = float(setting.screw_turns(-1250.0, 5e3, 0.002, 0.02))

    assert math.isclose(-2.5, turns)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (
            {"screw_travel": 0.0},
            'screw travel "0" is outside what the formula is stated for; right would be more than '
            "zero.",
        ),
        (
            {"screw_travel": 0.041},
            'spring length "19 mm" leaves the coils touching (coil-bound); right would be more '
            "than the solid length, 20 mm.",
        ),
        (
            {"fitted_length": 0.1},
            "screw travel 0.03 leaves the spring loose; right would be more than the gap before "
            "the spring, 0.04 m.",
        ),
        (
            {"effective_area": math.nan},
            'effective area "nan" is not a number to reckon with; give a finite number.',
        ),
        (
            {"free_length": 0.02},
            'free length "20 mm" leaves the coils touching (coil-bound); right would be more '
            "than the solid length, 20 mm.",
        ),
    ],
)
def test_a_set_range_is_refused_in_one_sentence(change: dict[str, float], sentence: str) -> None:
    """Zero travel, a coil-bound or loose spring and NaN are each refused in one sentence."""
    assert sentence == refusal(lambda: setting.set_range(**(RANGE | change)))


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (
            {"measured_pressure_per_turn_diff": 0.0},
            'pressure per turn "0" is outside what the formula is stated for; right would be more '
            "than zero.",
        ),
        (
            {"uncertainty": 1.0},
            "uncertainty 1 is no usable share; right would be from 0 to below 1 (100 %).",
        ),
    ],
)
def test_an_identity_is_refused_in_one_sentence(change: dict[str, float], sentence: str) -> None:
    """A turn that moves nothing and an uncertainty of all are refused in one sentence."""
    assert sentence == refusal(lambda: setting.identify_spring(**(V5 | change)))
