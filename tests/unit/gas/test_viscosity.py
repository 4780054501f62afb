"""Each gas goes by one named correlation, within the range it says."""

from __future__ import annotations

import numpy as np
import pytest

from springcase.gas.composition import read_gas
from springcase.gas.viscosity import (
    LEE_GONZALEZ_EAKIN,
    LUCAS,
    STATED_ERROR,
    correlation_for,
    is_fitted,
    lee_gonzalez_eakin,
    lucas,
)


@pytest.mark.parametrize(
    ("name", "correlation"),
    [
        ("methane", LEE_GONZALEZ_EAKIN),
        ("gulf-coast", LEE_GONZALEZ_EAKIN),
        ("high-n2", LEE_GONZALEZ_EAKIN),
        ("nitrogen", LUCAS),
        ("air", LUCAS),
        ("hydrogen", LUCAS),
        ("biogas", LUCAS),
        ("gulf-coast + 20 % hydrogen", LUCAS),
    ],
)
def test_a_gas_goes_by_its_correlation(name: str, correlation: str) -> None:
    """Natural gas goes by the correlation drawn for it, everything else by the general one."""
    assert correlation == correlation_for(read_gas(name))


@pytest.mark.parametrize("name", ["methane", "gulf-coast", "amarillo"])
def test_the_two_correlations_agree_on_natural_gas(name: str) -> None:
    """On natural gas at room conditions the two are within the error each states."""
    gas = read_gas(name)
    density = np.array(gas.molar_mass * 1e5 / 8.314 / 300)
    one = lee_gonzalez_eakin(gas.molar_mass, np.array(300.0), density)
    other = lucas(gas, np.array(1e5), np.array(300.0))

    assert one == pytest.approx(other, rel=STATED_ERROR[LEE_GONZALEZ_EAKIN])


def test_viscosity_of_the_dilute_gas_does_not_know_pressure() -> None:
    """Towards no pressure Lucas' viscosity is that of the dilute gas, quantum gases too."""
    for name in ("nitrogen", "hydrogen", "gulf-coast + 20 % hydrogen"):
        low, lower = lucas(read_gas(name), np.array([1e3, 1.0]), np.array([300.0, 300.0]))

        assert low == pytest.approx(lower, rel=1e-4)


def test_viscosity_rises_with_pressure_above_the_critical_temperature() -> None:
    """Above the critical temperature a denser gas is more viscous."""
    found = lucas(read_gas("nitrogen"), np.linspace(1e5, 200e5, 50), np.full(50, 300.0))

    assert (np.diff(found) > 0).all()


@pytest.mark.parametrize(
    ("correlation", "pressure", "temperature", "fitted"),
    [
        (LEE_GONZALEZ_EAKIN, 5e6, 350.0, True),
        (LEE_GONZALEZ_EAKIN, 5e6, 288.15, False),
        (LEE_GONZALEZ_EAKIN, 1e5, 350.0, False),
        (LUCAS, 1e5, 288.15, True),
    ],
)
def test_a_correlation_knows_where_it_was_fitted(
    correlation: str, pressure: float, temperature: float, fitted: bool
) -> None:
    """A state outside the fit of a correlation is told from one inside."""
    assert fitted is is_fitted(correlation, pressure, temperature)
