"""Gas properties agree with an independent library on random states."""

from __future__ import annotations

import CoolProp.CoolProp as oracle
import numpy as np
import pytest

from springcase.gas.composition import Gas, read_gas
from springcase.gas.phase import condensing
from springcase.gas.properties import state
from springcase.gas.viscosity import STATED_ERROR, correlation_for

PURE = {
    "methane": "Methane",
    "nitrogen": "Nitrogen",
    "carbon-dioxide": "CarbonDioxide",
    "hydrogen": "Hydrogen",
    "propane": "Propane",
    "butane": "n-Butane",
}
FLUIDS = {
    "methane": "Methane",
    "nitrogen": "Nitrogen",
    "carbon_dioxide": "CarbonDioxide",
    "ethane": "Ethane",
    "propane": "n-Propane",
    "isobutane": "IsoButane",
    "n_butane": "n-Butane",
    "isopentane": "Isopentane",
    "n_pentane": "n-Pentane",
    "hexane": "n-Hexane",
    "hydrogen": "Hydrogen",
}


def random_states(name: str, count: int) -> tuple[np.ndarray, np.ndarray]:
    """Return states well inside the gas, up to 100 bar or nine tenths of the vapour pressure."""
    rng = np.random.default_rng(sum(map(ord, name)))
    kelvins = rng.uniform(263.15, 333.15, count)
    fluid = PURE[name]
    critical = oracle.PropsSI("Tcrit", fluid)
    most = [
        0.9 * oracle.PropsSI("P", "T", kelvin, "Q", 1, fluid) if kelvin < critical else 100e5
        for kelvin in kelvins
    ]
    return rng.uniform(0.02, 1.0, count) * np.array(most), kelvins


def mixture(gas: Gas) -> oracle.AbstractState:
    """Return the oracle's mixture of a gas, held to the gas phase."""
    names = "&".join(FLUIDS[name] for name, _ in gas.fractions)
    made = oracle.AbstractState("HEOS", names)
    made.set_mole_fractions([share for _, share in gas.fractions])
    made.specify_phase(oracle.iphase_gas)
    return made


@pytest.mark.parametrize("name", sorted(PURE))
def test_a_pure_gas_agrees_with_the_oracle(name: str) -> None:
    """Density, heat, sound and Joule-Thomson of a pure gas agree within GERG-2008's own error."""
    pressures, kelvins = random_states(name, 300)
    found = state(read_gas(name), pressures, kelvins)
    for ours, key, near in (
        (found.density, "D", 5e-3),
        (found.sound_speed, "A", 1e-2),
        (found.heat_capacity, "C", 3e-2),
    ):
        wanted = oracle.PropsSI(key, "T", kelvins, "P", pressures, PURE[name])

        assert ours == pytest.approx(wanted, rel=near)
    wanted = oracle.PropsSI("d(T)/d(P)|H", "T", kelvins, "P", pressures, PURE[name])

    assert found.joule_thomson == pytest.approx(wanted, rel=0.04, abs=5e-8)


@pytest.mark.parametrize("name", ["amarillo", "gulf-coast", "ekofisk", "gulf + 20 % hydrogen"])
def test_a_mixture_agrees_with_the_oracle(name: str) -> None:
    """z and sound speed of a mixture agree with another program of the same equation."""
    gas = read_gas(name)
    other = mixture(gas)
    rng = np.random.default_rng(4)
    pressures, kelvins = rng.uniform(1e5, 70e5, 40), rng.uniform(273.15, 333.15, 40)
    found = state(gas, pressures, kelvins)
    for index, (pressure, kelvin) in enumerate(zip(pressures, kelvins, strict=True)):
        other.update(oracle.PT_INPUTS, float(pressure), float(kelvin))

        assert pytest.approx(other.compressibility_factor(), abs=3e-4) == found.z[index]
        assert pytest.approx(other.speed_sound(), rel=1e-3) == found.sound_speed[index]


@pytest.mark.parametrize("name", ["methane", "nitrogen", "hydrogen", "propane", "butane"])
def test_viscosity_is_within_its_stated_error(name: str) -> None:
    """The correlation of a gas is within its stated error of a reference viscosity."""
    pressures, kelvins = random_states(name, 200)
    gas = read_gas(name)
    found = state(gas, pressures, kelvins).viscosity
    wanted = oracle.PropsSI("V", "T", kelvins, "P", pressures, PURE[name])

    assert np.abs(found / wanted - 1).max() < STATED_ERROR[correlation_for(gas)]


def test_viscosity_of_air_is_within_its_stated_error() -> None:
    """Air, a mixture, is within the stated error of its reference viscosity."""
    kelvins, pressures = np.linspace(250.0, 340.0, 30), np.linspace(1e5, 100e5, 30)
    found = state(read_gas("air"), pressures, kelvins).viscosity

    assert found == pytest.approx(
        oracle.PropsSI("V", "T", kelvins, "P", pressures, "Air"), rel=0.02
    )


@pytest.mark.parametrize("name", ["propane", "butane", "carbon-dioxide"])
def test_a_pure_gas_condenses_at_its_vapour_pressure(name: str) -> None:
    """The dew check of a pure gas changes within 5 % of its vapour pressure."""
    fluid = PURE[name]
    kelvins = np.linspace(250.0, 0.97 * oracle.PropsSI("Tcrit", fluid), 25)
    vapour = oracle.PropsSI("P", "T", kelvins, "Q", 1, fluid)
    gas = read_gas(name)

    assert not condensing(gas, 0.95 * vapour, kelvins).any()
    assert condensing(gas, 1.05 * vapour, kelvins).all()
    assert condensing(gas, 3.0 * vapour, kelvins).all()
