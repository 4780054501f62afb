"""The force balance closes, has the right signs, and agrees with the flow it is built on."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from springcase.errors import OutsideValidity
from springcase.gas.orifice import flow_function, opening_area, orifice_mass_flow
from springcase.regulator import force_balance as balance
from springcase.regulator.model import Action, FlowDirection, Regulator
from springcase.regulator.performance import held_gauge, inlet_effect, lock_up, settle
from unit.regulator.made_regulators import AIR, METHANE, make_place, make_regulator

CLOSE, OPEN = FlowDirection.TO_CLOSE, FlowDirection.TO_OPEN


def test_the_flow_shape_is_the_orifice_flow_function() -> None:
    """The loop's own flow function is that of the gas room, to nine digits, at every ratio."""
    ratios = np.linspace(0.0, 0.999, 2000)
    exponents = np.linspace(1.05, 1.7, 2000)

    shape, _ = balance.flow_shape(ratios, exponents)

    assert shape == pytest.approx(flow_function(ratios, exponents), rel=1e-9)


def test_the_slope_of_the_flow_shape_is_its_difference() -> None:
    """The slope is what a small step of the ratio makes, below and above the sonic point."""
    ratios = np.array([0.2, 0.5, 0.56, 0.7, 0.9, 0.99])
    step = 1e-7
    exponent = np.asarray(1.31)

    _, slope = balance.flow_shape(ratios, exponent)
    ahead, behind = (balance.flow_shape(ratios + way * step, exponent)[0] for way in (1, -1))

    assert slope == pytest.approx((ahead - behind) / (2 * step), rel=1e-5, abs=1e-7)


@pytest.mark.parametrize(
    ("action", "direction", "ratio"),
    list(itertools.product(Action, FlowDirection, (1.0, 3.0))),
)
def test_every_mix_closes_and_passes_its_flow(
    action: Action, direction: FlowDirection, ratio: float
) -> None:
    """At each solved point the forces close to 1e-9 and the valve passes exactly the flow."""
    regulator = make_regulator(action=action, flow_direction=direction, lever_ratio=ratio)
    reducing = action is Action.REDUCING
    other = np.linspace(2e5, 8e5, 300) if reducing else np.linspace(0.0, 2e3, 300)
    place = make_place(other)
    flows = np.linspace(1e-5, 0.004 if reducing else 1e-3, 300)
    terms = balance.make_terms(regulator, METHANE, place, force=120.0, mass_flow=flows)

    held = balance.solve_held(terms)
    left, _, lift = balance.balance(held, terms)
    inside = lift < balance.full_lift(regulator) * 0.999
    passed = orifice_mass_flow(
        area=opening_area(regulator.bore, lift[inside]),
        discharge=regulator.discharge,
        inlet_pressure_abs=np.maximum(held, place.other_abs)[inside],
        outlet_pressure_abs=np.minimum(held, place.other_abs)[inside],
        temperature=METHANE.temperature,
        molar_mass=METHANE.molar_mass,
        isentropic_exponent=METHANE.isentropic_exponent,
    )

    assert np.count_nonzero(inside) > 100
    assert np.max(np.abs(left[inside])) <= 1e-9 * 120.0
    assert passed == pytest.approx(flows[inside], rel=1e-9)


def effect(regulator: Regulator) -> float:
    """Return the change of the held pressure over 4 bar of inlet, valve shut."""
    place = make_place(4e5)
    setting = settle(regulator, METHANE, place, set_point_gauge=3000.0)
    low, high = 2e5 + AIR, 6e5 + AIR
    return float(inlet_effect(regulator, METHANE, setting, place, low_abs=low, high_abs=high))


@pytest.mark.parametrize(
    ("direction", "ratio", "sensing"),
    list(itertools.product(FlowDirection, (1.0, 3.0), ("internal", "external"))),
)
def test_the_inlet_moves_the_outlet_with_the_right_sign(
    direction: FlowDirection, ratio: float, sensing: str
) -> None:
    """The outlet rises with the inlet for flow-to-open and falls for flow-to-close, always."""
    regulator = make_regulator(flow_direction=direction, lever_ratio=ratio, sensing=sensing)
    sign = 1.0 if direction is OPEN else -1.0
    port = 78.540e-6 / ratio

    assert effect(regulator) == pytest.approx(sign * 4e5 * port / (0.020 - sign * -port), rel=1e-9)


@pytest.mark.parametrize("direction", list(FlowDirection))
def test_a_balanced_trim_feels_its_residual_area_only(direction: FlowDirection) -> None:
    """With a residual area of nothing the inlet moves nothing."""
    regulator = make_regulator(flow_direction=direction, plug_area=0.0)

    assert abs(effect(regulator)) < 1e-6


@pytest.mark.parametrize(("direction", "worst"), [(OPEN, "highest inlet"), (CLOSE, "lowest inlet")])
def test_lock_up_is_worst_where_the_inlet_helps_least(direction: FlowDirection, worst: str) -> None:
    """Lock-up is highest at the highest inlet for flow-to-open, at the lowest for the other."""
    regulator = make_regulator(flow_direction=direction, seat_load=1000.0)
    setting = settle(regulator, METHANE, make_place(), set_point_gauge=3000.0, mass_flow=1e-3)
    low, high = (lock_up(regulator, setting, make_place(inlet)) for inlet in (1e5, 6e5))

    assert worst == ("highest inlet" if high.held_gauge > low.held_gauge else "lowest inlet")
    assert (1e5, 6e5) == pytest.approx((low.other_gauge, high.other_gauge))


def test_more_flow_never_raises_the_outlet() -> None:
    """Without a boost the outlet of a reducer falls as the flow grows, up to full lift."""
    regulator = make_regulator(friction=2.0)
    setting = settle(regulator, METHANE, make_place(), set_point_gauge=3000.0)
    flows = np.linspace(0.0, 0.07, 2000)

    held = np.asarray(held_gauge(regulator, METHANE, setting, make_place(), mass_flow=flows))
    seen = held[np.isfinite(held)]

    assert np.all(np.diff(seen) < 1e-9)
    assert np.isnan(held[-1])


def test_units_are_solved_side_by_side() -> None:
    """Many units in one call give what each gives alone."""
    bores = np.array([0.006, 0.008, 0.010])
    areas = np.array([0.010, 0.020, 0.030])
    many = make_regulator(bore=bores, plug_area=np.pi / 4 * bores**2, effective_area=areas)
    terms = balance.make_terms(many, METHANE, make_place(), force=areas * 3000.0, mass_flow=5e-4)

    together = balance.solve_held(terms)
    alone = [
        balance.solve_held(
            balance.make_terms(
                make_regulator(bore=bore, plug_area=np.pi / 4 * bore**2, effective_area=area),
                METHANE,
                make_place(),
                force=area * 3000.0,
                mass_flow=5e-4,
            )
        ).item()
        for bore, area in zip(bores, areas, strict=True)
    ]

    assert alone == pytest.approx(together, rel=1e-12)


def test_a_port_larger_than_the_diaphragm_is_refused() -> None:
    """A flow-to-close valve whose port outweighs the diaphragm holds nothing and is refused."""
    regulator = make_regulator(flow_direction=CLOSE, effective_area=20e-6, lever_ratio=1.0)

    with pytest.raises(OutsideValidity, match="performance-diaphragm-small"):
        balance.make_terms(regulator, METHANE, make_place(), force=1.0, mass_flow=0.0)
