"""
The spring under its screw: set range, pressure per turn, and which spring is really inside.

The spring acts on the diaphragm, so that the lever between diaphragm and valve has no part in a
set point. Where a linkage stands between spring and diaphragm, `lever_ratio` is the travel of
the diaphragm over that of the spring; it is 1 otherwise.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

import numpy as np

from springcase.errors import OutsideValidity
from springcase.gas.numbers import Numbers, give_back, not_negative, positive, read
from springcase.regulator.spring import refuse_coil_bound

# How far the rate of a good spring may lie from its card: commercial compression springs
# (common practice, no source).
CARD_TOLERANCE: Final = 0.10
# What a careful reading of pressure per turn, area and pitch is good for together
# (common practice, no source).
USUAL_UNCERTAINTY: Final = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class SetRange:
    """The set points a spring reaches under its screw, and a turn of it. [Pa], [-], [m]"""

    low_diff: float
    high_diff: float
    per_turn_diff: float
    turns: float
    shortest_length: float
    left_before_solid: float


class SpringIdentity(StrEnum):
    """Whether the spring inside is the one on the card."""

    CARDED = "carded"
    WRONG = "wrong"
    INCONCLUSIVE = "inconclusive"


@dataclass(frozen=True, slots=True, kw_only=True)
class IdentifiedSpring:
    """
    What a measured pressure per turn says of the spring inside. [N/m], [-], [Pa]

    `ratio` is the measured rate over the carded one, with its uncertainty from `ratio_low` to
    `ratio_high`; `expected_per_turn_diff` is what the carded spring would give.
    """

    verdict: SpringIdentity
    rate: float
    carded_rate: float
    ratio: float
    ratio_low: float
    ratio_high: float
    card_tolerance: float
    expected_per_turn_diff: float


def pressure_per_turn_diff(
    rate: Numbers, pitch: Numbers, effective_area: Numbers, lever_ratio: Numbers = 1.0
) -> Numbers:
    """
    Return how far one turn of the screw moves the set point, k p / (Ae R). [Pa]

    Takes rate [N/m], pitch of the screw [m], effective area [m2] and lever ratio [-] (`statics`).

    Raises OutsideValidity for a value that is not more than zero, BadInput for NaN.
    """
    area = positive(effective_area, "effective area") * positive(lever_ratio, "lever ratio")
    return give_back(positive(rate, "spring rate") * positive(pitch, "pitch") / area)


def rate_from_turn(
    per_turn_diff: Numbers, pitch: Numbers, effective_area: Numbers, lever_ratio: Numbers = 1.0
) -> Numbers:
    """
    Return the rate of the spring that gives a measured pressure per turn [Pa]. [N/m]

    The plug is taken to stay where it is, as at low flow. Pitch in [m], effective area in [m2].

    Raises OutsideValidity for a value that is not more than zero, BadInput for NaN.

    Examples
    --------
    >>> round(rate_from_turn(9307.9, 2.1167e-3, 0.029677), -2)
    130500.0
    """
    force = positive(per_turn_diff, "pressure per turn") * positive(
        effective_area, "effective area"
    )
    return give_back(force * positive(lever_ratio, "lever ratio") / positive(pitch, "pitch"))


def set_point_diff(
    rate: Numbers, compression: Numbers, effective_area: Numbers, lever_ratio: Numbers = 1.0
) -> Numbers:
    """
    Return the set point of a spring pressed in by a length, k x / (Ae R). [Pa]

    Takes rate [N/m], compression [m], effective area [m2] and lever ratio [-]; weight and inlet
    effect come on top (`lever`).

    Raises OutsideValidity for a negative compression, or a value that is not more than zero.
    """
    force = positive(rate, "spring rate") * not_negative(compression, "compression")
    area = positive(effective_area, "effective area") * positive(lever_ratio, "lever ratio")
    return give_back(force / area)


def set_range(
    *,
    rate: float,
    free_length: float,
    solid_length: float,
    screw_travel: float,
    screw_pitch: float,
    effective_area: float,
    fitted_length: float | None = None,
    lever_ratio: float = 1.0,
) -> SetRange:
    """
    Return the set range of a spring under a screw, at the diaphragm's place where the valve shuts.

    Lengths and pitch [m], rate [N/m], effective area [m2], lever ratio [-]. `fitted_length` is
    the room for the spring with the screw backed off; without it the spring just touches.

    Raises
    ------
    OutsideValidity
        If the travel is zero, the screw does not reach the spring, or it is coil-bound before
        the end of the travel.
    """
    stiff, travel = float(positive(rate, "spring rate")), positive(screw_travel, "screw travel")
    pitch, free = positive(screw_pitch, "screw pitch"), positive(free_length, "free length")
    room = free if fitted_length is None else positive(fitted_length, "fitted length")
    refuse_coil_bound(float(free), solid_length, "free length")
    shortest = float(room - travel)
    refuse_coil_bound(shortest, solid_length)
    if shortest >= free:
        raise OutsideValidity(
            "spring-loose",
            field="screw travel",
            value=float(travel),
            right=f"more than the gap before the spring, {float(room - free):g} m",
        )

    def at(length: float) -> float:
        pressed = max(0.0, float(free) - length)
        return float(set_point_diff(stiff, pressed, effective_area, lever_ratio))

    return SetRange(
        low_diff=at(float(room)),
        high_diff=at(shortest),
        per_turn_diff=float(pressure_per_turn_diff(stiff, pitch, effective_area, lever_ratio)),
        turns=float(travel / pitch),
        shortest_length=shortest,
        left_before_solid=shortest - float(solid_length),
    )


def screw_turns(
    change_diff: Numbers,
    rate: Numbers,
    pitch: Numbers,
    effective_area: Numbers,
    lever_ratio: Numbers = 1.0,
) -> Numbers:
    """
    Return the turns of the screw that move the set point by a pressure [Pa]. [-]

    Rate [N/m], pitch [m], effective area [m2]; negative turns let the screw out.

    Raises OutsideValidity for a value that is not more than zero, BadInput for NaN.
    """
    one = np.asarray(pressure_per_turn_diff(rate, pitch, effective_area, lever_ratio))
    return give_back(read(change_diff, "change of the set point") / one)


def identify_spring(
    *,
    measured_pressure_per_turn_diff: float,
    pitch: float,
    effective_area: float,
    carded_rate: float,
    lever_ratio: float = 1.0,
    uncertainty: float = USUAL_UNCERTAINTY,
    card_tolerance: float = CARD_TOLERANCE,
) -> IdentifiedSpring:
    """
    Return whether the spring inside is the one on the card, from the pressure a turn gives.

    Pressure [Pa], pitch [m], effective area [m2], rate [N/m]. `uncertainty` is that of the
    measured rate as a share (k = 2) [-], `card_tolerance` how far a good spring may lie from its
    card [-]. It is the carded one where the whole measured band lies within the card's, wrong
    where the two bands do not meet, and inconclusive between. The plug is taken to stay where it
    is: turn the screw at a low, steady flow.

    Raises
    ------
    OutsideValidity
        If a value is not more than zero, or a share is not from 0 to below 1.
    """
    rate = float(
        rate_from_turn(measured_pressure_per_turn_diff, pitch, effective_area, lever_ratio)
    )
    card = float(positive(carded_rate, "carded rate"))
    doubt = _share(uncertainty, "uncertainty")
    tolerance = _share(card_tolerance, "card tolerance")
    ratio = rate / card
    low, high = ratio * (1 - doubt), ratio * (1 + doubt)
    if low >= 1 - tolerance and high <= 1 + tolerance:
        verdict = SpringIdentity.CARDED
    elif high < 1 - tolerance or low > 1 + tolerance:
        verdict = SpringIdentity.WRONG
    else:
        verdict = SpringIdentity.INCONCLUSIVE
    return IdentifiedSpring(
        verdict=verdict,
        rate=rate,
        carded_rate=card,
        ratio=ratio,
        ratio_low=low,
        ratio_high=high,
        card_tolerance=tolerance,
        expected_per_turn_diff=float(
            pressure_per_turn_diff(card, pitch, effective_area, lever_ratio)
        ),
    )


def _share(value: float, field: str) -> float:
    if not (math.isfinite(value) and 0 <= value < 1):
        raise OutsideValidity(
            "share-outside", field=field, value=value, right="from 0 to below 1 (100 %)"
        )
    return value
