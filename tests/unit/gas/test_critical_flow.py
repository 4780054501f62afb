"""The critical flow of a real gas: thin gas is ideal, and what has no throat is refused."""

from __future__ import annotations

import numpy as np
import pytest

from springcase.errors import OutsideValidity
from springcase.gas.composition import read_gas
from springcase.gas.critical_flow import critical_flow
from springcase.gas.orifice import critical_flow_function, critical_pressure_ratio
from springcase.gas.properties import state


@pytest.mark.parametrize("name", ["nitrogen", "methane", "amarillo", "hydrogen"])
def test_thin_gas_is_an_ideal_nozzle(name: str) -> None:
    """Near no pressure C* and the ratio are the ideal exponent's, but for its drift with cold."""
    gas = read_gas(name)
    kappa = state(gas, 1e3, 288.15).isentropic_exponent
    found = critical_flow(gas, 1e3, 288.15)

    assert found.flow_function == pytest.approx(critical_flow_function(kappa), rel=4e-3)
    assert found.pressure_ratio == pytest.approx(critical_pressure_ratio(kappa), rel=8e-3)


def test_flux_is_density_times_sound_at_the_throat() -> None:
    """Mass closes: the flux is density times sound speed of the throat's own state."""
    gas = read_gas("amarillo")
    found = critical_flow(gas, np.array([20e5, 70e5]), 288.15)
    throat = np.asarray(found.pressure_ratio) * np.array([20e5, 70e5])
    here = state(gas, throat, found.temperature, allow_condensing=True)

    assert np.asarray(found.flux) == pytest.approx(here.density * here.sound_speed, rel=1e-6)


def test_energy_closes_at_the_throat() -> None:
    """The enthalpy given up from inlet to throat is half the square of the sound speed."""
    gas = read_gas("methane")
    found = critical_flow(gas, 50e5, 288.15)
    before = state(gas, 50e5, 288.15)
    throat = state(gas, 50e5 * float(found.pressure_ratio), found.temperature)

    assert before.enthalpy - throat.enthalpy == pytest.approx(throat.sound_speed**2 / 2, rel=1e-6)


def test_outside_the_equation_is_refused() -> None:
    """A negative pressure and a state below the dew line are refused as by the equation."""
    with pytest.raises(OutsideValidity, match="gas-range"):
        critical_flow(read_gas("methane"), -1e5, 288.15)
    with pytest.raises(OutsideValidity, match="gas-"):
        critical_flow(read_gas("propane"), 20e5, 288.15)
