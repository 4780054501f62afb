"""
The force balance at the diaphragm of a self-operated regulator, for many points and units.

All forces are referred to the diaphragm. `p` is the pressure held, `q` the other side's, x the
valve lift; positive is what moves the diaphragm against its control spring::

    (p - p_atm) Ae (1 + c x / X)  +  s (q - p) Ap / R  +  t K x  -  F  =  0

s is +1 where the inlet of a reducer pushes the valve shut (flow-to-close), -1 where it pushes it
open; Ap is the port, or for balanced trim the residual area; R the lever ratio; K = k R + kv / R
the springs; t is +1 for a reducer, whose spring relaxes as it opens, and -1 for a back-pressure
regulator, whose spring is shortened. F is control spring, weight, spring-case pressure and valve
spring with the valve shut. Friction and seat load are added with the sign of the motion.
First principles of statics (``statics``); checked against the balance rows of the check file.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from springcase.errors import OutsideValidity
from springcase.regulator.bracket import bisect_increasing, solve_increasing
from springcase.regulator.model import (
    GAS_CONSTANT,
    WEIGHT_SHARE,
    Action,
    FlowDirection,
    GasState,
    Number,
    Place,
    Regulator,
)
from springcase.units import STANDARD_GRAVITY

Array = NDArray[np.float64]

CLOSURE: Final = 1e-12
"""Share of the setting force to which the balance is closed. [-]"""
_BLOCK: Final = 8192
"""Points solved at once: their arrays stay in the processor's cache."""

RISING: Final = 1.0
FALLING: Final = -1.0
NEITHER: Final = 0.0
"""Which way the flow moved last: friction is felt against it. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Terms:
    """The coefficients of the balance of many points, each a float or an array over points."""

    area: Any
    area_growth: Any
    port: Any
    stiffness: Any
    force: Any
    other: Any
    atmosphere: Any
    mass_flow: Any
    lift_per_area: Any
    travel: Any
    body_area: Any
    root_density: Any
    exponent: Any
    boost: Any
    holds_outlet: bool

    def at(self, index: Any) -> Terms:
        """Return the coefficients of some of the points."""
        taken = {}
        for field in fields(self):
            value = getattr(self, field.name)
            is_many = isinstance(value, np.ndarray) and value.ndim > 0
            taken[field.name] = value[index] if is_many else value
        return Terms(**taken)


def action_sign(regulator: Regulator) -> float:
    """Return +1 for a reducer, -1 for a back-pressure regulator. [-]"""
    return 1.0 if regulator.action is Action.REDUCING else -1.0


def port_term(regulator: Regulator) -> Number:
    """Return s Ap / R, the area on which (q - p) acts at the diaphragm. [m2]"""
    pushes_shut = regulator.flow_direction is FlowDirection.TO_CLOSE
    sign = 1.0 if pushes_shut else -1.0
    return sign * np.asarray(regulator.plug_area) / regulator.lever_ratio


def stiffness(regulator: Regulator) -> Number:
    """Return K, the springs felt at the diaphragm for a metre of valve lift. [N/m]"""
    ratio = np.asarray(regulator.lever_ratio)
    return regulator.control_spring.rate * ratio + regulator.valve_spring_rate / ratio


def seat_force(regulator: Regulator) -> Number:
    """Return the force that makes the seat tight: load per length times its edge. [N]"""
    return np.asarray(regulator.seat_load) * np.pi * np.asarray(regulator.bore)


def helping_force(regulator: Regulator, place: Place) -> Number:
    """Return weight and spring-case pressure, positive where they help the control spring. [N]"""
    weight = WEIGHT_SHARE[place.attitude] * np.asarray(regulator.moving_mass) * STANDARD_GRAVITY
    return weight + np.asarray(place.spring_case_gauge) * regulator.effective_area


def full_lift(regulator: Regulator) -> Number:
    """Return the lift beyond which nothing more opens: a quarter bore, or the travel. [m]"""
    return np.minimum(np.asarray(regulator.travel), np.asarray(regulator.bore) / 4.0)


def full_area(regulator: Regulator, *, failed: bool = False) -> Number:
    """Return discharge times area at full lift, seat and body in series. [m2]"""
    discharge = regulator.discharge_open if failed else regulator.discharge
    seat = discharge * np.pi * np.asarray(regulator.bore) * full_lift(regulator)
    return in_series(seat, regulator.body_area)


def in_series(first: Number, second: Number) -> Number:
    """
    Return the one area that passes what two in series do, by the sum of their losses. [m2]

    Losses add as for a liquid; in gas the second sees a little more volume. Common practice, no
    source; `docs/limitations.md` says how far it may be off.
    """
    first, second = np.asarray(first, dtype=float), np.asarray(second, dtype=float)
    with np.errstate(divide="ignore"):
        return np.sqrt(1.0 / (1.0 / (first * first) + 1.0 / (second * second)))


def root_density(gas: GasState) -> Number:
    """Return sqrt(M / (Z R T)), which turns a pressure into a mass flux. [s/m]"""
    return np.sqrt(
        np.asarray(gas.molar_mass) / (GAS_CONSTANT * gas.compressibility * gas.temperature)
    )


def flow_shape(ratio: Array, exponent: Any) -> tuple[Array, Array]:
    """
    Return the flow function of the orifice and its slope at pressure ratios 0 to 1. [-]

    The same function as `springcase.gas.orifice.flow_function`, to which a test holds it, in
    the form that gives the slope for one power more.
    """
    critical = np.exp(exponent / (exponent - 1.0) * np.log(2.0 / (exponent + 1.0)))
    held = np.maximum(ratio, critical)
    root = np.exp(np.log(held) / exponent)
    scale = exponent / (exponent - 1.0)
    shape = np.sqrt(np.maximum(2.0 * scale * root * (root - held), 0.0))
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = scale * root * (2.0 / exponent * root / held - 1.0 - 1.0 / exponent) / shape
    return shape, np.where(ratio > critical, slope, 0.0)


def mass_flux(gas: GasState, upstream_abs: Number, downstream_abs: Number) -> Array:
    """Return the mass flow through a unit of discharge times area. [kg/(s.m2)]"""
    upstream = np.asarray(upstream_abs, dtype=float)
    ratio = np.clip(np.asarray(downstream_abs) / upstream, 0.0, 1.0)
    shape, _ = flow_shape(ratio, np.asarray(gas.isentropic_exponent))
    return np.asarray(upstream * root_density(gas) * shape)


def _needed_lift(held: Array, terms: Terms) -> tuple[Array, Array]:
    """Return the lift that passes the flow at pressures held, and its slope; inf where none."""
    if terms.holds_outlet:
        ratio = held / terms.other
        shape, slope = flow_shape(ratio, terms.exponent)
        flux = terms.other * terms.root_density * shape
        flux_slope = terms.root_density * slope
    else:
        ratio = terms.other / held
        shape, slope = flow_shape(ratio, terms.exponent)
        flux = held * terms.root_density * shape
        flux_slope = terms.root_density * (shape - ratio * slope)
    with np.errstate(divide="ignore", invalid="ignore"):
        whole = terms.mass_flow / flux
        left = 1.0 - (whole / terms.body_area) ** 2
        root = np.sqrt(np.maximum(left, 0.0))
        lift = terms.lift_per_area * np.where(left > 0.0, whole / root, np.inf)
        change = -lift / left * flux_slope / flux
    shut = terms.mass_flow == 0.0
    return np.where(shut, 0.0, lift), np.where(shut, 0.0, change)


def balance(held: Array, terms: Terms) -> tuple[Array, Array, Array]:
    """Return the force left over at pressures held, its slope, and the lift needed. [N], [m]"""
    needed, change = _needed_lift(held, terms)
    is_free = needed < terms.travel
    lift = np.where(is_free, needed, terms.travel)
    change = np.where(is_free, change, 0.0)
    gauge = held - terms.atmosphere
    left = (
        gauge * (terms.area + terms.area_growth * lift)
        + terms.port * (terms.other - held)
        + terms.stiffness * lift
        - terms.force
    )
    slope = (
        terms.area
        + terms.area_growth * (lift + gauge * change)
        - terms.port
        + terms.stiffness * change
    )
    if np.any(terms.boost):
        lost = terms.boost * terms.mass_flow**2 / held
        left, slope = left - lost, slope + lost / held
    return left, slope, needed


def make_terms(
    regulator: Regulator,
    gas: GasState,
    place: Place,
    *,
    force: Number,
    mass_flow: Number,
    motion: Number = NEITHER,
) -> Terms:
    """
    Return the coefficients of the balance at flows [kg/s] under a setting force [N].

    `motion` says which way the flow moved last; friction works against it. [-]

    Raises
    ------
    OutsideValidity
        If the inlet's push on the valve outweighs the diaphragm, so that nothing is held.
    """
    sign = action_sign(regulator)
    area = np.asarray(regulator.effective_area, dtype=float)
    port = port_term(regulator)
    if np.any(area * (1.0 - abs(np.asarray(regulator.area_change))) <= port):
        raise OutsideValidity(
            "performance-diaphragm-small",
            field=regulator.name,
            value=f"{float(np.max(area)) * 1e6:.4g} mm2",
            right=f"more than {float(np.max(port)) * 1e6:.4g} mm2",
        )
    bore = np.asarray(regulator.bore, dtype=float)
    speed = root_density(gas)
    boost = 0.0
    if np.any(regulator.boost):
        # Dynamic pressure in the outlet is m^2 / (2 rho A^2), with rho = p M / (Z R T).
        outlet = np.pi / 4.0 * np.asarray(regulator.outlet_bore) ** 2
        boost = area * regulator.boost / (2.0 * speed**2 * outlet**2)
    lift = full_lift(regulator)
    return Terms(
        area=area,
        area_growth=area * regulator.area_change / np.asarray(regulator.travel),
        port=port,
        stiffness=sign * stiffness(regulator),
        force=np.asarray(force) - sign * np.asarray(motion) * regulator.friction,
        other=np.asarray(place.other_abs, dtype=float),
        atmosphere=np.asarray(place.atmosphere_abs, dtype=float),
        mass_flow=np.asarray(mass_flow, dtype=float),
        lift_per_area=1.0 / (regulator.discharge * np.pi * bore),
        travel=lift,
        body_area=np.asarray(regulator.body_area, dtype=float),
        root_density=speed,
        exponent=np.asarray(gas.isentropic_exponent, dtype=float),
        boost=boost,
        holds_outlet=regulator.action is Action.REDUCING,
    )


def solve_held(terms: Terms) -> Array:
    """
    Return the pressure held at each point, absolute; NaN where the flow is more than passes. [Pa]

    Where the balance asks for more than full lift the pressure is that at which full lift just
    passes the flow.
    """
    arrays = {
        field.name: np.asarray(getattr(terms, field.name))
        for field in fields(terms)
        if field.name != "holds_outlet"
    }
    shape = np.broadcast_shapes(*(each.shape for each in arrays.values()))
    flat: dict[str, Any] = {
        name: each if each.ndim == 0 else np.broadcast_to(each, shape).ravel()
        for name, each in arrays.items()
    }
    size = int(np.prod(shape, dtype=int))
    if all(each.ndim == 0 for each in flat.values()):
        flat["mass_flow"] = flat["mass_flow"].reshape(1)
    whole = Terms(**flat, holds_outlet=terms.holds_outlet)
    found = np.empty(size)
    for first in range(0, size, _BLOCK):
        part = slice(first, min(first + _BLOCK, size))
        block = whole.at(part)
        found[part] = _solve_block(block, part.stop - part.start)
    return found.reshape(shape)


def _solve_block(terms: Terms, size: int) -> Array:
    low, high, start = _brackets(terms, size)
    closed = CLOSURE * np.abs(np.broadcast_to(terms.force, (size,)))

    def function(held: Array, index: Any) -> tuple[Array, Array]:
        here = terms if index is None else _cached(index)
        left, slope, _ = balance(held, here)
        return left, slope

    last: list[Any] = [None, terms]

    def _cached(index: Any) -> Terms:
        if last[0] is not index:
            last[0], last[1] = index, terms.at(index)
        taken: Terms = last[1]
        return taken

    held = solve_increasing(function, low, high, start, closed)
    with np.errstate(invalid="ignore"):
        needed, _ = _needed_lift(held, terms)
    is_short = needed > np.broadcast_to(terms.travel, (size,)) * (1.0 + 1e-9)
    # At the low end no pressure closes the balance: too stiff a spring opens too little even to a
    # vacuum, so the flow does not pass.
    at_end = (held <= low * (1.0 + 1e-6)) & ~is_short
    if terms.holds_outlet and at_end.any():
        held = np.where(at_end & (balance(held, terms)[0] > closed), np.nan, held)
    short = np.flatnonzero(is_short)
    if short.size:
        held[short] = _at_full_lift(terms.at(short), short.size)
    return held


def _brackets(terms: Terms, size: int) -> tuple[Array, Array, Array]:
    """Return brackets that hold the root, and the pressure held with the valve shut as start."""
    other = np.broadcast_to(terms.other, (size,))
    shut = (terms.force + terms.atmosphere * terms.area - terms.port * terms.other) / (
        terms.area - terms.port
    )
    shut = np.broadcast_to(shut, (size,))
    if terms.holds_outlet:
        low = 1e-6 * other
        return low, other.copy(), np.clip(shut, low, 0.5 * (low + other))
    # Above this the balance is positive whatever the lift: every term at its least.
    growth = np.maximum(-np.asarray(terms.area_growth) * terms.travel, 0.0)
    most = (
        terms.force
        - np.minimum(terms.stiffness, 0.0) * terms.travel
        + terms.atmosphere * terms.area
        + np.abs(terms.port) * terms.other
    ) / (terms.area - growth - np.maximum(terms.port, 0.0))
    high = np.maximum(np.broadcast_to(most, (size,)), other) * (1.0 + 1e-9) + 1.0
    return other * (1.0 + 1e-12), high, np.clip(shut, other, high)


def _at_full_lift(terms: Terms, size: int) -> Array:
    """Return the pressure at which full lift just passes the flow; NaN where none does. [Pa]"""
    other = np.broadcast_to(terms.other, (size,))

    def more_than_full(held: Array) -> Array:
        needed, _ = _needed_lift(held, terms)
        return np.where(needed > terms.travel, 1.0, -1.0)

    if terms.holds_outlet:
        low = 1e-6 * other
        held = bisect_increasing(more_than_full, low, other)
        return np.where(more_than_full(low) > 0.0, np.nan, held)
    high = other * 2.0
    while np.any(more_than_full(high) > 0.0):
        high = np.where(more_than_full(high) > 0.0, high * 2.0, high)
    return bisect_increasing(lambda held: -more_than_full(held), other, high)
