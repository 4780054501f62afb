"""
A gas at base conditions: density, relative density, amounts behind a volume, heat and Wobbe.

Conversions between bases by the ideal ratio are `springcase.units`; here the gas is real where
the function says so.
"""

from __future__ import annotations

import math
from typing import Final

from springcase.gas.composition import Gas, heating_values, read_gas
from springcase.gas.properties import GERG_2008, model_molar_mass, state
from springcase.units import ISO_13443, NORMAL, BaseConditions

# CODATA 2018, exact by the definition of 2019. [J/(mol.K)]
MOLAR_GAS_CONSTANT: Final = 8.314462618


def ideal_molar_volume(base: BaseConditions) -> float:
    """
    Return the volume of one mole of the ideal gas at a base. [m3/mol]

    Examples
    --------
    >>> from springcase.units import NORMAL
    >>> round(1000 * ideal_molar_volume(NORMAL), 4)
    22.414
    """
    return MOLAR_GAS_CONSTANT * base.temperature / base.pressure_abs


def base_compressibility(gas: Gas, base: BaseConditions, *, model: str = GERG_2008) -> float:
    """
    Return the compressibility factor at a base. [-]

    Raises OutsideValidity where the gas condenses at the base or the equation does not hold.
    """
    return float(state(gas, base.pressure_abs, base.temperature, model=model).z)


def base_density(gas: Gas, base: BaseConditions, *, model: str = GERG_2008) -> float:
    """
    Return the density of the real gas at a base. [kg/m3]

    Raises OutsideValidity where the gas condenses at the base or the equation does not hold.
    """
    return float(state(gas, base.pressure_abs, base.temperature, model=model).density)


def relative_density(
    gas: Gas, base: BaseConditions = ISO_13443, *, model: str = GERG_2008
) -> float:
    """
    Return the density of the real gas over that of dry air at the same base. [-]

    Raises OutsideValidity where the gas condenses at the base or the equation does not hold.
    """
    return base_density(gas, base, model=model) / base_density(read_gas("air"), base, model=model)


def ideal_relative_density(gas: Gas, *, model: str = GERG_2008) -> float:
    """Return the molar mass of a gas over that of dry air. [-]"""
    return model_molar_mass(gas, model) / model_molar_mass(read_gas("air"), model)


def mass_flow(flow_base: float, molar_mass: float) -> float:
    """
    Return the mass flow of a volume flow counted at 0 degC and 1.01325 bar. [kg/s]

    Flow at that base [m3/s], molar mass [kg/mol]. The volume is that of the ideal gas, as valve
    and relief equations count it.
    """
    return flow_base * molar_mass / ideal_molar_volume(NORMAL)


def base_flow(mass_flow: float, molar_mass: float) -> float:
    """
    Return the flow at 0 degC and 1.01325 bar of the ideal gas of a mass flow. [m3/s]

    Mass flow [kg/s], molar mass [kg/mol].
    """
    return mass_flow / molar_mass * ideal_molar_volume(NORMAL)


def actual_flow(flow_base: float, pressure_abs: float, temperature: float, z: float) -> float:
    """
    Return the volume flow at a state of a flow at 0 degC and 1.01325 bar. [m3/s]

    Flow at that base [m3/s], pressure absolute [Pa], temperature [K], z of the state [-].
    """
    amount = flow_base / ideal_molar_volume(NORMAL)
    return amount * z * MOLAR_GAS_CONSTANT * temperature / pressure_abs


def gross_heating_value(gas: Gas, base: BaseConditions = ISO_13443) -> float:
    """
    Return the gross heat of a volume of the real gas at a base, burnt at 15 degC. [J/m3]

    Source: iso_6976_1995_memory: from memory, needs confirmation.

    Raises OutsideValidity where the gas condenses at the base.
    """
    table = heating_values()
    molar = sum(fraction * table[name] for name, fraction in gas.fractions)
    return molar / (ideal_molar_volume(base) * base_compressibility(gas, base))


def wobbe_index(gas: Gas, base: BaseConditions = ISO_13443) -> float:
    """
    Return the gross Wobbe index at a base, burnt at 15 degC. [J/m3]

    Source: iso_6976_1995_memory: from memory, needs confirmation.

    Raises OutsideValidity where the gas condenses at the base.
    """
    return gross_heating_value(gas, base) / math.sqrt(relative_density(gas, base))
