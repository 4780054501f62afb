"""
The critical flow of a real gas: along the isentrope of its equation of state to the sonic throat.

The ideal nozzle of `orifice` knows the gas by an exponent and Z at the inlet; this follows
enthalpy, entropy and sound speed of GERG-2008 down to the throat.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
import pyaga8
from numpy.typing import ArrayLike

from springcase.errors import OutsideValidity
from springcase.gas.composition import Gas, wheel_composition
from springcase.gas.numbers import GAS_CONSTANT, Numbers, give_back
from springcase.gas.properties import GERG_2008, state

_HALVINGS: Final = 60
_THINNEST: Final = 0.3
_SAME_ENTROPY: Final = 1e-11
_EQUATION_CONSTANT: Final = 8.314472
"""The gas constant the equation was fitted with (``gerg_2008``). [J/(mol.K)]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class CriticalFlow:
    """C*, throat over inlet pressure [-], throat temperature [K], flow per area [kg/(s.m2)]."""

    flow_function: Numbers
    pressure_ratio: Numbers
    temperature: Numbers
    flux: Numbers


def critical_flow(gas: Gas, pressure_abs: ArrayLike, temperature: ArrayLike) -> CriticalFlow:
    """
    Return the critical flow of a gas at rest before a nozzle, by ``gerg_2008``. [Pa], [K]

    C* is the flux over pressure times the root of M / (R T), so Z is within it.

    Raises
    ------
    OutsideValidity
        If the inlet is outside the equation, below the dew line, or no sonic throat is found.

    Examples
    --------
    >>> from springcase.gas.composition import read_gas
    >>> round(critical_flow(read_gas("methane"), 50e5, 288.15).flow_function, 3)
    0.709
    """
    inlet = state(gas, pressure_abs, temperature)
    pressures, kelvins = np.broadcast_arrays(
        np.asarray(pressure_abs, dtype=np.float64), np.asarray(temperature, dtype=np.float64)
    )
    equation: Any = pyaga8.Gerg2008()
    equation.set_composition(wheel_composition(gas))
    equation.calc_molar_mass()
    rows = [
        _throat(equation, float(p), float(t))
        for p, t in zip(pressures.ravel(), kelvins.ravel(), strict=True)
    ]
    throat, cold, flux = np.array(rows).reshape(-1, 3).T.reshape(3, *pressures.shape)
    scale = pressures * np.sqrt(inlet.molar_mass / (GAS_CONSTANT * kelvins))
    return CriticalFlow(
        flow_function=give_back(np.asarray(flux / scale)),
        pressure_ratio=give_back(np.asarray(throat / pressures)),
        temperature=give_back(cold),
        flux=give_back(flux),
    )


def _throat(equation: Any, pressure_abs: float, temperature: float) -> tuple[float, float, float]:
    """Return throat pressure, temperature and flux of one inlet state."""
    equation.temperature, equation.pressure = temperature, pressure_abs / 1e3
    equation.calc_density(0)
    equation.calc_properties()
    mass, entropy, enthalpy = equation.mm / 1e3, equation.s, equation.h
    inlet_density = equation.d
    low, high = _THINNEST * inlet_density, inlet_density
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        temperature = _at_entropy(equation, middle, temperature, entropy)
        # Speed from the enthalpy given up, less the speed of sound: the throat is where they meet.
        is_past = 2.0 * (enthalpy - equation.h) / mass > equation.w**2
        low, high = (middle, high) if is_past else (low, middle)
    if low == _THINNEST * inlet_density or high == inlet_density:
        raise OutsideValidity(
            "gas-no-throat",
            field="pressure_abs",
            value=f"{pressure_abs:.6g}",
            right="a state farther from the critical point",
            equation=GERG_2008,
        )
    flux = 1e3 * mass * equation.d * equation.w
    pressure = 1e3 * equation.z * equation.d * _EQUATION_CONSTANT * equation.temperature
    return float(pressure), float(equation.temperature), float(flux)


def _at_entropy(equation: Any, density: float, guess: float, entropy: float) -> float:
    """Leave the equation at a density and an entropy, by Newton's steps; return temperature."""
    kelvin = guess
    for _ in range(20):
        equation.temperature, equation.d = kelvin, density
        equation.calc_properties()
        step = (entropy - equation.s) * kelvin / equation.cv
        if abs(step) < _SAME_ENTROPY * kelvin:
            break
        kelvin += step
    return kelvin
