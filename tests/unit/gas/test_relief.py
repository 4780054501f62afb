"""API 520 gas sizing beside the reference library, its inverse, and what is refused."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from fluids.safety_valve import API520_A_g

from springcase.errors import OutsideValidity, UnknownName
from springcase.gas import isentropic, orifice, relief
from springcase.standards.relief import (
    back_pressure_curve,
    choose_orifice,
    relief_factor,
    standard_orifice,
    standard_orifices,
)

COUNT = 3000


def random_duties() -> dict[str, Any]:
    """Return random relief duties, critical and subcritical."""
    draw = np.random.default_rng(520)
    inlet = 10 ** draw.uniform(5.1, 7.5, COUNT)
    return {
        "relieving_pressure_abs": inlet,
        "back_pressure_abs": inlet * draw.uniform(0.01, 0.99, COUNT),
        "temperature": draw.uniform(250, 500, COUNT),
        "molar_mass": draw.uniform(0.002, 0.06, COUNT),
        "isentropic_exponent": draw.uniform(1.02, 1.67, COUNT),
        "compressibility": draw.uniform(0.5, 1.2, COUNT),
        "discharge": draw.uniform(0.6, 0.975, COUNT),
        "combination_factor": draw.uniform(0.9, 1.0, COUNT),
    }


def test_three_thousand_random_duties_agree_with_the_library() -> None:
    """Every area is the reference library's, critical and subcritical."""
    duties = random_duties()
    ours = np.asarray(relief.relief_area(5.0, **duties))
    columns = zip(*(duties[key].tolist() for key in duties), strict=True)
    theirs = [
        API520_A_g(m=5.0, T=t, Z=z, MW=1e3 * mass, k=k, P1=p1, P2=p2, Kd=kd, Kc=kc)
        for p1, p2, t, mass, k, z, kd, kc in columns
    ]
    critical = relief.relief_is_critical(
        relieving_pressure_abs=duties["relieving_pressure_abs"],
        back_pressure_abs=duties["back_pressure_abs"],
        isentropic_exponent=duties["isentropic_exponent"],
    )

    assert np.max(np.abs(ours / theirs - 1.0)) < 1e-10
    assert 500 < critical.sum() < COUNT - 500


def test_capacity_is_the_inverse_of_area() -> None:
    """The capacity of the area of a flow is that flow."""
    duties = random_duties()
    area = relief.relief_area(5.0, **duties)

    assert np.asarray(relief.relief_capacity(area, **duties)) == pytest.approx(5.0, rel=1e-13)


def test_the_two_equations_meet_within_their_rounding() -> None:
    """At the critical ratio critical and subcritical differ by 0.06 %, as their constants do."""
    given = {"relieving_pressure_abs": 7e5, "temperature": 300.0, "molar_mass": 0.02}
    critical = 7e5 * float(orifice.critical_pressure_ratio(1.3))
    below, above = (
        relief.relief_capacity(
            1e-3, back_pressure_abs=critical * share, isentropic_exponent=1.3, **given
        )
        for share in (1 - 1e-9, 1 + 1e-9)
    )

    assert below == pytest.approx(above, rel=7e-4)


def test_relief_agrees_with_the_nozzle() -> None:
    """With its coefficient the device passes what a nozzle of that area does, within 0.06 %."""
    pressures = np.linspace(1e5, 6.9e5, 60)
    gas = {"temperature": 300.0, "molar_mass": 0.02, "isentropic_exponent": 1.3}
    device = relief.relief_capacity(
        1e-3, relieving_pressure_abs=7e5, back_pressure_abs=pressures, discharge=0.9, **gas
    )
    nozzle = orifice.orifice_mass_flow(
        area=1e-3, discharge=0.9, inlet_pressure_abs=7e5, outlet_pressure_abs=pressures, **gas
    )

    assert np.asarray(device) == pytest.approx(np.asarray(nozzle), rel=7e-4)


def test_a_balanced_valve_keeps_the_critical_equation() -> None:
    """A balanced valve is reckoned critical with Kb at any back pressure."""
    given: dict[str, Any] = {"relieving_pressure_abs": 7e5, "back_pressure_abs": 5e5}
    given |= {"temperature": 300.0, "molar_mass": 0.02, "isentropic_exponent": 1.3}
    free = relief.relief_capacity(1e-3, **given | {"back_pressure_abs": 1e5})
    balanced = relief.relief_capacity(1e-3, **given, is_balanced=True, back_pressure_factor=0.8)

    assert 0.8 * float(free) == pytest.approx(balanced)


def test_kb_is_one_and_then_falls() -> None:
    """Kb is 1 up to the curve, and never rises along it, at each overpressure."""
    shares = np.linspace(0.0, 0.5, 101)

    for overpressure in (0.10, 0.16, 0.21):
        found = np.asarray(
            relief.back_pressure_factor(
                set_pressure_gauge=1e6, back_pressure_gauge=1e6 * shares, overpressure=overpressure
            )
        )

        assert 1.0 == found[0]
        assert np.all(np.diff(found) <= 0.0)


def test_the_smallest_orifice_that_is_enough_is_chosen() -> None:
    """Each standard area chooses itself, a trace more the next, and letters are read."""
    every = standard_orifices()
    chosen = [choose_orifice(one.area).letter for one in every]
    more = [choose_orifice(one.area * 1.001).letter for one in every[:-1]]

    assert [one.letter for one in every] == chosen
    assert chosen[1:] == more
    assert standard_orifice("t").area == every[-1].area


def test_a_sonic_throat_is_colder() -> None:
    """At Mach 1 pressure ratio is the critical one, and the temperature that of the throat."""
    sonic = isentropic.isentropic_ratios(1.0, 1.31)

    assert sonic.pressure == pytest.approx(orifice.critical_pressure_ratio(1.31))
    assert 288.15 * float(sonic.temperature) == pytest.approx(
        isentropic.throat_temperature(288.15, 1.31)
    )


def test_what_cannot_be_is_refused() -> None:
    """Back pressure too high, no such letter, units, area, overpressure, factor or share."""
    given: dict[str, Any] = {"temperature": 300.0, "molar_mass": 0.02, "isentropic_exponent": 1.3}

    with pytest.raises(OutsideValidity, match="flow-outlet-above-inlet"):
        relief.relief_area(1.0, relieving_pressure_abs=7e5, back_pressure_abs=8e5, **given)
    with pytest.raises(OutsideValidity, match="back_pressure_abs"):
        relief.relief_area(1.0, relieving_pressure_abs=7e5, back_pressure_abs=7e5, **given)
    with pytest.raises(OutsideValidity, match="isentropic_exponent"):
        relief.relief_coefficient(0.995)
    with pytest.raises(OutsideValidity, match="isentropic_exponent"):
        relief.relief_area(
            1.0,
            relieving_pressure_abs=7e5,
            back_pressure_abs=6e5,
            **given | {"isentropic_exponent": 1.0},
        )
    with pytest.raises(UnknownName, match="units"):
        relief.relief_coefficient(1.3, "cgs")
    with pytest.raises(UnknownName, match="designation"):
        standard_orifice("S")
    with pytest.raises(UnknownName, match="relief factor"):
        relief_factor("none such")
    with pytest.raises(OutsideValidity, match="relief-area-too-large"):
        choose_orifice(1.0)
    with pytest.raises(OutsideValidity, match="relief-overpressure"):
        back_pressure_curve(0.15)
    with pytest.raises(OutsideValidity, match="back_pressure_gauge"):
        relief.back_pressure_factor(set_pressure_gauge=1e6, back_pressure_gauge=6e5)
