"""Amounts behind a volume at base conditions, heat and Wobbe."""

from __future__ import annotations

import math

import pytest

from springcase.errors import OutsideValidity
from springcase.gas.base_conditions import (
    actual_flow,
    base_compressibility,
    base_density,
    base_flow,
    gross_heating_value,
    ideal_molar_volume,
    ideal_relative_density,
    mass_flow,
    relative_density,
    wobbe_index,
)
from springcase.gas.composition import read_gas
from springcase.units import ISO_13443, NORMAL, BaseConditions


def test_mass_and_volume_are_each_other_s_way_back() -> None:
    """A mass flow turned into a volume at base conditions and back is itself."""
    assert math.isclose(3.0, mass_flow(base_flow(3.0, 0.0176), 0.0176), rel_tol=1e-15)


def test_an_actual_flow_at_the_base_itself_is_the_flow() -> None:
    """At 0 degC and one atmosphere an ideal gas takes the volume it is counted by."""
    flow = actual_flow(2.0, NORMAL.pressure_abs, NORMAL.temperature, 1.0)

    assert math.isclose(2.0, flow, rel_tol=1e-15)


def test_density_times_real_molar_volume_is_molar_mass() -> None:
    """Base density, z and the ideal molar volume belong together."""
    gas = read_gas("amarillo")
    volume = ideal_molar_volume(ISO_13443) * base_compressibility(gas, ISO_13443)

    assert math.isclose(gas.molar_mass, base_density(gas, ISO_13443) * volume, rel_tol=2e-6)


def test_air_is_as_dense_as_air() -> None:
    """Dry air has relative density one; hydrogen far less."""
    assert relative_density(read_gas("air")) == 1.0
    assert ideal_relative_density(read_gas("air")) == 1.0
    assert relative_density(read_gas("hydrogen"), NORMAL) < 0.07


def test_the_heat_of_methane_is_that_of_its_mole() -> None:
    """Heat by volume is the molar heat over the real molar volume (37.8 MJ/m3 at 15 degC)."""
    assert pytest.approx(37.78e6, rel=1e-3) == gross_heating_value(read_gas("methane"))
    assert gross_heating_value(read_gas("nitrogen")) == 0.0


def test_hydrogen_moves_wobbe_less_than_heat() -> None:
    """A fifth of hydrogen takes less from the Wobbe index than from the heat."""
    gas, blend = read_gas("gulf-coast"), read_gas("gulf-coast + 20 % hydrogen")
    heat = gross_heating_value(blend) / gross_heating_value(gas)

    assert heat < wobbe_index(blend) / wobbe_index(gas) < 1.0


def test_a_gas_liquid_at_its_base_has_no_density_there() -> None:
    """Butane at 10 bar and 15 degC is a liquid, and its gas density is refused."""
    with pytest.raises(OutsideValidity, match=r"\[gas-below-dew\] butane"):
        base_density(read_gas("butane"), BaseConditions(pressure_abs=1e6, temperature=288.15))
