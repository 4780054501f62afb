"""Gas flow: round trips, monotone curves, continuity and mass kept, for any duty."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from springcase.gas import orifice, relief, valve_flow
from springcase.gas.valve_fittings import Duty, Valve, solve_flow, solve_kv

RATIO = st.floats(0.0, 0.9999)
EXPONENT = st.floats(1.02, 1.9)


@st.composite
def duties(draw: st.DrawFn) -> dict[str, Any]:
    """Draw a gas between two pressures."""
    inlet = 10 ** draw(st.floats(4.0, 7.5))
    return {
        "inlet_pressure_abs": inlet,
        "outlet_pressure_abs": inlet * draw(RATIO),
        "temperature": draw(st.floats(200, 500)),
        "molar_mass": draw(st.floats(0.002, 0.1)),
        "isentropic_exponent": draw(EXPONENT),
        "compressibility": draw(st.floats(0.3, 1.5)),
    }


@given(duties(), st.floats(-8, 3), st.floats(0.05, 1.0))
def test_kv_and_flow_are_inverse(duty: dict[str, Any], power: float, xt: float) -> None:
    """The flow of the Kv of a flow is that flow to 1e-12, and Y is never below two thirds."""
    flow = 10**power
    kv = valve_flow.valve_kv(flow_base=flow, xt=xt, **duty)
    solved = solve_flow(Duty(**duty), Valve(xt=xt), kv)

    assert valve_flow.valve_flow(kv=kv, xt=xt, **duty) == pytest.approx(flow, rel=1e-12)
    assert solved.flow_base == pytest.approx(flow, rel=1e-12)
    assert 2 / 3 - 1e-12 <= float(solved.expansion_factor) <= 1.0


@settings(max_examples=60)
@given(duties(), st.floats(0.001, 0.04), st.floats(1.0, 3.0), st.floats(1.0, 3.0))
@pytest.mark.parametrize("edition", valve_flow.EDITIONS)
def test_reducers_are_inverse_too(
    edition: str, duty: dict[str, Any], share: float, before: float, behind: float
) -> None:
    """Between any reducers the Kv of the flow of a Kv is that Kv."""
    kv = share * 2500.0
    valve = Valve(
        xt=0.7, diameter=0.05, inlet_pipe=0.05 * before, outlet_pipe=0.05 * behind, edition=edition
    )
    forward = solve_flow(Duty(**duty), valve, kv)
    back = solve_kv(Duty(**duty), valve, forward.flow_base)

    assert solve_flow(Duty(**duty), valve, back.kv).flow_base == pytest.approx(
        forward.flow_base, rel=1e-9
    )
    assert float(back.kv) <= kv * (1 + 1e-9)


@given(duties(), st.floats(0.05, 1.0))
def test_more_drop_never_passes_less(duty: dict[str, Any], xt: float) -> None:
    """As the outlet pressure falls from the inlet's to nothing, no flow falls, and none jumps."""
    outlets = duty["inlet_pressure_abs"] * np.linspace(1.0, 0.0, 2001)
    falling = duty | {"outlet_pressure_abs": outlets}
    curves = (
        valve_flow.valve_flow(kv=10.0, xt=xt, **falling),
        orifice.orifice_mass_flow(area=1e-4, discharge=0.8, **falling),
    )

    for curve in map(np.asarray, curves):
        steps = np.diff(curve) / curve[-1]

        assert 0.0 == curve[0]
        assert np.min(steps) >= -1e-14
        # After the steep start no step of 1/2000 of the pressure is over 2 % of the whole.
        assert np.max(steps[20:]) < 0.02


@given(duties())
def test_energy_and_mass_close_at_the_throat(duty: dict[str, Any]) -> None:
    """Velocity from enthalpy x density x area at the throat is the mass flow of the nozzle."""
    kappa = duty["isentropic_exponent"]
    assume(kappa > 1.03)
    critical = float(orifice.critical_pressure_ratio(kappa))
    ratio = max(duty["outlet_pressure_abs"] / duty["inlet_pressure_abs"], critical)
    assume(ratio < 0.999)
    specific = 8.31446261815324 * duty["compressibility"] / duty["molar_mass"]
    throat = duty["temperature"] * ratio ** ((kappa - 1) / kappa)
    heat = kappa / (kappa - 1) * specific
    velocity = np.sqrt(2 * heat * (duty["temperature"] - throat))
    density = duty["inlet_pressure_abs"] * ratio / (specific * throat)

    assert orifice.orifice_mass_flow(area=1e-4, discharge=1.0, **duty) == pytest.approx(
        density * velocity * 1e-4, rel=1e-9
    )


@given(EXPONENT, st.floats(-12, -3))
def test_the_choke_point_is_continuous(kappa: float, power: float) -> None:
    """A step either side of the critical ratio changes the flow by its square at most."""
    step = 10**power
    ratio = np.asarray(orifice.critical_pressure_ratio(kappa))
    below, at, above = orifice.flow_function(
        ratio * np.array([1 - step, 1.0, 1 + step]), np.asarray(kappa)
    )

    assert at == pytest.approx(below, rel=1e-12)
    assert above <= at * (1 + 1e-14)
    assert at - above <= 2.0 * step**2 + 1e-12


@given(duties(), st.floats(0.1, 10.0), st.floats(1.01, 2.0))
def test_more_relief_needs_more_area(duty: dict[str, Any], flow: float, more: float) -> None:
    """Area is proportional to flow, and its capacity is the flow."""
    given_ = dict(duty)
    given_["relieving_pressure_abs"] = given_.pop("inlet_pressure_abs")
    given_["back_pressure_abs"] = given_.pop("outlet_pressure_abs")
    area = float(relief.relief_area(flow, **given_))

    assert float(relief.relief_area(more * flow, **given_)) == pytest.approx(more * area)
    assert relief.relief_capacity(area, **given_) == pytest.approx(flow, rel=1e-12)


@given(st.floats(1e-4, 0.3), st.floats(0.0, 0.2))
def test_the_opening_is_never_more_than_the_bore(diameter: float, lift: float) -> None:
    """The opening is the smaller of curtain and bore, and grows with the lift."""
    opening = float(orifice.opening_area(diameter, lift))

    assert opening <= float(orifice.bore_area(diameter)) * (1 + 1e-15)
    assert opening <= float(orifice.curtain_area(diameter, lift)) * (1 + 1e-15)
    assert opening <= float(orifice.opening_area(diameter, lift * 1.1)) * (1 + 1e-15)
