"""
Whether a gas would condense: the dew line by the Peng-Robinson equation.

What is checked: a drop of liquid is tried against the gas (Michelsen's stability test, with the
equation of Peng and Robinson of 1976 and no interaction coefficients). Against measured dew
points of dry natural gas such a line is good to some 5 K; traces of heavier components than the
composition names move it further, so a clear pass is no clearance for a wet gas.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np
from numpy.typing import NDArray

from springcase.errors import OutsideValidity
from springcase.gas.composition import Gas, components

Array = NDArray[np.float64]
Flags = NDArray[np.bool_]

_GAS_CONSTANT: Final = 8.314462618
_STEPS: Final = 60
# Below this many states each is tried; above, the dew line is found at as many pressures.
_DIRECT: Final = 64
_HALVINGS: Final = 12
_ROOT_2: Final = math.sqrt(2.0)
# Volume over that of the molecules at the equation's critical point: denser is liquid-like.
_LIQUID_VOLUME: Final = 3.951


class _Mixture:
    """The constants of a gas in the equation of Peng and Robinson, one row a component."""

    __slots__ = ("b", "fractions", "m", "omega", "p_c", "t_c")

    def __init__(self, gas: Gas) -> None:
        rows = [components()[name] for name, _ in gas.fractions]
        self.fractions = np.array([x for _, x in gas.fractions])[:, None]
        self.t_c = np.array([row.critical_temperature for row in rows])[:, None]
        self.p_c = np.array([row.critical_pressure for row in rows])[:, None]
        self.omega = np.array([row.acentric_factor for row in rows])[:, None]
        self.m = 0.37464 + 1.54226 * self.omega - 0.26992 * self.omega**2
        self.b = 0.07780 * _GAS_CONSTANT * self.t_c / self.p_c

    def root_a(self, temperature: Array) -> Array:
        """Return the square roots of the attraction of the components."""
        # Far above a light component's critical temperature alpha passes nought: held there.
        alpha = np.maximum(1 + self.m * (1 - np.sqrt(temperature / self.t_c)), 0.0)
        found: Array = math.sqrt(0.45724) * _GAS_CONSTANT * self.t_c / np.sqrt(self.p_c) * alpha
        return found


def _roots(a: Array, b: Array) -> tuple[Array, Array]:
    """Return the largest and the smallest compressibility factor of the cubic."""
    c2, c1, c0 = -(1 - b), a - 2 * b - 3 * b * b, -(a * b - b * b - b**3)
    q = (3 * c1 - c2 * c2) / 9
    r = (9 * c2 * c1 - 27 * c0 - 2 * c2**3) / 54
    discriminant = q**3 + r * r
    one = discriminant > 0
    root = np.sqrt(np.where(one, discriminant, 0.0))
    single = np.cbrt(r + root) + np.cbrt(r - root) - c2 / 3
    size = np.sqrt(np.where(one, 1.0, -q))
    angle = np.arccos(np.clip(r / np.where(one, 1.0, size**3 + (size == 0)), -1, 1))
    largest = 2 * size * np.cos(angle / 3) - c2 / 3
    smallest = 2 * size * np.cos((angle + 2 * math.pi) / 3) - c2 / 3
    smallest = np.where(smallest > b, smallest, largest)
    return np.where(one, single, largest), np.where(one, single, smallest)


def _log_fugacity(
    mixture: _Mixture, y: Array, root_a: Array, p_rt: Array, rt: Array, *, is_gas: bool
) -> tuple[Array, Array, Array]:
    """Return ln of the fugacity coefficients of a phase, its factor z, and its b."""
    total_root = (y * root_a).sum(axis=0)
    b = (y * mixture.b).sum(axis=0)
    big_a, big_b = total_root**2 * p_rt / rt, b * p_rt
    largest, smallest = _roots(big_a, big_b)
    z = largest if is_gas else smallest
    share = mixture.b / b
    spread = np.log((z + (1 + _ROOT_2) * big_b) / (z + (1 - _ROOT_2) * big_b))
    pull = big_a / (2 * _ROOT_2 * big_b) * (2 * root_a / total_root - share)
    found: Array = share * (z - 1) - np.log(z - big_b) - pull * spread
    return found, z, big_b


def _condenses(mixture: _Mixture, pressure_abs: Array, temperature: Array) -> Flags:
    """Return where a drop of liquid would grow in the gas, or the gas is a liquid already."""
    rt = _GAS_CONSTANT * temperature
    p_rt = pressure_abs / rt
    x, root_a = mixture.fractions, mixture.root_a(temperature)
    gas, z, big_b = _log_fugacity(mixture, x, root_a, p_rt, rt, is_gas=True)
    level = np.log(x) + gas
    wilson = np.log(mixture.p_c / pressure_abs) + 5.373 * (1 + mixture.omega) * (
        1 - mixture.t_c / temperature
    )
    log_y = np.log(x) - wilson
    for _ in range(_STEPS):
        # Only proportions enter the next step: the largest is one, so that none overflows.
        y = np.exp(log_y - log_y.max(axis=0))
        liquid, _, _ = _log_fugacity(mixture, y / y.sum(axis=0), root_a, p_rt, rt, is_gas=False)
        log_y = level - liquid
    is_trivial = ((log_y - np.log(x)) ** 2).sum(axis=0) < 1e-4
    grows = np.logaddexp.reduce(log_y, axis=0) > 1e-7
    is_cold = temperature < (x * mixture.t_c).sum(axis=0)
    is_liquid = is_cold & (z / big_b < _LIQUID_VOLUME)
    found: Flags = (grows & ~is_trivial) | is_liquid
    return found


def condensing(gas: Gas, pressure_abs: Array, temperature: Array) -> Flags:
    """
    Return where a gas lies below its dew line by the check of this module.

    Pressure absolute [Pa], temperature [K], of one shape. More than a few states are judged by
    the dew temperature between the pressures it was found at.
    """
    p, t = pressure_abs.ravel(), temperature.ravel()
    hottest = max(components()[name].critical_temperature for name, _ in gas.fractions)
    found = np.zeros(p.shape, dtype=np.bool_)
    cold = t <= hottest
    if cold.any():
        found[cold] = _judge(_Mixture(gas), p[cold], t[cold])
    return found.reshape(pressure_abs.shape)


def _judge(mixture: _Mixture, p: Array, t: Array) -> Flags:
    if len(p) <= _DIRECT:
        return _condenses(mixture, p, t)
    at = np.geomspace(p.min(), p.max(), _DIRECT)
    low, high = np.full(_DIRECT, t.min()), np.full(_DIRECT, t.max())
    below = _condenses(mixture, at, low)
    if not below.any():
        # A liquid line can hide between the pressures only where the cold end is one as well.
        return np.zeros(p.shape, dtype=np.bool_)
    above = _condenses(mixture, at, high)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        wet = _condenses(mixture, at, middle)
        low, high = np.where(wet, middle, low), np.where(wet, high, middle)
    dew = np.where(above, np.inf, np.where(below, high, -np.inf))
    # Between two pressures the higher of their dew temperatures stands.
    right = np.clip(np.searchsorted(at, p), 1, _DIRECT - 1)
    limits: Flags = t < np.maximum(dew[right - 1], dew[right])
    return limits


def refuse_condensing(gas: Gas, pressure_abs: Array, temperature: Array) -> None:
    """
    Refuse states below the dew line.

    Pressure absolute [Pa], temperature [K]. Raises OutsideValidity with the first such state.
    """
    wet = condensing(gas, pressure_abs, temperature)
    if wet.any():
        p, t = float(pressure_abs[wet].flat[0]), float(temperature[wet].flat[0])
        raise OutsideValidity(
            "gas-below-dew",
            field=gas.name,
            value=f"at {p:g} Pa absolute and {t:g} K",
            right="a higher temperature or a lower pressure",
        )
