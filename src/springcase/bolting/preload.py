"""Stress area, proof load, and what a torque means as preload."""

from __future__ import annotations

import math
from typing import Final

from springcase.errors import OutsideValidity
from springcase.standards.strength import Grade
from springcase.standards.threads import Thread
from springcase.units import INCH

# Tensile stress area, coefficient x (D - depth x pitch)^2. UN as asme_b1_1_2003 app. B prints it;
# metric by iso_898_1_2013, mean of pitch and core diameter, (0.649519 + 1.226869) / 2 pitches.
_AREA: Final = {"unified": (0.7854, 0.9743), "metric": (math.pi / 4, 0.938194)}
_AREA_UNIT: Final = {"in2": INCH * INCH, "mm2": 1e-6}
_MINOR_FACTOR: Final = 1.299038
_COLLAR_RATIO: Final = 0.625
_SEC_HALF_ANGLE: Final = 1 / math.cos(math.radians(30))


def _positive(value: float, field: str) -> float:
    if not (math.isfinite(value) and value > 0):
        raise OutsideValidity("not-positive", field=field, value=value, right="more than zero")
    return value


def _share(value: float, field: str) -> float:
    if not 0 < value <= 1:
        raise OutsideValidity(
            "share-outside", field=field, value=value, right="over 0 and up to 1 (100 %)"
        )
    return value


def formula_stress_area(thread: Thread) -> float:
    """Return the tensile stress area by formula (`asme_b1_1_2003`, `iso_898_1_2013`). [m2]"""
    coefficient, depth = _AREA[thread.form]
    effective = thread.diameter - depth * thread.pitch
    return coefficient * effective * effective


def stress_area(thread: Thread) -> float:
    """
    Return the tensile stress area: the printed nominal one, by formula where none was read. [m2]

    Proof loads are printed for the nominal area, so that the table and not the formula governs
    where they part in the last digit.

    Examples
    --------
    >>> from springcase.standards.threads import thread
    >>> round(stress_area(thread("M12")) * 1e6, 3)
    84.3
    """
    if not thread.printed_area:
        return formula_stress_area(thread)
    return float(thread.printed_area) * _AREA_UNIT[thread.printed_unit]


def proof_load(thread: Thread, grade: Grade) -> float:
    """
    Return the proof load of a screw. [N]

    Raises OutsideValidity for a grade whose standard defines no proof stress.
    """
    if grade.proof_stress is None:
        raise OutsideValidity(
            "no-proof-stress", field="grade", value=grade.name, right="a share of yield instead"
        )
    return stress_area(thread) * grade.proof_stress


def yield_load(thread: Thread, grade: Grade) -> float:
    """Return the load at which a screw yields. [N]"""
    return stress_area(thread) * grade.yield_stress


def preload_at_share(thread: Thread, grade: Grade, share: float, *, of: str = "proof") -> float:
    """
    Return the preload that is a share of the proof load, or of yield. [N]

    Raises OutsideValidity for a share outside 0 to 1, or a grade without proof stress.
    """
    _share(share, "share")
    full = yield_load(thread, grade) if of == "yield" else proof_load(thread, grade)
    return share * full


def torque_for_preload(preload: float, diameter: float, nut_factor: float) -> float:
    """
    Return the torque that gives a preload, T = K D F (`shigley_9e`, eq. 8-27). [N.m]

    Raises OutsideValidity for a value that is not more than zero.
    """
    return (
        _positive(nut_factor, "nut factor")
        * _positive(diameter, "diameter")
        * _positive(preload, "preload")
    )


def preload_for_torque(torque: float, diameter: float, nut_factor: float) -> float:
    """
    Return the preload a torque means, F = T / (K D). [N]

    Raises OutsideValidity for a value that is not more than zero.
    """
    lever = _positive(nut_factor, "nut factor") * _positive(diameter, "diameter")
    return _positive(torque, "torque") / lever


def mean_diameter(thread: Thread) -> float:
    """Return the mean of major and minor diameter, as equation 8-26 takes it. [m]"""
    return thread.diameter - _MINOR_FACTOR * thread.pitch / 2


def lead_tangent(thread: Thread) -> float:
    """Return the tangent of the lead angle at the mean diameter. [-]"""
    return thread.pitch / (math.pi * mean_diameter(thread))


def torque_by_friction(
    preload: float, thread: Thread, thread_friction: float, collar_friction: float
) -> float:
    """
    Return the torque for a preload from the friction of thread and collar. [N.m]

    Shigley equation 8-26 (`shigley_9e`) with a mean collar diameter of 1.25 D.

    Raises OutsideValidity for friction that is not more than zero or locks the thread.
    """
    _positive(preload, "preload")
    _positive(thread_friction, "thread friction")
    _positive(collar_friction, "collar friction")
    tangent = lead_tangent(thread)
    below = 1 - thread_friction * tangent * _SEC_HALF_ANGLE
    if below <= 0:
        raise OutsideValidity(
            "not-positive", field="thread friction", value=thread_friction, right="below 1"
        )
    in_thread = mean_diameter(thread) / 2 * (tangent + thread_friction * _SEC_HALF_ANGLE) / below
    return preload * (in_thread + collar_friction * _COLLAR_RATIO * thread.diameter)


def effective_nut_factor(thread: Thread, thread_friction: float, collar_friction: float) -> float:
    """
    Return the nut factor K that equation 8-26 amounts to for a thread. [-]

    Raises OutsideValidity for friction that is not more than zero or locks the thread.
    """
    return torque_by_friction(1.0, thread, thread_friction, collar_friction) / thread.diameter


def bolt_load_share(bolt_stiffness: float, member_stiffness: float) -> float:
    """
    Return the share of an external load that the bolt of a metal joint carries. [-]

    `shigley_9e`, section 8-7: C = kb / (kb + km), both in the same unit.

    Raises OutsideValidity for a stiffness that is not more than zero.
    """
    bolt = _positive(bolt_stiffness, "bolt stiffness")
    return bolt / (bolt + _positive(member_stiffness, "member stiffness"))


def bolt_stress(preload: float, external_load: float, load_share: float, area: float) -> float:
    """
    Return the stress in the bolt of a metal joint under an external load. [Pa]

    `shigley_9e`, section 8-9: (C P + Fi) / At.

    Raises OutsideValidity for an area that is not more than zero.
    """
    return (load_share * external_load + preload) / _positive(area, "stress area")
