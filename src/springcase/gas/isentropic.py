"""Isentropic flow of an ideal gas by its Mach number: what a throat or a jet is like."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from springcase.gas.numbers import Numbers, give_back, positive
from springcase.gas.orifice import exponent_checked


@dataclass(frozen=True, slots=True, kw_only=True)
class Isentropic:
    """Static over stagnation pressure, temperature and density, and area over throat area. [-]"""

    pressure: Numbers
    temperature: Numbers
    density: Numbers
    area: Numbers


def isentropic_ratios(mach: ArrayLike, isentropic_exponent: ArrayLike) -> Isentropic:
    """
    Return the ratios of ``naca_1135_1953`` at a Mach number. [-]

    Raises
    ------
    OutsideValidity
        If the Mach number is not more than zero, or the exponent not more than 1 and up to 2.

    Examples
    --------
    >>> round(isentropic_ratios(2.0, 1.4).area, 4)
    1.6875
    """
    number = positive(mach, "mach")
    kappa = exponent_checked(isentropic_exponent)
    warmth = 1.0 + (kappa - 1.0) / 2.0 * number**2
    sonic = (kappa + 1.0) / 2.0
    return Isentropic(
        pressure=give_back(warmth ** (-kappa / (kappa - 1.0))),
        temperature=give_back(1.0 / warmth),
        density=give_back(warmth ** (-1.0 / (kappa - 1.0))),
        area=give_back((warmth / sonic) ** ((kappa + 1.0) / (2.0 * (kappa - 1.0))) / number),
    )


def throat_temperature(inlet_temperature: ArrayLike, isentropic_exponent: ArrayLike) -> Numbers:
    """
    Return the temperature of gas at a sonic throat. [K]

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated.
    """
    sonic = isentropic_ratios(1.0, isentropic_exponent)
    return give_back(
        positive(inlet_temperature, "inlet_temperature") * np.asarray(sonic.temperature)
    )
