"""
The non-turbulent branch of a control valve: small trims and low flows, annex A of IEC 60534-2-1.

Below a valve Reynolds number of 10 000 the flow is less than the turbulent equations say. The
standard leaves a step where the branches meet; the least Kv that passes a flow is unique all the
same, and that is what `valve_fittings` returns.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from springcase.errors import UnknownName
from springcase.gas.numbers import Numbers, give_back, not_negative, positive, within

TURBULENT: Final = 10000.0
N2: Final = 1.60e-3
N4: Final = 7.07e-2
N18: Final = 0.865
N32: Final = 140.0
"""Constants of table 1 for Kv, mm, m3/h and m2/s, as printed (``iec_60534_2_1_2011``). [-]"""

TRIMS: Final = ("full", "reduced")
FULL_TRIM: Final = 0.016
# Equation A.7, from Re 10 up, dips below A.6 for trims with n near 1 and gives one Kv several
# flows. The two meet again below 22; up to 25 A.6 is kept, so that FR never falls as Re rises.
_LAMINAR: Final = 25.0
_LAMINAR_EXPANSION: Final = 1000.0


def valve_reynolds(
    kv: ArrayLike,
    *,
    flow_actual: ArrayLike,
    kinematic_viscosity: ArrayLike,
    valve_diameter: ArrayLike,
    pressure_recovery: ArrayLike,
    style_modifier: ArrayLike,
) -> Numbers:
    """
    Return the valve Reynolds number, equation A.1. [m3/s], [m2/s], [m], [-]

    Flow and viscosity are of one state: their quotient is mass flow over dynamic viscosity.

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated.
    """
    coefficient = positive(kv, "kv")
    flow = not_negative(flow_actual, "flow_actual")
    ratio = flow / positive(kinematic_viscosity, "kinematic_viscosity")
    return give_back(
        reynolds_of_ratio(
            coefficient,
            ratio,
            positive(valve_diameter, "valve_diameter"),
            recovery_checked(pressure_recovery),
            positive(style_modifier, "style_modifier"),
        )
    )


def recovery_checked(value: ArrayLike) -> NDArray[np.float64]:
    """
    Return pressure recovery factors FL over 0 and up to 1. [-]

    Raises
    ------
    OutsideValidity
        If one lies outside.
    """
    right = "more than 0 and up to 1"
    return within(value, "pressure_recovery", above=0.0, up_to=1.0, right=right)


def reynolds_of_ratio(
    kv: NDArray[np.float64],
    flow_over_viscosity: NDArray[np.float64],
    valve_diameter: NDArray[np.float64],
    pressure_recovery: NDArray[np.float64],
    style_modifier: NDArray[np.float64],
) -> NDArray[np.float64]:
    """Return the valve Reynolds number of checked values, for loops that solve. [m], [-]"""
    size = 1e3 * valve_diameter
    first = N4 * style_modifier * 3600.0 * flow_over_viscosity / np.sqrt(kv * pressure_recovery)
    return np.asarray(first * ((pressure_recovery * kv / size**2) ** 2 / N2 + 1.0) ** 0.25)


def reynolds_factor(
    kv: ArrayLike,
    reynolds: ArrayLike,
    *,
    valve_diameter: ArrayLike,
    pressure_recovery: ArrayLike,
    trim: str,
) -> Numbers:
    """
    Return FR, the share of the turbulent flow that passes at a Reynolds number. [m], [-]

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated.
    UnknownName
        If the trim is neither "full" nor "reduced".

    Examples
    --------
    >>> round(reynolds_factor(0.015483, 1202.0, valve_diameter=0.015,
    ...                       pressure_recovery=0.98, trim="reduced"), 6)
    0.714875
    """
    if trim not in TRIMS:
        raise UnknownName("flow-not-listed", field="trim", value=trim, right=" or ".join(TRIMS))
    return give_back(
        factor_of(
            positive(kv, "kv"),
            positive(reynolds, "reynolds"),
            positive(valve_diameter, "valve_diameter"),
            recovery_checked(pressure_recovery),
            np.asarray(trim == "full"),
        )
    )


def factor_of(
    kv: NDArray[np.float64],
    reynolds: NDArray[np.float64],
    valve_diameter: NDArray[np.float64],
    pressure_recovery: NDArray[np.float64],
    full: NDArray[np.bool_],
) -> NDArray[np.float64]:
    """Return FR of checked values, equations A.6 to A.8, for loops that solve. [m], [-]"""
    capacity = kv / (1e3 * valve_diameter) ** 2
    n = np.where(full, N2 / capacity**2, 1.0 + N32 * np.cbrt(capacity) ** 2)
    laminar = 0.026 / pressure_recovery * np.sqrt(n * reynolds)
    slope = 0.33 * np.sqrt(pressure_recovery) / np.sqrt(np.sqrt(n))
    between = 1.0 + slope * np.log10(reynolds / TURBULENT)
    found = np.minimum(laminar, 1.0)
    return np.where(reynolds < _LAMINAR, found, np.minimum(found, between))


def expansion_of(
    reynolds: NDArray[np.float64], drop: NDArray[np.float64], choked: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return Y of the non-turbulent branch, equation A.5: the actual and choked drop ratio. [-]"""
    turbulent = 1.0 - np.minimum(drop, choked) / (3.0 * choked)
    laminar = np.sqrt(1.0 - drop / 2.0)
    share = (reynolds - _LAMINAR_EXPANSION) / (TURBULENT - _LAMINAR_EXPANSION)
    return np.asarray(laminar + np.clip(share, 0.0, 1.0) * (turbulent - laminar))
