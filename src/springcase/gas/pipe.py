"""
Gas along a pipe: velocity and Mach number, friction, and isothermal pressure loss both ways.

The complete isothermal equation is used, with the kinetic term, so that a pipe chokes at its
outlet where its Mach number is one over the root of the exponent and never passes more.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from springcase.errors import OutsideValidity, UnknownName
from springcase.gas.bracketing import find_roots
from springcase.gas.numbers import (
    GAS_CONSTANT,
    Numbers,
    falls,
    give_back,
    not_negative,
    positive,
    refuse,
    within,
)

Array = NDArray[np.float64]

FRICTION: Final = ("colebrook", "haaland", "swamee-jain")
LAMINAR: Final = 2300.0
ROUGH: Final = 4000.0
"""Reynolds numbers between which laminar turns to turbulent (``common_practice``). [-]"""
_ROUGHEST: Final = 0.05


def pipe_velocity(
    mass_flow: ArrayLike,
    *,
    diameter: ArrayLike,
    pipe_pressure_abs: ArrayLike,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    compressibility: ArrayLike = 1.0,
) -> Numbers:
    """
    Return the mean velocity in a pipe. [kg/s], [m], [Pa], [K], [kg/mol], [m/s]

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated.
    """
    density = _density(pipe_pressure_abs, temperature, molar_mass, compressibility)
    area = np.pi / 4.0 * positive(diameter, "diameter") ** 2
    return give_back(not_negative(mass_flow, "mass_flow") / (density * area))


def ideal_sound_speed(
    *,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    isentropic_exponent: ArrayLike,
    compressibility: ArrayLike = 1.0,
) -> Numbers:
    """
    Return the speed of sound, root of kappa Z R T / M. [K], [kg/mol], [m/s]

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated.
    """
    square = (
        within(
            isentropic_exponent,
            "isentropic_exponent",
            above=1.0,
            up_to=2.0,
            right="more than 1 and up to 2",
        )
        * positive(compressibility, "compressibility")
        * GAS_CONSTANT
        * positive(temperature, "temperature")
        / positive(molar_mass, "molar_mass")
    )
    return give_back(np.sqrt(square))


def mach_number(velocity: ArrayLike, sound_speed: ArrayLike) -> Numbers:
    """
    Return velocity over the speed of sound. [m/s], [-]

    A mean Mach number above 1 in a pipe says that the pressure taken there is too low: the
    outlet is sonic and the pressure in the pipe higher.

    Raises
    ------
    OutsideValidity
        If the velocity is negative or the speed of sound is not more than zero.
    """
    return give_back(not_negative(velocity, "velocity") / positive(sound_speed, "sound_speed"))


def _density(
    pipe_pressure_abs: ArrayLike,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    compressibility: ArrayLike,
) -> Array:
    return (
        positive(pipe_pressure_abs, "pipe_pressure_abs")
        * positive(molar_mass, "molar_mass")
        / (
            positive(compressibility, "compressibility")
            * GAS_CONSTANT
            * positive(temperature, "temperature")
        )
    )


def friction_factor(
    reynolds: ArrayLike, relative_roughness: ArrayLike, correlation: str = "colebrook"
) -> Numbers:
    """
    Return the Darcy friction factor of a pipe. [-]

    Laminar, 64 / Re, up to 2300; the named correlation from 4000; between the two a straight
    line in Re, so that nothing jumps (``common_practice``). Correlations: "colebrook" (solved
    to its last digits), "haaland", "swamee-jain" (``fluids_friction_memory``).

    Raises
    ------
    OutsideValidity
        If the Reynolds number is not more than zero, or the roughness over 0.05.
    UnknownName
        If the correlation is not one of `FRICTION`.

    Examples
    --------
    >>> round(friction_factor(1e5, 1e-4), 6)
    0.018514
    """
    if correlation not in FRICTION:
        raise UnknownName(
            "flow-not-listed", field="friction", value=correlation, right=", ".join(FRICTION)
        )
    number = positive(reynolds, "reynolds")
    return give_back(_friction(number, _roughness(relative_roughness), correlation))


def _roughness(value: ArrayLike) -> Array:
    found = not_negative(value, "relative_roughness")
    refuse(found, found > _ROUGHEST, "relative_roughness", "0 to 0.05")
    return found


def _friction(reynolds: Array, roughness: Array, correlation: str) -> Array:
    """Return the friction factor of checked values."""
    rough = np.maximum(reynolds, ROUGH)
    if correlation == "swamee-jain":
        turbulent = 0.25 / np.log10(roughness / 3.7 + 5.74 / rough**0.9) ** 2
    else:
        root = -1.8 * np.log10((roughness / 3.7) ** 1.11 + 6.9 / rough)
        if correlation == "colebrook":
            root = _colebrook(root, rough, roughness)
        turbulent = 1.0 / root**2
    laminar = 64.0 / np.minimum(reynolds, LAMINAR)
    share = np.clip((reynolds - LAMINAR) / (ROUGH - LAMINAR), 0.0, 1.0)
    return np.asarray(laminar + share * (turbulent - laminar))


def _colebrook(root: Array, reynolds: Array, roughness: Array) -> Array:
    """Return 1 / sqrt(f) of Colebrook by Newton's steps from Haaland's, convex and so sure."""
    slope = 2.51 / reynolds
    for _ in range(4):
        inside = roughness / 3.7 + slope * root
        value = root + 2.0 * np.log10(inside)
        root = root - value / (1.0 + 2.0 / np.log(10.0) * slope / inside)
    return root


class _Pipe:
    """A pipe and its gas, checked and broadcast, for the solvers below."""

    __slots__ = (
        "area",
        "correlation",
        "diameter",
        "length",
        "loss",
        "roughness",
        "rt",
        "viscosity",
    )

    def __init__(
        self,
        *,
        length: ArrayLike,
        diameter: ArrayLike,
        roughness: ArrayLike,
        temperature: ArrayLike,
        molar_mass: ArrayLike,
        viscosity: ArrayLike,
        compressibility: ArrayLike,
        loss_coefficient: ArrayLike,
        correlation: str,
    ) -> None:
        self.length = positive(length, "length")
        self.diameter = positive(diameter, "diameter")
        self.area = np.pi / 4.0 * self.diameter**2
        self.roughness = _roughness(not_negative(roughness, "roughness") / self.diameter)
        self.viscosity = positive(viscosity, "viscosity")
        self.loss = not_negative(loss_coefficient, "loss_coefficient")
        self.rt = (
            positive(compressibility, "compressibility")
            * GAS_CONSTANT
            * positive(temperature, "temperature")
            / positive(molar_mass, "molar_mass")
        )
        if correlation not in FRICTION:
            raise UnknownName(
                "flow-not-listed", field="friction", value=correlation, right=", ".join(FRICTION)
            )
        self.correlation = correlation

    def resistance(self, mass_flow: Array) -> Array:
        """Return f L / D + K at a mass flow."""
        reynolds = mass_flow * self.diameter / (self.area * self.viscosity)
        friction = _friction(np.maximum(reynolds, 1e-12), self.roughness, self.correlation)
        return np.asarray(friction * self.length / self.diameter + self.loss)

    def passed(self, inlet: Array, ratio: Array, resistance: Array) -> Array:
        """Return the mass flow at a ratio of outlet to inlet pressure, held where it chokes."""
        held = np.maximum(ratio, _choked_ratio(resistance))
        # -expm1 of the doubled logarithm keeps the digits of a small drop.
        logarithm = np.log(held)
        root = -np.expm1(2.0 * logarithm) / (resistance - 2.0 * logarithm)
        return np.asarray(self.area * inlet * np.sqrt(root / self.rt))

    def shape_with(self, *others: Array) -> tuple[int, ...]:
        """Return the shape of everything together."""
        own = (self.length, self.diameter, self.roughness, self.viscosity, self.loss, self.rt)
        return np.broadcast_shapes(*(one.shape for one in (*own, *others)))


def _choked_ratio(resistance: Array) -> Array:
    """Return outlet over inlet pressure where an isothermal pipe chokes: y - 1 - ln y = N."""
    # From above, on a convex curve, Newton's steps fall to the root and cannot pass it.
    square = 1.0 + resistance + np.sqrt(2.0 * resistance)
    for _ in range(12):
        error = square - 1.0 - np.log(square) - resistance
        steep = 1.0 - 1.0 / square
        square = np.where(steep > 0.0, square - error / np.where(steep > 0.0, steep, 1.0), square)
        square = np.maximum(square, 1.0)
    return np.asarray(1.0 / np.sqrt(square))


def pipe_mass_flow(
    *,
    inlet_pressure_abs: ArrayLike,
    outlet_pressure_abs: ArrayLike,
    length: ArrayLike,
    diameter: ArrayLike,
    roughness: ArrayLike,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    viscosity: ArrayLike,
    compressibility: ArrayLike = 1.0,
    loss_coefficient: ArrayLike = 0.0,
    friction: str = "colebrook",
) -> Numbers:
    """
    Return the mass flow a pipe passes between two pressures, isothermal, choked or not. [kg/s]

    Parameters
    ----------
    inlet_pressure_abs : array_like
        Static pressure in the pipe at its inlet. [Pa]
    outlet_pressure_abs : array_like
        Pressure at or beyond its outlet. [Pa]
    length, diameter, roughness : array_like
        Length, bore and wall roughness. [m]
    temperature : array_like
        Temperature along the pipe. [K]
    molar_mass : array_like
        Molar mass. [kg/mol]
    viscosity : array_like
        Dynamic viscosity. [Pa.s]
    compressibility : array_like
        Compressibility factor, taken as one along the pipe. [-]
    loss_coefficient : array_like
        Velocity heads lost in bends, entry and valves. [-]
    friction : str
        One of `FRICTION`.

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated, or the outlet pressure is above the inlet's.

    Notes
    -----
    ``crane_tp_410_isothermal``, equation of complete isothermal flow.
    """
    pipe = _Pipe(
        length=length,
        diameter=diameter,
        roughness=roughness,
        temperature=temperature,
        molar_mass=molar_mass,
        viscosity=viscosity,
        compressibility=compressibility,
        loss_coefficient=loss_coefficient,
        correlation=friction,
    )
    inlet = positive(inlet_pressure_abs, "inlet_pressure_abs")
    outlet = not_negative(outlet_pressure_abs, "outlet_pressure_abs")
    falls(inlet, outlet)
    return give_back(_solve_flow(pipe, inlet, outlet))


def _solve_flow(pipe: _Pipe, inlet: Array, outlet: Array) -> Array:
    """Return the mass flow that its own friction lets through."""
    shape = pipe.shape_with(inlet, outlet)
    inlet, outlet = (np.broadcast_to(one, shape) for one in (inlet, outlet))
    ratio = outlet / inlet
    # Without friction the pipe would pass its isothermal sonic flow: no flow is above that.
    most = pipe.area * inlet / np.sqrt(pipe.rt)
    found = find_roots(
        lambda flow: flow - pipe.passed(inlet, ratio, pipe.resistance(flow)), most * 1e-15, most
    )
    return np.where(ratio < 1.0, found, 0.0)


def pipe_outlet_pressure(
    mass_flow: ArrayLike,
    *,
    inlet_pressure_abs: ArrayLike,
    length: ArrayLike,
    diameter: ArrayLike,
    roughness: ArrayLike,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    viscosity: ArrayLike,
    compressibility: ArrayLike = 1.0,
    loss_coefficient: ArrayLike = 0.0,
    friction: str = "colebrook",
) -> Numbers:
    """
    Return the absolute pressure at the end of a pipe that carries a mass flow. [kg/s], [Pa]

    The other parameters are those of `pipe_mass_flow`, of which this is an inverse.

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated, or the flow is more than the pipe can pass.
    """
    pipe = _Pipe(
        length=length,
        diameter=diameter,
        roughness=roughness,
        temperature=temperature,
        molar_mass=molar_mass,
        viscosity=viscosity,
        compressibility=compressibility,
        loss_coefficient=loss_coefficient,
        correlation=friction,
    )
    flow = not_negative(mass_flow, "mass_flow")
    inlet = positive(inlet_pressure_abs, "inlet_pressure_abs")
    shape = pipe.shape_with(flow, inlet)
    flow, inlet = (np.broadcast_to(one, shape) for one in (flow, inlet))
    resistance = pipe.resistance(flow)
    least = _choked_ratio(resistance)
    most = pipe.passed(inlet, least, resistance)
    _refuse_too_much(flow, most)
    ratio = find_roots(
        lambda ratio: pipe.passed(inlet, ratio, resistance) - flow, least, np.ones(shape)
    )
    return give_back(inlet * np.where(flow > 0.0, ratio, 1.0))


def _refuse_too_much(flow: Array, most: Array) -> None:
    wrong = flow > most * (1 + 1e-12)
    if wrong.any():
        raise OutsideValidity(
            "flow-pipe-choked",
            field="mass_flow",
            value=f"{float(flow[wrong].flat[0]):.6g}",
            right=f"at most {float(most[wrong].flat[0]):.6g}",
        )


def pipe_inlet_pressure(
    mass_flow: ArrayLike,
    *,
    outlet_pressure_abs: ArrayLike,
    length: ArrayLike,
    diameter: ArrayLike,
    roughness: ArrayLike,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    viscosity: ArrayLike,
    compressibility: ArrayLike = 1.0,
    loss_coefficient: ArrayLike = 0.0,
    friction: str = "colebrook",
) -> Numbers:
    """
    Return the absolute pressure a pipe needs at its inlet to pass a mass flow. [kg/s], [Pa]

    The outlet pressure is that beyond the end: where the pipe is choked its own end is higher.
    The other parameters are those of `pipe_mass_flow`, of which this is an inverse.

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated.
    """
    pipe = _Pipe(
        length=length,
        diameter=diameter,
        roughness=roughness,
        temperature=temperature,
        molar_mass=molar_mass,
        viscosity=viscosity,
        compressibility=compressibility,
        loss_coefficient=loss_coefficient,
        correlation=friction,
    )
    flow = not_negative(mass_flow, "mass_flow")
    outlet = positive(outlet_pressure_abs, "outlet_pressure_abs")
    shape = pipe.shape_with(flow, outlet)
    flow, outlet = (np.broadcast_to(one, shape) for one in (flow, outlet))
    resistance = pipe.resistance(flow)
    # The choked flow is the area times the outlet's pressure over the root of RT: this much
    # pressure at the end, over the choked ratio, always passes the flow.
    choked_end = flow / pipe.area * np.sqrt(pipe.rt)
    high = 2.0 * np.hypot(outlet, choked_end) / _choked_ratio(resistance)
    found = find_roots(
        lambda inlet: pipe.passed(inlet, outlet / inlet, resistance) - flow, outlet, high
    )
    return give_back(np.where(flow > 0.0, found, outlet))
