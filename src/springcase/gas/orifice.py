"""
Gas through an orifice or a nozzle: ideal gas, isentropic to the throat, from standstill.

Mass flow is discharge x area x inlet pressure x sqrt(M / (Z R T)) x the flow function, which
depends on the pressure ratio alone until the throat is sonic and is constant beyond.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from springcase.gas.numbers import (
    GAS_CONSTANT,
    Numbers,
    falls,
    give_back,
    not_negative,
    positive,
    within,
)

BASE_PRESSURE_ABS: Final = 101325.0
BASE_TEMPERATURE: Final = 273.15
_EXPONENT: Final = "more than 1 and up to 2 (common practice, no source)"
_DISCHARGE: Final = "more than 0 and up to 1"


def exponent_checked(value: ArrayLike) -> NDArray[np.float64]:
    """
    Return isentropic exponents that the ideal-gas formulas may be asked for. [-]

    Raises
    ------
    OutsideValidity
        If one is not more than 1 and up to 2.
    """
    return within(value, "isentropic_exponent", above=1.0, up_to=2.0, right=_EXPONENT)


def critical_pressure_ratio(isentropic_exponent: ArrayLike) -> Numbers:
    """
    Return the outlet over inlet pressure at which the throat becomes sonic. [-]

    Ideal gas (``naca_1135_1953``, table II at M = 1).

    Raises
    ------
    OutsideValidity
        If the exponent is not more than 1 and up to 2.

    Examples
    --------
    >>> round(critical_pressure_ratio(1.4), 6)
    0.528282
    """
    return give_back(_critical_ratio(exponent_checked(isentropic_exponent)))


def critical_flow_function(isentropic_exponent: ArrayLike) -> Numbers:
    """
    Return the flow function of a sonic throat, C* of an ideal gas. [-]

    Raises
    ------
    OutsideValidity
        If the exponent is not more than 1 and up to 2.

    Examples
    --------
    >>> round(critical_flow_function(1.4), 6)
    0.684731
    """
    return give_back(_sonic_function(exponent_checked(isentropic_exponent)))


def _critical_ratio(kappa: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.exp(kappa / (kappa - 1.0) * np.log(2.0 / (kappa + 1.0)))


def _sonic_function(kappa: NDArray[np.float64]) -> NDArray[np.float64]:
    power = (kappa + 1.0) / (2.0 * (kappa - 1.0))
    return np.sqrt(kappa) * np.exp(power * np.log(2.0 / (kappa + 1.0)))


def flow_function(
    pressure_ratio: NDArray[np.float64], isentropic_exponent: NDArray[np.float64]
) -> NDArray[np.float64]:
    """
    Return the flow function of ratios 0 to 1 and checked exponents, for loops that solve. [-]

    Nothing is checked here. Below the critical ratio the ratio is held at it, so the function
    is continuous with zero slope where the throat becomes sonic; it is zero at ratio 1.
    """
    kappa = isentropic_exponent
    held = np.log(np.maximum(pressure_ratio, _critical_ratio(kappa)))
    # expm1 keeps its digits where inlet and outlet are nearly equal.
    drop = -np.expm1((kappa - 1.0) / kappa * held)
    return np.sqrt(2.0 * kappa / (kappa - 1.0) * drop) * np.exp(held / kappa)


def orifice_mass_flow(
    *,
    area: ArrayLike,
    discharge: ArrayLike,
    inlet_pressure_abs: ArrayLike,
    outlet_pressure_abs: ArrayLike,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    isentropic_exponent: ArrayLike,
    compressibility: ArrayLike = 1.0,
) -> Numbers:
    r"""
    Return the mass flow through an orifice or nozzle, choked or not. [kg/s]

    Parameters
    ----------
    area : array_like
        Area of the bore; zero is a closed valve. [m2]
    discharge : array_like
        Discharge coefficient, more than 0 and up to 1. [-]
    inlet_pressure_abs : array_like
        Stagnation pressure before it. [Pa]
    outlet_pressure_abs : array_like
        Static pressure behind it, at most the inlet pressure. [Pa]
    temperature : array_like
        Stagnation temperature before it. [K]
    molar_mass : array_like
        Molar mass of the gas. [kg/mol]
    isentropic_exponent : array_like
        Isentropic exponent at the inlet, more than 1 and up to 2. [-]
    compressibility : array_like
        Compressibility factor Z at the inlet. [-]

    Raises
    ------
    BadInput
        If a value is no finite number.
    OutsideValidity
        If a value lies outside what is stated, or the outlet pressure is above the inlet's.

    Notes
    -----
    Ideal gas, isentropic to the throat (``naca_1135_1953``); Z enters the density only.

    .. math:: \dot m = C_d A p_1 \sqrt{\frac{M}{Z R T_1}}\;
        \sqrt{\frac{2\kappa}{\kappa-1}\left(r^{2/\kappa} - r^{(\kappa+1)/\kappa}\right)},
        \quad r = \max(p_2/p_1, r_c)

    Examples
    --------
    >>> flow = orifice_mass_flow(
    ...     area=7.853982e-5, discharge=1.0, inlet_pressure_abs=7e5, outlet_pressure_abs=1e5,
    ...     temperature=288.15, molar_mass=0.0289647, isentropic_exponent=1.4)
    >>> round(flow, 6)
    0.130893
    """
    opening = not_negative(area, "area")
    coefficient = within(discharge, "discharge", above=0.0, up_to=1.0, right=_DISCHARGE)
    inlet = positive(inlet_pressure_abs, "inlet_pressure_abs")
    outlet = not_negative(outlet_pressure_abs, "outlet_pressure_abs")
    falls(inlet, outlet)
    density_root = np.sqrt(
        positive(molar_mass, "molar_mass")
        / (
            GAS_CONSTANT
            * positive(temperature, "temperature")
            * positive(compressibility, "compressibility")
        )
    )
    shape = flow_function(outlet / inlet, exponent_checked(isentropic_exponent))
    return give_back(coefficient * opening * inlet * density_root * shape)


def nozzle_expansion(
    *, inlet_pressure_abs: ArrayLike, outlet_pressure_abs: ArrayLike, isentropic_exponent: ArrayLike
) -> Numbers:
    """
    Return the flow over that of a liquid of the inlet's density at the same pressures. [Pa], [-]

    It is 1 where the pressures are equal and keeps falling once the throat is sonic, because
    the liquid's flow goes on rising with the drop.

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated, or the outlet pressure is above the inlet's.
    """
    inlet = positive(inlet_pressure_abs, "inlet_pressure_abs")
    outlet = not_negative(outlet_pressure_abs, "outlet_pressure_abs")
    falls(inlet, outlet)
    drop = 1.0 - outlet / inlet
    shape = flow_function(outlet / inlet, exponent_checked(isentropic_exponent))
    flows = drop > 0.0
    return give_back(np.where(flows, shape / np.sqrt(2.0 * np.where(flows, drop, 0.5)), 1.0))


def is_choked(
    *, inlet_pressure_abs: ArrayLike, outlet_pressure_abs: ArrayLike, isentropic_exponent: ArrayLike
) -> NDArray[np.bool_]:
    """
    Return whether the throat is sonic at these absolute pressures. [Pa], [-]

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated, or the outlet pressure is above the inlet's.
    """
    inlet = positive(inlet_pressure_abs, "inlet_pressure_abs")
    outlet = not_negative(outlet_pressure_abs, "outlet_pressure_abs")
    falls(inlet, outlet)
    return np.asarray(outlet / inlet <= _critical_ratio(exponent_checked(isentropic_exponent)))


def bore_area(diameter: ArrayLike) -> Numbers:
    """
    Return the area of a round bore. [m], [m2]

    Raises
    ------
    OutsideValidity
        If the diameter is not more than zero.
    """
    return give_back(np.pi / 4.0 * positive(diameter, "diameter") ** 2)


def curtain_area(diameter: ArrayLike, lift: ArrayLike) -> Numbers:
    """
    Return the area of the ring between a flat disc and its seat: pi x bore x lift. [m], [m2]

    Raises
    ------
    OutsideValidity
        If the diameter is not more than zero, or the lift is negative.
    """
    return give_back(np.pi * positive(diameter, "diameter") * not_negative(lift, "lift"))


def opening_area(diameter: ArrayLike, lift: ArrayLike) -> Numbers:
    """
    Return the area that governs: the curtain up to a lift of a quarter bore, then the bore. [m2]

    Raises
    ------
    OutsideValidity
        If the diameter is not more than zero, or the lift is negative.

    Examples
    --------
    >>> opening_area(0.01, 0.0025) == bore_area(0.01)
    True
    """
    bore = np.asarray(bore_area(diameter))
    return give_back(np.minimum(np.asarray(curtain_area(diameter, lift)), bore))


def base_volume_flow(
    mass_flow: ArrayLike,
    *,
    molar_mass: ArrayLike,
    base_pressure_abs: ArrayLike = BASE_PRESSURE_ABS,
    base_temperature: ArrayLike = BASE_TEMPERATURE,
    base_compressibility: ArrayLike = 1.0,
) -> Numbers:
    """
    Return a mass flow as a volume flow at base conditions. [kg/s], [m3/s]

    The base is 0 degC and 101.325 kPa unless given, and the gas is ideal there unless its
    compressibility factor is: that is how normal and standard volumes are usually counted.

    Raises
    ------
    OutsideValidity
        If a base condition or the molar mass is not more than zero.
    """
    molar_volume = (
        positive(base_compressibility, "base_compressibility")
        * GAS_CONSTANT
        * positive(base_temperature, "base_temperature")
        / positive(base_pressure_abs, "base_pressure_abs")
    )
    flow = not_negative(mass_flow, "mass_flow")
    return give_back(flow * molar_volume / positive(molar_mass, "molar_mass"))


def mass_flow_of_base(
    flow_base: ArrayLike,
    *,
    molar_mass: ArrayLike,
    base_pressure_abs: ArrayLike = BASE_PRESSURE_ABS,
    base_temperature: ArrayLike = BASE_TEMPERATURE,
    base_compressibility: ArrayLike = 1.0,
) -> Numbers:
    """
    Return a volume flow at base conditions as a mass flow. [m3/s], [kg/s]

    Raises
    ------
    OutsideValidity
        If a base condition or the molar mass is not more than zero.
    """
    flow = not_negative(flow_base, "flow_base")
    one = base_volume_flow(
        1.0,
        molar_mass=molar_mass,
        base_pressure_abs=base_pressure_abs,
        base_temperature=base_temperature,
        base_compressibility=base_compressibility,
    )
    return give_back(flow / np.asarray(one))
