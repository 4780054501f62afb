"""
Relief of gas: API 520 critical and subcritical, and a rating from one medium to another.

The constants are those the document prints for SI units (0.03948 and 17.9); at the critical
ratio its two equations meet within 0.06 %.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from springcase.errors import UnknownName
from springcase.gas.numbers import Numbers, falls, give_back, not_negative, positive, refuse, within
from springcase.standards.relief import back_pressure_curve
from springcase.units import INCH, POUND, PSI

Array = NDArray[np.float64]

COEFFICIENTS: Final = {"si": 0.03948, "us": 520.0}
"""Of C: kg/h, mm2, kPa, K; or lb/h, in2, psia, degrees Rankine (``api_520_1``). [-]"""
SUBCRITICAL: Final = 17.9
STEAM: Final = 51.5
"""W = 51.5 K A P of a rating on steam, lb/h, in2, psia (``asme_viii_1_app_11``). [-]"""
LEAST_OVERPRESSURE: Final = 3.0 * PSI
"""The least overpressure of a set pressure, 3 psi (``asme_viii_api_520_memory``). [Pa]"""
_HOUR: Final = 3600.0
_SHARE: Final = "more than 0 and up to 1"
_KAP: Final = INCH**2 * PSI


def _exponent(value: ArrayLike) -> Array:
    # Exactly 1 is the published way to say that the exponent is not known.
    least = float(np.nextafter(1.0, 0.0))
    right = "1 to 2; 1 where it is not known"
    return within(value, "isentropic_exponent", above=least, up_to=2.0, right=right)


def _critical_ratio(kappa: Array) -> Array:
    # ln(2 / (k + 1)) / (k - 1) keeps its limit, minus one half, at k = 1.
    step = kappa - 1.0
    near = np.abs(step) < 1e-9
    safe = np.where(near, 1.0, step)
    slope = np.where(near, -0.5, -np.log1p(safe / 2.0) / safe)
    return np.exp(kappa * slope)


def relief_coefficient(isentropic_exponent: ArrayLike, units: str = "si") -> Numbers:
    """
    Return C of the critical equation, in the units the document prints it for. [-]

    Raises
    ------
    OutsideValidity
        If the exponent is not 1 to 2.
    UnknownName
        If the units are neither "si" nor "us".

    Examples
    --------
    >>> round(relief_coefficient(1.11), 7)
    0.0248901
    """
    if units not in COEFFICIENTS:
        raise UnknownName("flow-not-listed", field="units", value=units, right="si or us")
    kappa = _exponent(isentropic_exponent)
    step = kappa - 1.0
    near = np.abs(step) < 1e-9
    safe = np.where(near, 1.0, step)
    slope = np.where(near, -0.5, -np.log1p(safe / 2.0) / safe)
    root = np.sqrt(kappa * np.exp((kappa + 1.0) * slope))
    return give_back(COEFFICIENTS[units] * root)


def subcritical_factor(isentropic_exponent: ArrayLike, pressure_ratio: ArrayLike) -> Numbers:
    """
    Return F2 of the subcritical equation at a back pressure over inlet pressure. [-]

    Raises
    ------
    OutsideValidity
        If the exponent is not over 1 and up to 2, or the ratio not over 0 and below 1.

    Examples
    --------
    >>> round(subcritical_factor(1.8, 0.7), 7)
    0.8600724
    """
    kappa = within(
        isentropic_exponent,
        "isentropic_exponent",
        above=1.0,
        up_to=2.0,
        right="more than 1 and up to 2",
    )
    ratio = positive(pressure_ratio, "pressure_ratio")
    refuse(ratio, ratio >= 1.0, "pressure_ratio", "below 1")
    return give_back(_subcritical_factor(kappa, ratio))


def _subcritical_factor(kappa: Array, ratio: Array) -> Array:
    power = (kappa - 1.0) / kappa
    bend = -np.expm1(power * np.log(ratio)) / (1.0 - ratio)
    return np.sqrt(kappa / (kappa - 1.0) * ratio ** (2.0 / kappa) * bend)


def relief_is_critical(
    *,
    relieving_pressure_abs: ArrayLike,
    back_pressure_abs: ArrayLike,
    isentropic_exponent: ArrayLike,
) -> NDArray[np.bool_]:
    """
    Return whether the flow through the nozzle is critical at these pressures. [Pa], [-]

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated, or the back pressure is above the inlet's.
    """
    inlet = positive(relieving_pressure_abs, "relieving_pressure_abs")
    back = not_negative(back_pressure_abs, "back_pressure_abs")
    falls(inlet, back, "back_pressure_abs")
    return np.asarray(back / inlet <= _critical_ratio(_exponent(isentropic_exponent)))


def relief_area(
    mass_flow: ArrayLike,
    *,
    relieving_pressure_abs: ArrayLike,
    back_pressure_abs: ArrayLike,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    isentropic_exponent: ArrayLike,
    compressibility: ArrayLike = 1.0,
    discharge: ArrayLike = 0.975,
    back_pressure_factor: ArrayLike = 1.0,
    combination_factor: ArrayLike = 1.0,
    is_balanced: bool = False,
) -> Numbers:
    """
    Return the effective area a relief device needs for a mass flow. [m2]

    Parameters
    ----------
    mass_flow : array_like
        Flow to relieve. [kg/s]
    relieving_pressure_abs : array_like
        Set pressure plus allowed overpressure. [Pa]
    back_pressure_abs : array_like
        Pressure at the outlet while it relieves. [Pa]
    temperature : array_like
        Relieving temperature at the inlet. [K]
    molar_mass : array_like
        Molar mass. [kg/mol]
    isentropic_exponent : array_like
        Ideal-gas specific heat ratio at the inlet. [-]
    compressibility : array_like
        Compressibility factor at the inlet. [-]
    discharge : array_like
        Effective coefficient of discharge with an effective area, 0.975 where none is known. [-]
    back_pressure_factor : array_like
        Kb of a balanced valve, from its maker or `back_pressure_factor`. [-]
    combination_factor : array_like
        Kc, 1 without a rupture disk, 0.9 with an uncertified one. [-]
    is_balanced : bool
        Whether the critical equation with Kb holds at any back pressure.

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated, or the back pressure is not below the inlet's.

    Notes
    -----
    ``api_520_1``, equations for critical and subcritical gas.

    Examples
    --------
    >>> area = relief_area(24270 / 3600, relieving_pressure_abs=670e3, back_pressure_abs=101325.0,
    ...                    temperature=348.0, molar_mass=0.051, isentropic_exponent=1.11,
    ...                    compressibility=0.90)
    >>> round(1e6 * area, 3)
    3699.046
    """
    unit = _flow_per_area(
        relieving_pressure_abs=relieving_pressure_abs,
        back_pressure_abs=back_pressure_abs,
        temperature=temperature,
        molar_mass=molar_mass,
        isentropic_exponent=isentropic_exponent,
        compressibility=compressibility,
        discharge=discharge,
        back_pressure_factor=back_pressure_factor,
        combination_factor=combination_factor,
        is_balanced=is_balanced,
    )
    return give_back(positive(mass_flow, "mass_flow") / unit)


def relief_capacity(
    area: ArrayLike,
    *,
    relieving_pressure_abs: ArrayLike,
    back_pressure_abs: ArrayLike,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    isentropic_exponent: ArrayLike,
    compressibility: ArrayLike = 1.0,
    discharge: ArrayLike = 0.975,
    back_pressure_factor: ArrayLike = 1.0,
    combination_factor: ArrayLike = 1.0,
    is_balanced: bool = False,
) -> Numbers:
    """
    Return the mass flow an area relieves: the inverse of `relief_area`. [m2], [kg/s]

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated, or the back pressure is not below the inlet's.
    """
    unit = _flow_per_area(
        relieving_pressure_abs=relieving_pressure_abs,
        back_pressure_abs=back_pressure_abs,
        temperature=temperature,
        molar_mass=molar_mass,
        isentropic_exponent=isentropic_exponent,
        compressibility=compressibility,
        discharge=discharge,
        back_pressure_factor=back_pressure_factor,
        combination_factor=combination_factor,
        is_balanced=is_balanced,
    )
    return give_back(positive(area, "area") * unit)


def _flow_per_area(
    *,
    relieving_pressure_abs: ArrayLike,
    back_pressure_abs: ArrayLike,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    isentropic_exponent: ArrayLike,
    compressibility: ArrayLike,
    discharge: ArrayLike,
    back_pressure_factor: ArrayLike,
    combination_factor: ArrayLike,
    is_balanced: bool,
) -> Array:
    """Return kg/s per m2, by the equation that holds at these pressures."""
    inlet = positive(relieving_pressure_abs, "relieving_pressure_abs")
    back = not_negative(back_pressure_abs, "back_pressure_abs")
    falls(inlet, back, "back_pressure_abs")
    refuse(back, back >= inlet, "back_pressure_abs", "below the relieving pressure")
    kappa = _exponent(isentropic_exponent)
    root = np.sqrt(
        1e3
        * positive(molar_mass, "molar_mass")
        / (positive(temperature, "temperature") * positive(compressibility, "compressibility"))
    )
    nozzle = within(discharge, "discharge", above=0.0, up_to=1.0, right=_SHARE)
    nozzle = nozzle * within(
        combination_factor, "combination_factor", above=0.0, up_to=1.0, right=_SHARE
    )
    kb = within(back_pressure_factor, "back_pressure_factor", above=0.0, up_to=1.0, right=_SHARE)
    kpa, ratio = inlet / 1e3, back / inlet
    critical = np.asarray(relief_coefficient(kappa)) * nozzle * kpa * kb * root
    chokes = ratio <= _critical_ratio(kappa)
    if not is_balanced and not chokes.all():
        refuse(kappa, ~chokes & (kappa <= 1.0), "isentropic_exponent", "more than 1, not critical")
        above = np.maximum(kappa, 1.0 + 1e-9)
        factor = _subcritical_factor(above, np.where(chokes, 0.5, ratio))
        below = factor * nozzle / SUBCRITICAL * root * kpa * np.sqrt(1.0 - ratio)
        critical = np.where(chokes, critical, below)
    # kg/h per mm2 in kg/s per m2.
    return np.asarray(critical * 1e6 / _HOUR)


def back_pressure_factor(
    *, set_pressure_gauge: ArrayLike, back_pressure_gauge: ArrayLike, overpressure: float = 0.10
) -> Numbers:
    """
    Return Kb of a balanced bellows valve in gas, read off the published figure. [Pa], [-]

    It is 1 up to the left end of the figure's curve. The valve's maker knows better.

    Raises
    ------
    OutsideValidity
        If the overpressure is not 10, 16 or 21 %, or the gauge back pressure more than half
        of the gauge set pressure.
    """
    curve = np.asarray(back_pressure_curve(overpressure))
    share = not_negative(back_pressure_gauge, "back_pressure_gauge") / positive(
        set_pressure_gauge, "set_pressure_gauge"
    )
    refuse(share, share > 0.5, "back_pressure_gauge", "at most half of the set pressure, 0.5")
    found = np.interp(share, curve[:, 0], curve[:, 1])
    return give_back(np.where(share < curve[0, 0], 1.0, found))


def relieving_pressure(
    set_pressure_gauge: ArrayLike, *, barometer_abs: ArrayLike, overpressure: ArrayLike = 0.10
) -> Numbers:
    """
    Return set pressure plus overpressure, at least 3 psi of it, plus the barometer. [Pa], [-]

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated.
    """
    set_gauge = positive(set_pressure_gauge, "set_pressure_gauge")
    share = not_negative(overpressure, "overpressure")
    above = np.maximum(set_gauge * share, LEAST_OVERPRESSURE)
    return give_back(set_gauge + above + positive(barometer_abs, "barometer_abs"))


def rating_of_steam(mass_flow: ArrayLike) -> Numbers:
    """
    Return coefficient x area x pressure of a device rated on dry saturated steam. [kg/s], [N]

    ``asme_viii_1_app_11``: W = 51.5 K A P.

    Raises
    ------
    OutsideValidity
        If the flow is not more than zero.
    """
    flow = positive(mass_flow, "mass_flow") * _HOUR / POUND
    return give_back(flow / STEAM * _KAP)


def rating_of_gas(
    mass_flow: ArrayLike,
    *,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    isentropic_exponent: ArrayLike,
) -> Numbers:
    """
    Return coefficient x area x pressure of a device rated on a gas. [kg/s], [K], [kg/mol], [N]

    ``asme_viii_1_app_11``: W = C K A P sqrt(M / T).

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated.
    """
    unit = _flow_per_rating(temperature, molar_mass, isentropic_exponent)
    return give_back(positive(mass_flow, "mass_flow") / unit)


def capacity_of_rating(
    rating: ArrayLike,
    *,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    isentropic_exponent: ArrayLike,
) -> Numbers:
    """
    Return the mass flow of a gas through a device of a known rating. [N], [kg/s]

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated.

    Examples
    --------
    >>> steam = rating_of_steam(3020 * 0.45359237 / 3600)
    >>> air = capacity_of_rating(steam, temperature=560 / 1.8, molar_mass=0.02897,
    ...                          isentropic_exponent=1.4)
    >>> round(air * 3600 / 0.45359237)
    4749
    """
    unit = _flow_per_rating(temperature, molar_mass, isentropic_exponent)
    return give_back(positive(rating, "rating") * unit)


def _flow_per_rating(
    temperature: ArrayLike, molar_mass: ArrayLike, isentropic_exponent: ArrayLike
) -> Array:
    coefficient = np.asarray(relief_coefficient(isentropic_exponent, "us"))
    root = np.sqrt(
        1e3 * positive(molar_mass, "molar_mass") / (1.8 * positive(temperature, "temperature"))
    )
    return np.asarray(coefficient * root / _KAP * POUND / _HOUR)
