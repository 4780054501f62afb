"""
Helical compression springs of round wire: rate, stress, lengths, buckling.

Lengths, forces and stresses in SI. Every function takes scalars or arrays. Rate and uncorrected
stress follow from the torsion of a round bar (`statics`), the Wahl factor is `nswc_11`; the other
factor, the end types and buckling are `shigley_9e_memory`.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from springcase.errors import OutsideValidity
from springcase.gas.numbers import Numbers, give_back, not_negative, positive, read
from springcase.regulator.inputs import Array, first_where, one_of

STRESS_FACTORS: Final = ("wahl", "bergstraesser", "shear")
# Coils that do not work, and coils beyond the total that lie in the solid stack
# (shigley_9e_memory, table 10-1).
_DEAD_COILS: Final = {"plain": 0, "plain-ground": 1, "squared": 2, "squared-ground": 2}
_STACKED: Final = {"plain": 1, "plain-ground": 0, "squared": 1, "squared-ground": 0}
# Wires in the free length beside the pitches: L0 = pitch x coils + this many wires.
_WIRES_IN_FREE_LENGTH: Final = {"plain": 1, "plain-ground": 0, "squared": 3, "squared-ground": 2}
ENDS: Final = tuple(_DEAD_COILS)
# Effective length factor by support (shigley_9e_memory, table 10-2).
_SUPPORT: Final = {"fixed-fixed": 0.5, "fixed-pivoted": 0.707, "pivoted-pivoted": 1.0}
SUPPORTS: Final = tuple(_SUPPORT)
_STEEL_BUCKLING: Final = 2.63


def spring_index(wire: Numbers, mean_diameter: Numbers) -> Numbers:
    """
    Return the spring index C = D / d. [-]

    Takes the wire and the mean coil diameter [m].

    Raises OutsideValidity for a coil no larger than its wire, BadInput for NaN and infinities.
    """
    return give_back(_index(wire, mean_diameter))


def _index(wire: Numbers, mean_diameter: Numbers) -> Array:
    thin, mean = positive(wire, "wire"), positive(mean_diameter, "mean diameter")
    if (mean <= thin).any():
        raise OutsideValidity(
            "coil-too-tight",
            field="mean diameter",
            value=first_where(mean, mean <= thin),
            right=f"more than the wire, {first_where(thin, mean <= thin):g} m",
        )
    return np.asarray(mean / thin)


def spring_rate(
    wire: Numbers, mean_diameter: Numbers, active_coils: Numbers, shear_modulus: Numbers
) -> Numbers:
    """
    Return the rate k = G d^4 / (8 D^3 Na) (`statics`). [N/m]

    Takes wire and mean coil diameter [m], active coils [-] and shear modulus [Pa].

    Raises OutsideValidity for a value that is not more than zero or a coil no larger than its
    wire, BadInput for NaN and infinities.

    Examples
    --------
    >>> round(spring_rate(2e-3, 16e-3, 8, 79.3e9), 2)
    4840.09
    """
    index = _index(wire, mean_diameter)
    coils = positive(active_coils, "active coils")
    modulus = positive(shear_modulus, "shear modulus")
    # G d^4 / D^3 is G d / C^3; products are quicker than powers over arrays.
    return give_back(modulus * np.asarray(wire) / (8 * (index * index * index) * coils))


def stress_factor(index: Numbers, kind: str = "wahl") -> Numbers:
    """
    Return the stress factor K of a spring index: ``wahl``, ``bergstraesser`` or ``shear``. [-]

    Wahl as `nswc_11` has it, Bergstraesser by `shigley_9e_memory`; ``shear`` is Ks = 1 + 0.5 / C
    (`statics`), without the curvature of the coil.

    Raises UnknownName for another factor, OutsideValidity for an index not over 1.
    """
    one_of(kind, STRESS_FACTORS, "stress factor")
    ratio = read(index, "spring index")
    if (ratio <= 1).any():
        raise OutsideValidity(
            "not-positive",
            field="spring index",
            value=first_where(ratio, ratio <= 1),
            right="more than 1",
        )
    if kind == "wahl":
        return give_back((4 * ratio - 1) / (4 * ratio - 4) + 0.615 / ratio)
    if kind == "bergstraesser":
        return give_back((4 * ratio + 2) / (4 * ratio - 3))
    return give_back(1 + 0.5 / ratio)


def shear_stress(
    force: Numbers, wire: Numbers, mean_diameter: Numbers, factor: str = "wahl"
) -> Numbers:
    """
    Return the shear stress at the inside of the coil, K 8 F D / (pi d^3). [Pa]

    Takes the force [N], wire and mean coil diameter [m].

    Raises OutsideValidity for a negative force or a coil no larger than its wire.
    """
    load = not_negative(force, "force")
    return give_back(load * _stress_of_unit_force(wire, mean_diameter, factor))


def force_at_stress(
    stress: Numbers, wire: Numbers, mean_diameter: Numbers, factor: str = "wahl"
) -> Numbers:
    """
    Return the force at which the corrected shear stress reaches a value [Pa]. [N]

    Raises OutsideValidity for a negative stress or a coil no larger than its wire.
    """
    limit = not_negative(stress, "shear stress")
    return give_back(limit / _stress_of_unit_force(wire, mean_diameter, factor))


def _stress_of_unit_force(wire: Numbers, mean_diameter: Numbers, factor: str) -> Array:
    index, thin = _index(wire, mean_diameter), np.asarray(wire)
    return np.asarray(stress_factor(index, factor) * 8 * index / (math.pi * thin * thin))


def active_coils(total_coils: Numbers, ends: str) -> Numbers:
    """
    Return the active coils of a total, by the type of the ends. [-]

    Raises UnknownName for another type of ends, OutsideValidity where no coil is left to work.
    """
    dead = _DEAD_COILS[one_of(ends, ENDS, "ends")]
    total = positive(total_coils, "total coils")
    if (total <= dead).any():
        raise OutsideValidity(
            "not-positive",
            field="total coils",
            value=first_where(total, total <= dead),
            right=f"more than the {dead} coils that {ends} ends take",
        )
    return give_back(total - dead)


def total_coils(active: Numbers, ends: str) -> Numbers:
    """
    Return the total coils of a number of active ones, by the type of the ends. [-]

    Raises UnknownName for another type of ends, OutsideValidity for coils not over zero.
    """
    dead = _DEAD_COILS[one_of(ends, ENDS, "ends")]
    return give_back(positive(active, "active coils") + dead)


def solid_length(total: Numbers, wire: Numbers, ends: str) -> Numbers:
    """
    Return the length at which all coils touch (`shigley_9e_memory`, table 10-1). [m]

    Takes the total coils [-] and the wire [m].

    Raises UnknownName for another type of ends, OutsideValidity for a value not over zero.
    """
    stacked = _STACKED[one_of(ends, ENDS, "ends")]
    return give_back((positive(total, "total coils") + stacked) * positive(wire, "wire"))


def coil_pitch(free_length: Numbers, total: Numbers, wire: Numbers, ends: str) -> Numbers:
    """
    Return the pitch of the free coils (`shigley_9e_memory`, table 10-1). [m]

    Takes the free length and the wire [m] and the total coils [-].

    Raises OutsideValidity for a free length that leaves no room between the coils.
    """
    free = positive(free_length, "free length")
    solid = np.asarray(solid_length(total, wire, ends))
    refuse_coil_bound(free, solid, "free length")
    working = np.asarray(active_coils(total, ends))
    # Plain ground ends share the length among one pitch more than the working coils.
    shared = working + 1 if ends == "plain-ground" else working
    return give_back((free - _WIRES_IN_FREE_LENGTH[ends] * np.asarray(wire)) / shared)


def buckling_length(mean_diameter: Numbers, support: str = "fixed-fixed") -> Numbers:
    """
    Return the free length above which a steel spring may buckle, 2.63 D / alpha. [m]

    5.26 D between parallel fixed ends (`shigley_9e_memory`, eq. 10-13; from memory). A spring
    guided over a stem or in a bore is held by it and is not judged here.

    Raises UnknownName for another support, OutsideValidity for a diameter not over zero.
    """
    alpha = _SUPPORT[one_of(support, SUPPORTS, "support")]
    return give_back(_STEEL_BUCKLING * positive(mean_diameter, "mean diameter") / alpha)


def spring_force(rate: Numbers, free_length: Numbers, length: Numbers, solid: Numbers) -> Numbers:
    """
    Return the force of a spring pressed to a length. [N]

    Takes the rate [N/m] and the free, present and solid lengths [m].

    Raises OutsideValidity for a spring that is coil-bound at that length or longer than free.
    """
    stiff = positive(rate, "spring rate")
    free, present = positive(free_length, "free length"), read(length, "spring length")
    touching = positive(solid, "solid length")
    refuse_coil_bound(free, touching, "free length")
    refuse_coil_bound(present, touching)
    if (present > free).any():
        raise OutsideValidity(
            "spring-loose",
            field="spring length",
            value=first_where(present, present > free),
            right=f"at most the free length, {first_where(free, present > free):g} m",
        )
    return give_back(stiff * (free - present))


def refuse_coil_bound(length: Numbers, solid: Numbers, field: str = "spring length") -> None:
    """
    Refuse a length [m] at or below the solid length [m]; `field` says which length it is.

    Raises OutsideValidity with code ``coil-bound``.
    """
    present, touching = read(length, field), read(solid, "solid length")
    is_bound = np.asarray(present <= touching)
    if is_bound.any():
        raise OutsideValidity(
            "coil-bound",
            field=field,
            value=f"{1e3 * first_where(present, is_bound):.4g} mm",
            right=f"more than the solid length, {1e3 * first_where(touching, is_bound):.4g} mm",
        )
