"""The lever and what moves a set point: every sign, and what is refused."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest

from springcase.errors import SpringcaseError
from springcase.regulator import lever
from springcase.regulator.model import Attitude
from springcase.wording import explain

ORIFICE, AREA, RATIO = math.pi / 4 * 0.010**2, 0.020, 3.0


def test_the_ratio_is_that_of_the_arms() -> None:
    """Diaphragm arm over valve arm is the lever ratio."""
    assert math.isclose(3.0, float(lever.lever_ratio(0.060, 0.020)))


@pytest.mark.parametrize(
    ("direction", "balance", "sign"),
    [
        ("flow-to-open", 0.0, 1),
        ("flow-to-close", 0.0, -1),
        ("flow-to-open", 0.009, 1),
        ("flow-to-close", 0.009, -1),
        ("flow-to-open", 0.011, -1),
        ("flow-to-close", 0.011, 1),
        ("flow-to-open", 0.010, 0),
        ("flow-to-close", 0.010, 0),
    ],
)
@pytest.mark.parametrize("ratio", [1.0, 3.0])
def test_the_sign_of_the_inlet_effect(
    direction: str, balance: float, sign: int, ratio: float
) -> None:
    """The set rises with the inlet for flow-to-open, falls for flow-to-close, or turns round."""
    area = lever.unbalanced_area(0.010, balance)
    effect = float(lever.inlet_effect(direction, area, AREA, ratio))

    assert sign == np.sign(effect)


@pytest.mark.parametrize("ratio", [1.0, 3.0])
@pytest.mark.parametrize(("direction", "sign"), [("flow-to-open", 1.0), ("flow-to-close", -1.0)])
def test_the_inlet_effect_solves_the_balance(direction: str, sign: float, ratio: float) -> None:
    """The shift keeps closing force and the forces on the disc in balance with the spring."""

    def outlet(inlet: float) -> float:
        # P2 Ae R + s (P2 - P1) Ao = F: the disc sees the difference, which opens or shuts it.
        return (1e3 * ratio + sign * inlet * ORIFICE) / (AREA * ratio + sign * ORIFICE)

    by_hand = (outlet(5e5) - outlet(1e5)) / 4e5

    assert math.isclose(by_hand, float(lever.inlet_effect(direction, ORIFICE, AREA, ratio)))


def test_the_weight_has_the_sign_of_the_attitude() -> None:
    """Weight raises the set with the spring case up, lowers it down, and does nothing aside."""
    up, down, level = (float(lever.weight_shift_diff(0.5, AREA, at)) for at in Attitude)

    assert (True, 0.0, True) == (up > 0, level, down == -up)


def test_a_unit_set_upright_and_fitted_inverted_sets_low() -> None:
    """From the bench, case up, to a place with the case down the set falls by twice the weight."""
    shift = float(lever.attitude_shift_diff(0.5, AREA, Attitude.UP, Attitude.DOWN))

    assert math.isclose(-2 * 0.5 * 9.80665 / AREA, shift)
    assert 0.0 == lever.attitude_shift_diff(0.5, AREA, "level", "level")


def test_spring_case_pressure_comes_one_for_one() -> None:
    """A pressure in the spring case moves the set by itself, a vacuum too."""
    assert (250.0, -40.0) == (
        lever.spring_case_shift_diff(250.0),
        lever.spring_case_shift_diff(-40.0),
    )


def test_seat_load_goes_with_the_edge() -> None:
    """The seat load is the load per length times the round edge."""
    assert math.isclose(math.pi * 0.010 * 650.0, float(lever.seat_load(650.0, 0.010)))


@pytest.mark.parametrize(
    ("action", "sentence"),
    [
        (
            lambda: lever.inlet_effect("flow-to-close", 0.02, 0.01, 1.5),
            "unbalanced area 0.02 lets the inlet overpower the diaphragm; right would be less "
            "than effective area times lever ratio, 0.015 m2.",
        ),
        (
            lambda: lever.inlet_effect("sideways", ORIFICE, AREA),
            'flow direction "sideways" is not known; the nearest known are flow-to-open, '
            "flow-to-close.",
        ),
        (
            lambda: lever.weight_shift_diff(0.5, AREA, "askew"),
            'attitude "askew" is not known; the nearest known are spring-case-up, '
            "spring-case-down, level.",
        ),
        (
            lambda: lever.valve_force(10.0, 0.0),
            'lever ratio "0" is outside what the formula is stated for; right would be more than '
            "zero.",
        ),
        (
            lambda: lever.spring_case_shift_diff(math.nan),
            'pressure in the spring case "nan" is not a number to reckon with; give a finite '
            "number.",
        ),
        (
            lambda: lever.full_lift(0.025, math.pi / 2),
            "seat angle 1.5707963267948966 cannot be used; right would be from 0 to below 90 "
            "degrees.",
        ),
    ],
)
def test_it_refuses_in_one_sentence(action: Callable[[], object], sentence: str) -> None:
    """Each unusable input is refused in one sentence."""
    with pytest.raises(SpringcaseError, match=r"^\[") as caught:
        action()

    assert sentence == explain(caught.value)
