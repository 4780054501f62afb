"""Pipes and restrictions in series, beside the reference library on random cases."""

from __future__ import annotations

import warnings
from typing import Any

import numpy as np
import pytest
from fluids.compressible import P_isothermal_critical_flow, Panhandle_A, Weymouth, isothermal_gas
from fluids.friction import Colebrook, Haaland, Swamee_Jain_1976

from springcase.errors import OutsideValidity, UnknownName
from springcase.gas import bracketing, orifice, pipe, pipeline, series, valve_flow
from springcase.wording import explain

THEIRS = {"colebrook": Colebrook, "haaland": Haaland, "swamee-jain": Swamee_Jain_1976}
COUNT = 2000


def random_pipes() -> tuple[dict[str, Any], Any, Any]:
    """Return random pipes and gases with their inlet and outlet pressures."""
    draw = np.random.default_rng(410)
    diameter = draw.uniform(0.005, 0.2, COUNT)
    given = {
        "length": diameter * 10 ** draw.uniform(0.5, 4, COUNT),
        "diameter": diameter,
        "roughness": diameter * 10 ** draw.uniform(-5, -2, COUNT),
        "temperature": draw.uniform(250, 350, COUNT),
        "molar_mass": draw.uniform(0.002, 0.05, COUNT),
        "viscosity": draw.uniform(0.8e-5, 2e-5, COUNT),
        "compressibility": draw.uniform(0.7, 1.1, COUNT),
    }
    inlet = 10 ** draw.uniform(5.05, 6.9, COUNT)
    return given, inlet, inlet * draw.uniform(0.0, 0.9999, COUNT)


@pytest.mark.parametrize("name", pipe.FRICTION)
def test_friction_agrees_with_the_library(name: str) -> None:
    """Above Re 4000 each correlation is the library's; Swamee-Jain but for its rounded 5.74."""
    draw = np.random.default_rng(7)
    reynolds, rough = 10 ** draw.uniform(3.61, 8, COUNT), 10 ** draw.uniform(-6, -1.31, COUNT)
    ours = np.asarray(pipe.friction_factor(reynolds, rough, name))
    with warnings.catch_warnings():
        # The library's Colebrook overflows on the way for rough pipes, and falls back.
        warnings.simplefilter("ignore", RuntimeWarning)
        theirs = [
            THEIRS[name](a, b) for a, b in zip(reynolds.tolist(), rough.tolist(), strict=True)
        ]

    assert np.max(np.abs(ours / theirs - 1.0)) < (1e-5 if name == "swamee-jain" else 1e-11)


def test_friction_is_continuous_and_laminar_below() -> None:
    """64 / Re up to 2300, no jump at 2300 or 4000."""
    ends = np.array([2300.0, 4000.0])
    below, above = (np.asarray(pipe.friction_factor(ends * (1 + d), 1e-4)) for d in (-1e-9, 1e-9))

    assert 0.064 == pipe.friction_factor(1000.0, 1e-3)
    assert below == pytest.approx(above, rel=1e-7)


def test_pipe_flow_agrees_with_the_library_choked_or_not() -> None:
    """On 2000 random pipes the flow is the library's at its own friction factor."""
    given, inlet, outlet = random_pipes()
    flow = np.asarray(
        pipe.pipe_mass_flow(inlet_pressure_abs=inlet, outlet_pressure_abs=outlet, **given)
    )
    diameter = given["diameter"]
    reynolds = 4 * flow / (np.pi * diameter * given["viscosity"])
    friction = np.asarray(pipe.friction_factor(reynolds, given["roughness"] / diameter))
    gas_constant = 8.31446261815324 * given["temperature"] * given["compressibility"]
    density = inlet * given["molar_mass"] / gas_constant
    worst, choked = 0.0, 0
    for row in range(COUNT):
        place = {"fd": friction[row], "D": diameter[row], "L": given["length"][row]}
        critical = P_isothermal_critical_flow(P=inlet[row], **place)
        choked += critical > outlet[row]
        end = max(critical * (1 + 1e-12), outlet[row])
        theirs = isothermal_gas(density[row], P1=inlet[row], P2=end, **place)
        worst = max(worst, abs(flow[row] / theirs - 1.0))

    assert worst < 1e-9
    assert 300 < choked < 1700


def test_pipe_pressures_go_there_and_back() -> None:
    """The inlet and outlet pressures found for a pipe's flow are those that gave it."""
    given, inlet, outlet = random_pipes()
    flow = pipe.pipe_mass_flow(inlet_pressure_abs=inlet, outlet_pressure_abs=outlet, **given)
    start = pipe.pipe_inlet_pressure(flow, outlet_pressure_abs=np.maximum(outlet, 1.0), **given)
    end = np.asarray(pipe.pipe_outlet_pressure(flow, inlet_pressure_abs=inlet, **given))
    again = pipe.pipe_mass_flow(inlet_pressure_abs=inlet, outlet_pressure_abs=end, **given)

    assert np.asarray(start) == pytest.approx(inlet, rel=1e-9)
    assert np.all(end >= outlet * (1 - 1e-9))
    assert np.asarray(again) == pytest.approx(np.asarray(flow), rel=1e-9)


def test_more_loss_passes_less() -> None:
    """Velocity heads lost in fittings lower the flow, and no pressure drop passes nothing."""
    one = {"length": 5.0, "diameter": 0.025, "roughness": 5e-5, "temperature": 288.0}
    one |= {"molar_mass": 0.0176, "viscosity": 1.1e-5, "inlet_pressure_abs": 2e5}
    plain, bends = (
        pipe.pipe_mass_flow(outlet_pressure_abs=1e5, loss_coefficient=loss, **one)
        for loss in (0.0, 3.0)
    )

    assert bends < plain
    assert 0.0 == pipe.pipe_mass_flow(outlet_pressure_abs=2e5, **one)


@pytest.mark.parametrize(
    ("formula", "theirs"), [("weymouth", Weymouth), ("panhandle-a", Panhandle_A)]
)
def test_pipeline_formulas_agree_with_the_library(formula: str, theirs: Any) -> None:
    """Weymouth and Panhandle A are the library's."""
    found = pipeline.pipeline_flow(
        formula,
        inlet_pressure_abs=90e5,
        outlet_pressure_abs=20e5,
        length=160e3,
        diameter=0.34,
        temperature=277.0,
        relative_density=0.69,
        efficiency=0.92,
    )
    wanted = theirs(SG=0.69, Tavg=277.0, L=160e3, D=0.34, P1=90e5, P2=20e5, E=0.92)

    assert found == pytest.approx(wanted, rel=1e-6)


def test_velocity_and_mach_keep_mass() -> None:
    """Density x velocity x area is the mass flow, and Mach its velocity over sound."""
    velocity = float(
        pipe.pipe_velocity(
            0.1, diameter=0.05, pipe_pressure_abs=2e5, temperature=288.15, molar_mass=0.0176
        )
    )
    sound = pipe.ideal_sound_speed(temperature=288.15, molar_mass=0.0176, isentropic_exponent=1.3)
    density = 2e5 * 0.0176 / (8.31446261815324 * 288.15)

    assert 0.1 == pytest.approx(density * velocity * np.pi / 4 * 0.05**2)
    assert pipe.mach_number(velocity, sound) == pytest.approx(velocity / 420.66, rel=1e-3)


def test_the_middle_pressure_balances_both() -> None:
    """In 500 random series orifice and body pass the same, between inlet and outlet pressure."""
    draw = np.random.default_rng(9)
    area, kv = 10 ** draw.uniform(-6, -3, 500), 10 ** draw.uniform(-1, 2, 500)
    inlet = draw.uniform(1.5e5, 50e5, 500)
    outlet = inlet * draw.uniform(0.0, 0.999, 500)
    gas = {"temperature": 288.0, "molar_mass": 0.0176, "isentropic_exponent": 1.3}
    flow, middle = series.orifice_and_body(
        area=area,
        discharge=0.8,
        body_kv=kv,
        body_xt=0.7,
        inlet_pressure_abs=inlet,
        outlet_pressure_abs=outlet,
        **gas,
    )
    base = valve_flow.valve_flow(
        kv=kv, xt=0.7, inlet_pressure_abs=middle, outlet_pressure_abs=outlet, **gas
    )
    behind = np.asarray(orifice.mass_flow_of_base(base, molar_mass=0.0176))
    alone = np.asarray(
        orifice.orifice_mass_flow(
            area=area, discharge=0.8, inlet_pressure_abs=inlet, outlet_pressure_abs=outlet, **gas
        )
    )

    assert behind == pytest.approx(np.asarray(flow), rel=1e-6)
    assert np.all((np.asarray(middle) >= outlet) & (np.asarray(middle) <= inlet))
    assert np.all(np.asarray(flow) <= alone * (1 + 1e-12))


def test_roots_are_never_lost() -> None:
    """Steep, flat and stepped residuals all come to their sign change."""
    wanted = np.array([1e-9, 0.1, 0.5, 0.999999])

    for shape in (
        lambda x: x - wanted,
        lambda x: (x - wanted) ** 9,
        lambda x: np.where(x < wanted, -1.0, 1e6),
        lambda x: np.exp(300 * x) - np.exp(300 * wanted),
    ):
        found = bracketing.find_roots(shape, np.zeros(4), np.ones(4))

        assert found == pytest.approx(wanted, abs=2e-3 if shape(found)[1] else 1e-9)


def test_what_cannot_be_is_refused() -> None:
    """A choked demand, a wrong correlation, a rough wall and a large orifice are named."""
    one: dict[str, Any] = {"length": 5.0, "diameter": 0.025, "roughness": 5e-5}
    one |= {"temperature": 288.0, "molar_mass": 0.0176, "viscosity": 1.1e-5}

    with pytest.raises(OutsideValidity, match="flow-pipe-choked") as choked:
        pipe.pipe_outlet_pressure(10.0, inlet_pressure_abs=2e5, **one)
    with pytest.raises(UnknownName, match="friction"):
        pipe.pipe_mass_flow(
            inlet_pressure_abs=2e5, outlet_pressure_abs=1e5, friction="guess", **one
        )
    with pytest.raises(UnknownName, match="formula"):
        pipeline.pipeline_flow(
            "guess",
            inlet_pressure_abs=2e5,
            outlet_pressure_abs=1e5,
            length=1.0,
            diameter=1.0,
            temperature=288.0,
            relative_density=0.6,
        )
    with pytest.raises(OutsideValidity, match="relative_roughness"):
        pipe.friction_factor(1e5, 0.06)
    with pytest.raises(OutsideValidity, match="flow-orifice-too-large"):
        series.check_orifice_in_body(0.03, 0.025)
    with pytest.raises(OutsideValidity, match="area"):
        series.orifice_and_body(
            area=0.0,
            discharge=0.8,
            body_kv=1.0,
            body_xt=0.7,
            inlet_pressure_abs=2e5,
            outlet_pressure_abs=1e5,
            temperature=288.0,
            molar_mass=0.0176,
            isentropic_exponent=1.3,
        )
    assert "at most" in explain(choked.value)
