"""A throttle holds enthalpy; what it may freeze is cautioned."""

from __future__ import annotations

import math

import numpy as np
import pytest

from springcase.errors import OutsideValidity
from springcase.gas.composition import read_gas
from springcase.gas.expansion import hydrate_temperature, outlet_temperature
from springcase.gas.properties import AGA8_DETAIL, state


@pytest.mark.parametrize("name", ["methane", "gulf-coast", "nitrogen", "air", "hydrogen", "biogas"])
def test_enthalpy_at_the_outlet_is_that_at_the_inlet(name: str) -> None:
    """The outlet temperature found has the enthalpy of the inlet, over a sweep of drops."""
    gas = read_gas(name)
    outlets = np.linspace(1e5, 40e5, 14)
    kelvins = outlet_temperature(gas, 40e5, 290.0, outlets)
    wanted = state(gas, 40e5, 290.0).enthalpy
    found = state(gas, outlets, kelvins, allow_condensing=True).enthalpy

    assert found == pytest.approx(wanted, rel=1e-6)
    assert kelvins[-1] == pytest.approx(290.0, abs=1e-9)


def test_hydrogen_warms_and_natural_gas_cools() -> None:
    """Throttled at room temperature hydrogen gets warmer, and natural gas colder."""
    warm = outlet_temperature(read_gas("hydrogen"), 70e5, 288.15, 10e5)
    cold = outlet_temperature(read_gas("gulf-coast"), 70e5, 288.15, 10e5)

    assert cold < 288.15 < warm


def test_the_inlet_coefficient_alone_under_predicts() -> None:
    """Over a large drop the cooling is more than the coefficient at the inlet times the drop."""
    gas = read_gas("methane")
    cooling = 288.15 - outlet_temperature(gas, 70e5, 288.15, 10e5)

    assert cooling > state(gas, 70e5, 288.15).joule_thomson * 60e5 * 1.15


def test_both_equations_cool_alike() -> None:
    """The two equations agree on the outlet temperature of a dry gas within 0.1 K."""
    gas = read_gas("gulf-coast")
    other = outlet_temperature(gas, 70e5, 288.15, 10e5, model=AGA8_DETAIL)

    assert pytest.approx(outlet_temperature(gas, 70e5, 288.15, 10e5), abs=0.1) == other


def test_an_outlet_above_the_inlet_is_refused() -> None:
    """Gas does not flow uphill: an outlet pressure above the inlet's is refused by value."""
    with pytest.raises(OutsideValidity, match=r"\[gas-outlet-above-inlet\].*2e\+06"):
        outlet_temperature(read_gas("methane"), 10e5, 288.15, [5e5, 20e5])


@pytest.mark.parametrize("outlet", [0.0, -1.0, math.nan])
def test_an_outlet_that_is_no_pressure_is_refused(outlet: float) -> None:
    """Nought, negative and NaN outlets are refused."""
    with pytest.raises(OutsideValidity, match=r"\[gas-(range|not-finite)\]"):
        outlet_temperature(read_gas("methane"), 10e5, 288.15, outlet)


def test_a_drop_colder_than_the_equation_is_refused() -> None:
    """A gas so cold that its outlet leaves the equation is refused and not clamped."""
    with pytest.raises(OutsideValidity, match=r"\[gas-no-outlet\]"):
        outlet_temperature(read_gas("nitrogen"), 60e5, 150.0, 1e5, model=AGA8_DETAIL)


def test_hydrates_form_warmer_where_pressure_is_higher() -> None:
    """The hydrate temperature rises with pressure and with relative density."""
    low, high = hydrate_temperature(1e6, 0.6), hydrate_temperature(5e6, 0.6)

    assert low < high < hydrate_temperature(5e6, 0.7)
    with pytest.raises(OutsideValidity, match=r"\[hydrate-range\] relative density: '1.5'"):
        hydrate_temperature(1e6, 1.5)
