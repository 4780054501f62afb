"""
Viscosity of gases by two named published correlations.

Natural gas goes by Lee, Gonzalez and Eakin (1966); every other gas, hydrogen blends among them,
by Lucas (1980) in the form printed in The Properties of Gases and Liquids, 5th edition.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from springcase.gas.composition import Gas, components, make_gas

Array = NDArray[np.float64]

LEE_GONZALEZ_EAKIN: Final = "lee_gonzalez_eakin_1966"
LUCAS: Final = "lucas_1980"
# Largest error each is stated for, as a share of the value; from memory of the two sources.
STATED_ERROR: Final = {LEE_GONZALEZ_EAKIN: 0.09, LUCAS: 0.10}
# The ranges of the fit of Lee, Gonzalez and Eakin: 100 to 340 degF, 100 to 8000 psia.
FITTED_TEMPERATURE: Final = (310.93, 444.26)
FITTED_PRESSURE_ABS: Final = (0.6895e6, 55.16e6)
_ALKANES: Final = ("methane", "ethane", "propane", "isobutane", "n_butane", "isopentane")
_HEAVIER: Final = ("n_pentane", "hexane", "heptane", "octane", "nonane", "decane")
_HYDROCARBONS: Final = frozenset((*_ALKANES, *_HEAVIER))
_QUANTUM: Final = {"hydrogen": 0.76, "helium": 1.38}
MOLAR_MASSES: Final = {name: 1000 * make_gas(name, {name: 1.0}).molar_mass for name in components()}
_GAS_CONSTANT: Final = 8.314462618


def correlation_for(gas: Gas) -> str:
    """
    Return the correlation a gas goes by.

    Natural gas means methane above 70 %, hydrocarbons above 80 % and no hydrogen, helium or
    oxygen above 1 %, which is about the spread of the samples of the fit.
    """
    hydrocarbons = sum(value for name, value in gas.fractions if name in _HYDROCARBONS)
    strange = max(gas.fraction(name) for name in ("hydrogen", "helium", "oxygen"))
    is_natural = gas.fraction("methane") > 0.7 and hydrocarbons > 0.8 and strange <= 0.01
    return LEE_GONZALEZ_EAKIN if is_natural else LUCAS


def is_fitted(correlation: str, pressure_abs: float, temperature: float) -> bool:
    """
    Return whether a correlation was fitted at a state; Lucas states no range but a reduced one.

    Pressure absolute [Pa], temperature [K].
    """
    if correlation != LEE_GONZALEZ_EAKIN:
        return True
    warm = FITTED_TEMPERATURE[0] <= temperature <= FITTED_TEMPERATURE[1]
    return warm and FITTED_PRESSURE_ABS[0] <= pressure_abs <= FITTED_PRESSURE_ABS[1]


def viscosity(gas: Gas, pressure_abs: Array, temperature: Array, density: Array) -> Array:
    """
    Return the dynamic viscosity by the correlation of the gas. [Pa.s]

    Pressure absolute [Pa], temperature [K], density [kg/m3].
    """
    if correlation_for(gas) == LEE_GONZALEZ_EAKIN:
        return lee_gonzalez_eakin(gas.molar_mass, temperature, density)
    return lucas(gas, pressure_abs, temperature)


def lee_gonzalez_eakin(molar_mass: float, temperature: Array, density: Array) -> Array:
    """
    Return the viscosity of a natural gas by Lee, Gonzalez and Eakin. [Pa.s]

    Molar mass [kg/mol], temperature [K], density [kg/m3]. Source: lee_gonzalez_eakin_1966.
    """
    # Their units: degR, g/mol, g/cm3; the result in 1e-4 centipoise.
    t, m, rho = 1.8 * np.asarray(temperature), 1000 * molar_mass, np.asarray(density) / 1000
    k = (9.4 + 0.02 * m) * t**1.5 / (209 + 19 * m + t)
    x = 3.5 + 986 / t + 0.01 * m
    y = 2.4 - 0.2 * x
    found: Array = 1e-7 * k * np.exp(x * rho**y)
    return found


def lucas(gas: Gas, pressure_abs: Array, temperature: Array) -> Array:
    """
    Return the viscosity by Lucas, with his correction for pressure. [Pa.s]

    Pressure absolute [Pa], temperature [K]. Every component is taken as non-polar, so water and
    hydrogen sulphide are the weakest. Source: poling_2001, chapter 9.
    """
    critical = components()
    t_c = sum(x * critical[name].critical_temperature for name, x in gas.fractions)
    v_c = sum(x / critical[name].critical_molar_density for name, x in gas.fractions)
    p_c = _GAS_CONSTANT * t_c * sum(x * _critical_z(name) for name, x in gas.fractions) / v_c
    t_r, p_r = np.asarray(temperature) / t_c, np.asarray(pressure_abs) / p_c
    # Inverse reduced viscosity in 1/micropoise, from bar, K and g/mol.
    m = 1000 * gas.molar_mass
    xi = 0.176 * math.pow(t_c / (math.pow(m, 3) * math.pow(p_c / 1e5, 4)), 1 / 6)
    plain = 0.807 * t_r**0.618 - 0.357 * np.exp(-0.449 * t_r) + 0.340 * np.exp(-4.058 * t_r) + 0.018
    spread, quantum = _spread_factor(gas), _quantum_factor(gas, np.asarray(temperature))
    z_1 = plain * spread * quantum
    z_2 = np.where(t_r > 1, z_1 * _dense_ratio(t_r, p_r), _below_critical(t_r, p_r))
    y = z_2 / z_1
    spread_dense = (1 + (spread - 1) / y**3) / spread
    quantum_dense = (1 + (quantum - 1) * (1 / y - 0.007 * np.log(y) ** 4)) / quantum
    found: Array = 1e-7 * z_2 * spread_dense * quantum_dense / xi
    return found


def _critical_z(name: str) -> float:
    one = components()[name]
    return one.critical_pressure / (
        one.critical_molar_density * _GAS_CONSTANT * one.critical_temperature
    )


def _spread_factor(gas: Gas) -> float:
    """Return Lucas' factor A for mixtures whose lightest and heaviest parts lie far apart."""
    masses = {name: MOLAR_MASSES[name] for name, _ in gas.fractions}
    heaviest, lightest = max(masses, key=masses.__getitem__), min(masses, key=masses.__getitem__)
    ratio = masses[heaviest] / masses[lightest]
    if ratio > 9 and 0.05 < gas.fraction(heaviest) < 0.7:
        return 1 - 0.01 * math.pow(ratio, 0.87)
    return 1.0


def _quantum_factor(gas: Gas, temperature: Array) -> Array:
    """Return Lucas' quantum factor, one but for hydrogen and helium."""
    total = np.ones_like(temperature)
    for name, q in _QUANTUM.items():
        share = gas.fraction(name)
        if share:
            from_12 = temperature / components()[name].critical_temperature - 12
            bend = 0.00385 * (from_12**2) ** (1 / MOLAR_MASSES[name]) * np.sign(from_12)
            total = total + share * (1.22 * math.pow(q, 0.15) * (1 + bend) - 1)
    return total


def _dense_ratio(t_r: Array, p_r: Array) -> Array:
    """Return the viscosity over that of the dilute gas, above the critical temperature."""
    # Rows below it are worked out too and thrown away: held at one, so that none overflows.
    t_r = np.maximum(t_r, 1.0)
    a = 1.245e-3 / t_r * np.exp(5.1726 * t_r**-0.3286)
    b = a * (1.6553 * t_r - 1.2723)
    c = 0.4489 / t_r * np.exp(3.0578 * t_r**-37.7332)
    d = 1.7368 / t_r * np.exp(2.2310 * t_r**-7.6351)
    f = 0.9425 * np.exp(-0.1853 * t_r**0.4489)
    ratio: Array = 1 + a * p_r**1.3088 / (b * p_r**f + 1 / (1 + c * p_r**d))
    return ratio


def _below_critical(t_r: Array, p_r: Array) -> Array:
    """Return the reduced viscosity of the vapour below the critical temperature."""
    # Both expressions are worked out for every row: bounded, so that none overflows.
    p = np.minimum(p_r, 1.0)
    alpha, beta = 3.262 + 14.98 * p**5.508, 1.390 + 5.746 * p
    vapour: Array = 0.600 + 0.760 * p**alpha + (6.990 * p**beta - 0.6) * (1 - t_r)
    return vapour
