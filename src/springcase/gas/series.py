"""Two restrictions one behind the other: the pressure between them, and what both pass."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from springcase.errors import OutsideValidity
from springcase.gas.bracketing import find_roots
from springcase.gas.numbers import Numbers, falls, give_back, not_negative, positive, refuse
from springcase.gas.orifice import mass_flow_of_base, orifice_mass_flow
from springcase.gas.valve_flow import valve_flow

Restriction = Callable[[NDArray[np.float64], NDArray[np.float64]], Numbers]
"""Mass flow from inlet and outlet pressure, both absolute [Pa], [kg/s]."""


def middle_pressure(
    first: Restriction,
    second: Restriction,
    *,
    inlet_pressure_abs: ArrayLike,
    outlet_pressure_abs: ArrayLike,
) -> Numbers:
    """
    Return the absolute pressure between two restrictions in series. [Pa]

    Each restriction passes no more as its outlet pressure rises and no less as its inlet
    pressure does, so there is one such pressure and it lies between the ends.

    Raises
    ------
    OutsideValidity
        If a pressure is not more than zero, or the outlet pressure is above the inlet's.
    """
    inlet = positive(inlet_pressure_abs, "inlet_pressure_abs")
    outlet = not_negative(outlet_pressure_abs, "outlet_pressure_abs")
    falls(inlet, outlet)
    inlet, outlet = np.broadcast_arrays(inlet, outlet)
    # A vacuum behind is no inlet to reckon with: the least pressure tried is a trace above it.
    low = np.maximum(outlet, inlet * 1e-12)
    found = find_roots(
        lambda middle: np.asarray(first(inlet, middle)) - np.asarray(second(middle, outlet)),
        low,
        np.asarray(inlet, dtype=np.float64),
    )
    return give_back(found)


def orifice_and_body(
    *,
    area: ArrayLike,
    discharge: ArrayLike,
    body_kv: ArrayLike,
    body_xt: ArrayLike,
    inlet_pressure_abs: ArrayLike,
    outlet_pressure_abs: ArrayLike,
    temperature: ArrayLike,
    molar_mass: ArrayLike,
    isentropic_exponent: ArrayLike,
    compressibility: ArrayLike = 1.0,
) -> tuple[Numbers, Numbers]:
    """
    Return the mass flow through an orifice with the body's Kv behind it, and the middle pressure.

    Areas [m2], absolute pressures [Pa], temperature [K], molar mass [kg/mol], mass flow [kg/s].
    The throttled gas comes to rest between the two at its inlet temperature, and its
    compressibility factor is taken as unchanged: an ideal gas keeps its temperature.

    Raises
    ------
    OutsideValidity
        If a value lies outside what is stated, the outlet pressure is above the inlet's, or
        the orifice is closed.
    """
    opening = not_negative(area, "area")
    refuse(opening, opening == 0.0, "area", "more than zero: a closed orifice has no middle")
    mass = positive(molar_mass, "molar_mass")

    def through_orifice(inlet: NDArray[np.float64], outlet: NDArray[np.float64]) -> Numbers:
        return orifice_mass_flow(
            area=opening,
            discharge=discharge,
            inlet_pressure_abs=inlet,
            outlet_pressure_abs=outlet,
            temperature=temperature,
            molar_mass=mass,
            isentropic_exponent=isentropic_exponent,
            compressibility=compressibility,
        )

    def through_body(inlet: NDArray[np.float64], outlet: NDArray[np.float64]) -> Numbers:
        passed = valve_flow(
            kv=body_kv,
            xt=body_xt,
            inlet_pressure_abs=inlet,
            outlet_pressure_abs=outlet,
            temperature=temperature,
            molar_mass=mass,
            isentropic_exponent=isentropic_exponent,
            compressibility=compressibility,
        )
        return mass_flow_of_base(passed, molar_mass=mass)

    given = (opening, discharge, body_kv, body_xt, temperature, mass, isentropic_exponent)
    others = (compressibility, inlet_pressure_abs, outlet_pressure_abs)
    shape = np.broadcast_shapes(*(np.shape(one) for one in (*given, *others)))
    inlet = np.broadcast_to(positive(inlet_pressure_abs, "inlet_pressure_abs"), shape)
    middle = middle_pressure(
        through_orifice,
        through_body,
        inlet_pressure_abs=inlet,
        outlet_pressure_abs=np.broadcast_to(
            not_negative(outlet_pressure_abs, "outlet_pressure_abs"), shape
        ),
    )
    return through_orifice(inlet, np.asarray(middle)), middle


def check_orifice_in_body(bore: ArrayLike, body: ArrayLike) -> None:
    """
    Refuse an orifice larger than the body it sits in, both as diameters. [m]

    Raises
    ------
    OutsideValidity
        If a diameter is not more than zero, or the bore is larger than the body.
    """
    hole, around = np.broadcast_arrays(positive(bore, "bore"), positive(body, "body"))
    larger = hole > around
    if larger.any():
        raise OutsideValidity(
            "flow-orifice-too-large",
            field="bore",
            value=f"{1e3 * float(hole[larger].flat[0]):.6g} mm",
            right=f"at most {1e3 * float(around[larger].flat[0]):.6g} mm",
        )
