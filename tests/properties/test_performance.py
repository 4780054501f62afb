"""What must hold of the force balance for every regulator, gas and flow drawn."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from springcase.errors import OutsideValidity
from springcase.regulator import force_balance as balance
from springcase.regulator.bracket import bisect_increasing
from springcase.regulator.model import (
    Action,
    Attitude,
    ControlSpring,
    FlowDirection,
    GasState,
    Place,
    Regulator,
)
from springcase.regulator.performance import held_gauge, lock_up, settle

AIR = 101325.0
GASES = st.builds(
    GasState,
    molar_mass=st.floats(0.002, 0.06),
    isentropic_exponent=st.floats(1.05, 1.67),
    temperature=st.floats(250.0, 330.0),
    compressibility=st.floats(0.8, 1.1),
)


@st.composite
def regulators(draw: Any, action: Action = Action.REDUCING) -> Regulator:
    """Draw a regulator of a usual size, either flow direction, plain or balanced."""
    bore = draw(st.floats(0.004, 0.03))
    port = np.pi / 4 * bore * bore
    return Regulator(
        name="drawn",
        action=action,
        flow_direction=draw(st.sampled_from(FlowDirection)),
        bore=bore,
        travel=bore * draw(st.floats(0.1, 0.5)),
        plug_area=port * draw(st.sampled_from([0.0, 0.05, 1.0])),
        effective_area=draw(st.floats(0.005, 0.06)),
        area_change=draw(st.floats(0.0, 0.05)),
        control_spring=ControlSpring(
            name="drawn",
            rate=draw(st.floats(500.0, 1e5)),
            free_length=1.0,
            solid_length=0.0,
            shortest=0.0,
        ),
        lever_ratio=draw(st.floats(1.0, 6.0)),
        discharge=draw(st.floats(0.5, 0.95)),
        discharge_open=0.95,
        body_area=port * draw(st.floats(1.0, 20.0)),
        moving_mass=draw(st.floats(0.0, 3.0)),
        friction=draw(st.floats(0.0, 5.0)),
        seat_load=draw(st.floats(0.0, 2000.0)),
    )


@settings(max_examples=80, deadline=None)
@given(regulators(), GASES, st.floats(1.5e5, 40e5), st.floats(0.02, 0.8), st.floats(0.05, 0.9))
def test_the_solved_point_closes_and_is_that_of_halving(
    regulator: Regulator, gas: GasState, inlet_abs: float, held: float, part: float
) -> None:
    """The forces close to 1e-9, and halving the bracket finds the same root."""
    force = (held * (inlet_abs - AIR)) * regulator.effective_area
    full = float(balance.full_area(regulator) * balance.mass_flux(gas, inlet_abs, AIR))
    flows = part * full * np.linspace(0.0, 1.0, 25)
    place = Place(other_abs=inlet_abs)
    terms = balance.make_terms(regulator, gas, place, force=force, mass_flow=flows)

    found = balance.solve_held(terms)
    left, _, lift = balance.balance(found, terms)
    inside = np.isfinite(found) & (lift < terms.travel * (1 - 1e-6))
    low = np.full(25, 1e-6 * inlet_abs)
    slow = bisect_increasing(
        lambda p: balance.balance(p, terms)[0], low, np.full(25, inlet_abs), 60
    )

    assert np.all(np.abs(left[inside]) <= 1e-9 * max(force, 1.0))
    assert np.allclose(found[inside], slow[inside], rtol=1e-9)
    # Nothing is given up that some pressure would close.
    given_up = np.isnan(found)
    assert np.all(balance.balance(low, terms)[0][given_up] > 0.0)


def test_a_spring_too_stiff_to_open_passes_no_flow() -> None:
    """Where even a vacuum below the diaphragm would not open enough, no pressure is invented."""
    bore = 0.0234375
    stiff = ControlSpring(
        name="stiff", rate=72691.0, free_length=1.0, solid_length=0.0, shortest=0.0
    )
    regulator = Regulator(
        name="stiff",
        action=Action.REDUCING,
        flow_direction=FlowDirection.TO_OPEN,
        bore=bore,
        travel=bore / 2,
        plug_area=0.0,
        effective_area=0.005859375,
        control_spring=stiff,
        lever_ratio=6.0,
        discharge=0.5,
        discharge_open=0.95,
        body_area=0.0082,
    )
    gas = GasState(molar_mass=0.03125, isentropic_exponent=1.5, temperature=273.0)
    full = float(balance.full_area(regulator) * balance.mass_flux(gas, 150184.0, AIR))
    terms = balance.make_terms(
        regulator, gas, Place(other_abs=150184.0), force=143.1, mass_flow=0.5 * full
    )

    assert np.isnan(balance.solve_held(terms))


@settings(max_examples=60, deadline=None)
@given(regulators(), GASES, st.floats(2e5, 20e5), st.floats(0.05, 0.5))
def test_curve_and_lock_up_are_in_order(
    regulator: Regulator, gas: GasState, inlet_abs: float, share: float
) -> None:
    """The outlet falls with flow, rising lies under falling, and lock-up lies over both."""
    place = Place(other_abs=inlet_abs)
    set_point = share * (inlet_abs - AIR)
    full = float(balance.full_area(regulator) * balance.mass_flux(gas, inlet_abs, inlet_abs / 2))
    try:
        setting = settle(regulator, gas, place, set_point_gauge=set_point, mass_flow=0.02 * full)
    except OutsideValidity:
        assume(False)
        raise
    flows = np.linspace(0.0, 0.9 * full, 40)

    rising, falling = (
        np.asarray(held_gauge(regulator, gas, setting, place, mass_flow=flows, motion=motion))
        for motion in (balance.RISING, balance.FALLING)
    )
    both = np.isfinite(rising) & np.isfinite(falling)
    close = 1e-6 * set_point

    assert np.all(np.diff(rising[np.isfinite(rising)]) <= close)
    assert np.all(rising[both] <= falling[both] + close)
    assert lock_up(regulator, setting, place).held_gauge >= falling[0] - close


@settings(max_examples=60, deadline=None)
@given(regulators(), GASES, st.sampled_from(Attitude), st.sampled_from(Attitude))
def test_turning_there_and_back_changes_nothing(
    regulator: Regulator, gas: GasState, first: Attitude, second: Attitude
) -> None:
    """What an attitude takes, turning back gives: the shift is one and the same with its sign."""
    place = Place(other_abs=6e5, attitude=first)
    try:
        setting = settle(regulator, gas, place, set_point_gauge=2e4)
    except OutsideValidity:
        assume(False)
        raise
    there = replace(place, attitude=second)

    shift = float(lock_up(regulator, setting, there).held_gauge) - float(
        lock_up(regulator, setting, place).held_gauge
    )
    weight = regulator.moving_mass * 9.80665
    turned = {Attitude.UP: weight, Attitude.DOWN: -weight, Attitude.LEVEL: 0.0}
    area = regulator.effective_area - float(balance.port_term(regulator))

    assert np.isclose(shift, (turned[second] - turned[first]) / area, rtol=1e-6, atol=1e-6)
