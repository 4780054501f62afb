"""Set point, droop, lock-up, hysteresis, wide open, attitude, relief and the two-stage unit."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from springcase.errors import OutsideValidity
from springcase.gas.orifice import bore_area, orifice_mass_flow
from springcase.regulator.model import (
    Action,
    Attitude,
    FlowDirection,
    InternalRelief,
)
from springcase.regulator.performance import (
    attitude_shift,
    held_gauge,
    inlet_effect,
    least_inlet,
    lock_up,
    make_curve,
    relief_flow,
    relief_starts_gauge,
    settle,
    wide_open_flow,
)
from unit.regulator.made_regulators import (
    AIR,
    METHANE,
    make_piloted,
    make_place,
    make_regulator,
)

RELIEF = InternalRelief(
    spring_rate=1020.0,
    spring_force=25.0,
    seat_diameter=0.030,
    travel=0.004,
    vent_bore=0.020,
    discharge=0.6,
)


def test_the_set_point_is_held_where_it_was_set() -> None:
    """At the flow and place it was set, friction aside, a unit holds its set point."""
    regulator = make_regulator(friction=3.0)
    setting = settle(regulator, METHANE, make_place(), set_point_gauge=3000.0, mass_flow=1e-3)

    held = held_gauge(regulator, METHANE, setting, make_place(), mass_flow=1e-3)

    assert held == pytest.approx(3000.0, abs=1e-6)


def test_friction_makes_the_hysteresis_band() -> None:
    """The band between rising and falling flow is twice the friction over the area that acts."""
    regulator = make_regulator(friction=2.0, plug_area=0.0, travel=0.0025)
    setting = settle(regulator, METHANE, make_place(), set_point_gauge=3000.0, mass_flow=1e-3)

    curve = make_curve(regulator, METHANE, setting, make_place(), np.linspace(0.0, 2e-3, 50))

    assert curve.hysteresis == pytest.approx(2 * 2.0 / 0.020, rel=2e-3)
    assert np.all(curve.falling_gauge > curve.rising_gauge)


def test_lock_up_is_above_the_falling_curve() -> None:
    """A reducer locks up above what it holds as the flow dies away, by its seat load."""
    regulator = make_regulator(friction=2.0, seat_load=1000.0, plug_area=0.0)
    setting = settle(regulator, METHANE, make_place(), set_point_gauge=3000.0)

    dying = held_gauge(regulator, METHANE, setting, make_place(), mass_flow=0.0, motion=-1.0)
    rise = lock_up(regulator, setting, make_place()).held_gauge - dying

    assert rise == pytest.approx(1000.0 * np.pi * 0.010 / 3.0 / 0.020)


def test_a_back_pressure_regulator_closes_below_its_set_point() -> None:
    """A back-pressure regulator opens above its set point with flow and is tight below it."""
    regulator = make_regulator(
        action=Action.BACK_PRESSURE, lever_ratio=1.0, seat_load=300.0, friction=1.0
    )
    place = make_place(0.0)
    setting = settle(regulator, METHANE, place, set_point_gauge=9000.0)
    flows = np.linspace(0.0, 1e-3, 30)

    held = np.asarray(held_gauge(regulator, METHANE, setting, place, mass_flow=flows))

    assert np.all(np.diff(held) > 0.0)
    assert lock_up(regulator, setting, place).held_gauge < 9000.0


def test_turning_the_spring_case_down_lowers_the_set_point() -> None:
    """Set upright and fitted upside down, a reducer holds less by twice the weight over area."""
    regulator = make_regulator(moving_mass=0.5, plug_area=0.0)
    upright = make_place()
    setting = settle(regulator, METHANE, upright, set_point_gauge=3000.0)

    shifts = [
        attitude_shift(regulator, METHANE, setting, replace(upright, attitude=attitude))
        for attitude in (Attitude.DOWN, Attitude.LEVEL, Attitude.UP)
    ]

    assert shifts == pytest.approx([-490.33, -245.17, 0.0], abs=0.01)


def test_spring_case_pressure_shifts_the_set_point_one_for_one() -> None:
    """Pressure in the spring case raises what a balanced unit holds by just as much."""
    regulator = make_regulator(plug_area=0.0)
    setting = settle(regulator, METHANE, make_place(), set_point_gauge=3000.0)
    pressed = make_place(spring_case_gauge=250.0)

    assert attitude_shift(regulator, METHANE, setting, pressed) == pytest.approx(250.0)


def test_a_boost_tube_holds_the_outlet_up() -> None:
    """The more the sensing tube is short of the outlet pressure, the less the droop."""
    place = make_place()
    held = []
    for boost in (0.0, 0.5, 1.0):
        regulator = make_regulator(boost=boost, outlet_bore=0.012)
        setting = settle(regulator, METHANE, place, set_point_gauge=3000.0)
        held.append(held_gauge(regulator, METHANE, setting, place, mass_flow=3e-3))

    assert sorted(held) == held
    assert held[2] - held[0] > 100.0


def test_wide_open_is_the_bore_at_the_failed_open_coefficient() -> None:
    """Failed open, a valve that lifts a quarter bore passes what its bore passes."""
    regulator = make_regulator()

    flow = wide_open_flow(regulator, METHANE, inlet_abs=8e5, outlet_abs=1.1e5)
    bore = orifice_mass_flow(
        area=bore_area(0.010),
        discharge=0.85,
        inlet_pressure_abs=8e5,
        outlet_pressure_abs=1.1e5,
        temperature=METHANE.temperature,
        molar_mass=METHANE.molar_mass,
        isentropic_exponent=METHANE.isentropic_exponent,
    )

    assert flow == pytest.approx(bore, rel=1e-9)


def test_the_least_inlet_just_carries_the_flow() -> None:
    """At the least inlet the outlet is just what was asked, and a little below it is not."""
    regulator = make_regulator()
    setting = settle(regulator, METHANE, make_place(), set_point_gauge=3000.0, mass_flow=5e-4)
    asked = {"mass_flow": 2e-3, "least_held_gauge": 2500.0}

    least = least_inlet(regulator, METHANE, setting, make_place(), **asked)
    at, below = (
        held_gauge(regulator, METHANE, setting, make_place(inlet - AIR), mass_flow=2e-3)
        for inlet in (least * (1 + 1e-9), least * 0.999)
    )

    assert at >= 2500.0 - 1e-3
    assert not below >= 2500.0


def test_the_internal_relief_opens_above_lock_up_and_passes_more_with_pressure() -> None:
    """The internal relief passes nothing below its start and more the higher the outlet."""
    regulator = make_regulator(relief=RELIEF)
    setting = settle(regulator, METHANE, make_place(), set_point_gauge=3000.0)
    start = relief_starts_gauge(regulator, setting, make_place())
    outlets = np.array([start - 1.0, start + 500.0, start + 1000.0, start + 50_000.0])

    flows = np.asarray(relief_flow(regulator, METHANE, setting, make_place(), outlet_gauge=outlets))

    assert 0.0 == flows[0]
    assert np.all(np.diff(flows) > 0.0)


def test_a_unit_without_relief_has_no_relief_flow() -> None:
    """Asking the relief of a unit that has none is refused."""
    setting = settle(make_regulator(), METHANE, make_place(), set_point_gauge=3000.0)

    with pytest.raises(OutsideValidity, match="performance-no-relief"):
        relief_starts_gauge(make_regulator(), setting, make_place())


@pytest.mark.parametrize(
    ("set_point", "flow", "code"),
    [
        (-10.0, 0.0, "performance-set-point"),
        (5e5, 0.0, "performance-no-drop-reducing"),
        (3000.0, 1.0, "performance-flow-too-large"),
        (100.0, 0.0, "performance-spring-pulls"),
    ],
)
def test_a_setting_that_cannot_be_made_is_refused(set_point: float, flow: float, code: str) -> None:
    """A set point or a flow that the unit cannot be set at is refused by name."""
    with pytest.raises(OutsideValidity, match=code):
        settle(make_regulator(), METHANE, make_place(), set_point_gauge=set_point, mass_flow=flow)


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"travel": 0.0}, "performance-size"),
        ({"bore": float("nan")}, "performance-size"),
        ({"effective_area": -0.02}, "performance-size"),
        ({"body_area": 1e-6}, "performance-bore-over-body"),
    ],
)
def test_a_regulator_no_such_thing_can_be_is_refused(changes: dict[str, float], code: str) -> None:
    """A valve without travel, a size that is no number or an orifice over its body is refused."""
    with pytest.raises(OutsideValidity, match=code):
        settle(make_regulator(**changes), METHANE, make_place(), set_point_gauge=3000.0)


@pytest.mark.parametrize(
    ("inlet", "flow", "code"),
    [
        (float("nan"), 0.0, "performance-other-side"),
        (float("inf"), 0.0, "performance-other-side"),
        (-2e5, 0.0, "performance-other-side"),
        (4e5, -1e-3, "performance-flow-negative"),
        (4e5, float("nan"), "performance-flow-negative"),
    ],
)
def test_a_place_or_flow_that_cannot_be_is_refused(inlet: float, flow: float, code: str) -> None:
    """A negative absolute pressure, a negative flow, NaN and infinity are refused by name."""
    setting = settle(make_regulator(), METHANE, make_place(), set_point_gauge=3000.0)

    with pytest.raises(OutsideValidity, match=code):
        held_gauge(make_regulator(), METHANE, setting, make_place(inlet), mass_flow=flow)


def test_two_stages_hold_within_one_per_cent() -> None:
    """A pilot holds the outlet within one per cent over its range, and locks up above it."""
    regulator = make_piloted()
    place = make_place(8e5)
    setting = settle(regulator, METHANE, place, set_point_gauge=2e5, mass_flow=0.05)
    flows = np.linspace(0.0, 0.4, 60)

    held = np.asarray(held_gauge(regulator, METHANE, setting, place, mass_flow=flows))

    assert held_gauge(regulator, METHANE, setting, place, mass_flow=0.05) == pytest.approx(2e5)
    assert held == pytest.approx(np.full(60, 2e5), rel=0.01)
    assert lock_up(regulator, setting, place).held_gauge > held[0]


def test_a_pilot_without_difference_of_pressure_cannot_lift_its_main_valve() -> None:
    """Close to its outlet pressure the inlet no longer loads the main valve: the outlet falls."""
    regulator = make_piloted()
    setting = settle(regulator, METHANE, make_place(8e5), set_point_gauge=2e5, mass_flow=0.05)
    asked = {"mass_flow": 0.05}

    near = held_gauge(regulator, METHANE, setting, make_place(2.05e5), **asked)

    assert near < 2e5 - 5e3


def test_a_pilot_feels_its_inlet_by_its_own_orifice() -> None:
    """The inlet effect of a two-stage unit is that of the pilot orifice and of less bleed lift."""
    regulator = make_piloted()
    place = make_place(8e5)
    setting = settle(regulator, METHANE, place, set_point_gauge=2e5)
    port = np.pi / 4 * 0.004**2

    found = inlet_effect(regulator, METHANE, setting, place, low_abs=4e5 + AIR, high_abs=8e5 + AIR)

    assert found == pytest.approx(-4e5 * port / (0.0025 - port), rel=1e-6)
    assert FlowDirection.TO_CLOSE is regulator.flow_direction
