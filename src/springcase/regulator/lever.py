"""
The lever between diaphragm and valve, and what moves the set point of a balanced diaphragm.

The lever ratio R is diaphragm arm over valve arm: force at the valve is R times that at the
diaphragm, and the diaphragm travels R times as far, so that work is conserved. A direct stem
has R = 1. A shift is positive where the outlet pressure rises. Closing force is P2 Ae R; every
relation here follows from that balance (`statics`).
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from springcase.errors import OutsideValidity
from springcase.gas.numbers import Numbers, give_back, not_negative, positive, read
from springcase.regulator.inputs import first_where, one_of
from springcase.regulator.model import WEIGHT_SHARE, Attitude, FlowDirection
from springcase.units import STANDARD_GRAVITY

FLOW_DIRECTIONS: Final = tuple(FlowDirection)
ATTITUDES: Final = tuple(Attitude)


def lever_ratio(diaphragm_arm: Numbers, valve_arm: Numbers) -> Numbers:
    """
    Return the lever ratio of two arms [m], each measured from the pivot. [-]

    Raises OutsideValidity for an arm that is not more than zero.
    """
    return give_back(positive(diaphragm_arm, "diaphragm arm") / positive(valve_arm, "valve arm"))


def valve_force(diaphragm_force: Numbers, ratio: Numbers) -> Numbers:
    """Return the force at the valve for one at the diaphragm [N], through the lever. [N]"""
    return give_back(read(diaphragm_force, "diaphragm force") * positive(ratio, "lever ratio"))


def diaphragm_travel(valve_travel: Numbers, ratio: Numbers) -> Numbers:
    """Return the travel of the diaphragm for one of the valve [m], through the lever. [m]"""
    return give_back(read(valve_travel, "valve travel") * positive(ratio, "lever ratio"))


def droop_diff(
    rate: Numbers, valve_travel: Numbers, effective_area: Numbers, ratio: Numbers = 1.0
) -> Numbers:
    """
    Return how far the outlet falls because the spring lengthens over a valve travel. [Pa]

    k R x / Ae, with the spring on the diaphragm: rate [N/m], travel of the valve [m], effective
    area [m2], lever ratio [-].

    Raises OutsideValidity for a rate, area or ratio that is not more than zero.
    """
    stiff = positive(rate, "spring rate")
    moved = np.asarray(diaphragm_travel(not_negative(valve_travel, "valve travel"), ratio))
    return give_back(stiff * moved / positive(effective_area, "effective area"))


def full_lift(seat_diameter: Numbers, seat_angle: Numbers = 0.0) -> Numbers:
    """
    Return the lift at which the ring under the disc equals the bore, d / (4 cos a). [m]

    A quarter of the bore for a flat seat; for a cone of angle a from the flat [rad] the thin-seat
    approximation (`statics`). Takes the seat diameter [m].

    Raises OutsideValidity for a diameter not over zero or an angle that is not below 90 degrees.

    Examples
    --------
    >>> full_lift(0.025)
    0.00625
    """
    tilt = not_negative(seat_angle, "seat angle")
    if (tilt >= math.pi / 2).any():
        raise OutsideValidity(
            "not-positive",
            field="seat angle",
            value=first_where(tilt, tilt >= math.pi / 2),
            right="from 0 to below 90 degrees",
        )
    return give_back(positive(seat_diameter, "seat diameter") / (4 * np.cos(tilt)))


def seat_load(load_per_length: Numbers, seat_diameter: Numbers) -> Numbers:
    """
    Return the force that makes a seat edge tight: load per length of the edge. [N]

    Takes the load per length of seat edge [N/m] and the diameter of the edge [m].

    Raises OutsideValidity for a negative load or a diameter that is not more than zero.
    """
    along = not_negative(load_per_length, "seat load per length")
    return give_back(along * math.pi * positive(seat_diameter, "seat diameter"))


def seat_load_rise_diff(load: Numbers, effective_area: Numbers, ratio: Numbers = 1.0) -> Numbers:
    """
    Return how far the outlet must rise to press a seat tight, F / (Ae R). [Pa]

    Takes the seat load [N], effective area [m2] and lever ratio [-].

    Raises OutsideValidity for a negative load, or an area or ratio not over zero.
    """
    area = positive(effective_area, "effective area") * positive(ratio, "lever ratio")
    return give_back(not_negative(load, "seat load") / area)


def unbalanced_area(orifice_diameter: Numbers, balance_diameter: Numbers = 0.0) -> Numbers:
    """
    Return the area the inlet works on: the whole orifice, or what balancing leaves of it. [m2]

    Negative where the balancing area is larger than the orifice; diameters in [m].

    Raises OutsideValidity for an orifice not over zero or a negative balancing diameter.
    """
    orifice = positive(orifice_diameter, "orifice diameter")
    balance = not_negative(balance_diameter, "balancing diameter")
    return give_back(math.pi / 4 * (orifice**2 - balance**2))


def inlet_effect(
    direction: str, area: Numbers, effective_area: Numbers, ratio: Numbers = 1.0
) -> Numbers:
    """
    Return how far the outlet moves for each pascal the inlet rises, dP2/dP1. [-]

    Flow-to-open: +A / (Ae R + A), the inlet lifts the valve. Flow-to-close: -A / (Ae R - A), the
    inlet helps it shut. `area` is the unbalanced one [m2], see `unbalanced_area`; it may be
    negative with an overbalanced valve.

    Raises UnknownName for another direction, OutsideValidity where the valve overpowers the
    diaphragm, and no set point exists.
    """
    one_of(direction, FLOW_DIRECTIONS, "flow direction")
    acted = read(area, "unbalanced area")
    closing = positive(effective_area, "effective area") * positive(ratio, "lever ratio")
    sign = 1.0 if direction == FlowDirection.TO_OPEN else -1.0
    working = closing + sign * acted
    if (working <= 0).any():
        raise OutsideValidity(
            "valve-overpowers",
            field="unbalanced area",
            value=first_where(acted, working <= 0),
            right=f"less than effective area times lever ratio, "
            f"{first_where(closing, working <= 0):g} m2",
        )
    return give_back(sign * acted / working)


def weight_shift_diff(mass: Numbers, effective_area: Numbers, attitude: str) -> Numbers:
    """
    Return how far the weight of the moving parts moves the set point. [Pa]

    m g / Ae upward where the spring case stands up (the weight helps the spring), nothing where
    it lies level, downward where it hangs down. Takes the mass as it hangs on the diaphragm
    [kg] and the effective area [m2].

    Raises UnknownName for another attitude, OutsideValidity for a negative mass.
    """
    share = WEIGHT_SHARE[Attitude(one_of(attitude, ATTITUDES, "attitude"))]
    weight = not_negative(mass, "mass of the moving parts") * STANDARD_GRAVITY
    return give_back(share * weight / positive(effective_area, "effective area"))


def attitude_shift_diff(mass: Numbers, effective_area: Numbers, bench: str, fitted: str) -> Numbers:
    """
    Return how far the set point moves from the attitude on the bench to the one fitted. [Pa]

    Takes the mass of the moving parts [kg] and the effective area [m2].

    Raises UnknownName for another attitude, OutsideValidity for a negative mass.
    """
    there = np.asarray(weight_shift_diff(mass, effective_area, fitted))
    return give_back(there - weight_shift_diff(mass, effective_area, bench))


def spring_case_shift_diff(spring_case_gauge: Numbers) -> Numbers:
    """Return how far a pressure in the spring case moves the set point: one for one. [Pa]"""
    return give_back(read(spring_case_gauge, "pressure in the spring case"))
