"""
Effective area of a diaphragm with a rigid plate, how it changes over the stroke, wall tension.

The web is the flexible ring between plate and clamp. `outer_diameter` is the bore the web is
clamped in, `plate_diameter` the rigid plate or piston, both in metres.
"""

from __future__ import annotations

import math
from typing import Final

import numpy as np

from springcase.errors import OutsideValidity
from springcase.gas.numbers import Numbers, give_back, not_negative, positive, read
from springcase.regulator.inputs import Array, first_where, one_of

KINDS: Final = ("convoluted", "flat")
# How far plate and convolution may contradict each other, as a share of the bore: drawing
# figures are rounded (common practice, no source).
_AGREEMENT: Final = 0.02
_HALVINGS: Final = 60
_ROUNDING: Final = 1e-9


def effective_area(
    kind: str, outer_diameter: Numbers, plate_diameter: Numbers, convolution: Numbers = 0.0
) -> Numbers:
    """
    Return the effective area of a diaphragm at mid-stroke. [m2]

    ``convoluted`` (or rolling): pi/4 De^2 with De = (D + d) / 2, or De = D - convolution where
    the width of the convolution is given (`rolling_diaphragm_guide`). ``flat`` with a rigid plate:
    pi/12 (D^2 + D d + d^2) (`flat_diaphragm_memory`). All diameters and the width in [m]; a
    plate of 0 with a convolution means that the plate was not measured.

    Raises UnknownName for another kind, OutsideValidity for a plate larger than the diaphragm
    or a convolution that contradicts it, BadInput for NaN and infinities.

    Examples
    --------
    >>> round(effective_area("flat", 0.200, 0.140), 6)
    0.022934
    """
    one_of(kind, KINDS, "diaphragm kind")
    outer, plate = _diameters(outer_diameter, plate_diameter)
    width = not_negative(convolution, "convolution")
    if kind == "flat":
        if (width > 0).any():
            raise OutsideValidity(
                "not-positive",
                field="convolution",
                value=first_where(width, width > 0),
                right="0 for a flat diaphragm",
            )
        return give_back(math.pi / 12 * (outer**2 + outer * plate + plate**2))
    _refuse_disagreement(outer, plate, width)
    mean = np.where(width > 0, outer - width, (outer + plate) / 2)
    return give_back(math.pi / 4 * mean**2)


def _diameters(outer_diameter: Numbers, plate_diameter: Numbers) -> tuple[Array, Array]:
    outer = positive(outer_diameter, "outer diameter")
    plate = not_negative(plate_diameter, "plate diameter")
    if (plate > outer).any():
        raise OutsideValidity(
            "plate-over-diaphragm",
            field="plate diameter",
            value=first_where(plate, plate > outer),
            right=f"at most the diaphragm, {first_where(outer, plate > outer):g} m",
        )
    return outer, plate


def _refuse_disagreement(outer: Array, plate: Array, width: Array) -> None:
    piston = outer - 2 * width
    is_wrong = (width > 0) & (
        (piston < 0) | ((plate > 0) & (np.abs(piston - plate) > _AGREEMENT * outer))
    )
    if is_wrong.any():
        raise OutsideValidity(
            "convolution-disagrees",
            field="convolution",
            value=first_where(width, is_wrong),
            right=f"half the gap between bore and plate, "
            f"{first_where((outer - plate) / 2, is_wrong):g} m",
        )


def area_over_stroke(
    outer_diameter: Numbers, plate_diameter: Numbers, web_length: Numbers, stroke: Numbers
) -> Numbers:
    """
    Return the effective area of a convoluted diaphragm away from mid-stroke. [m2]

    The web, of the given length along its section, hangs as a circular arc between plate and
    clamp; its crown, where it pulls along the diaphragm only, bounds the effective area
    (`statics`; tension round the hoop is left out). A web longer than a half circle lies against
    bore and plate and rolls: its area does not change. `stroke` is how far the plate stands from
    the level of the clamp, positive away from the pressure. All in [m].

    Raises OutsideValidity for a plate larger than the diaphragm, and for a stroke that pulls the
    bight out of the web.
    """
    outer, plate = _diameters(outer_diameter, plate_diameter)
    web, moved = positive(web_length, "web length"), read(stroke, "stroke")
    chord = np.hypot((outer - plate) / 2, moved)
    is_taut = chord >= web
    half_angle = np.minimum(_half_angle(np.minimum(chord / web, 1.0)), math.pi / 2)
    chord_to_centre = web / (2 * half_angle) * np.cos(half_angle)
    crown = (outer + plate) / 4 - chord_to_centre * moved / np.where(chord > 0, chord, 1.0)
    # A crown beyond an edge is on no web: the bight is pulled out and the arc no longer holds.
    slip = _ROUNDING * outer
    is_off = is_taut | (crown < plate / 2 - slip) | (crown > outer / 2 + slip)
    if is_off.any():
        raise OutsideValidity(
            "diaphragm-taut",
            field="stroke",
            value=first_where(moved, is_off),
            right=f"a stroke at which the web of {first_where(web, is_off):g} m still hangs "
            "between plate and clamp",
        )
    return give_back(math.pi * crown**2)


def _half_angle(chord_to_arc: Array) -> Array:
    """Return the half angle whose sine over itself is the ratio of chord to arc, by bisection."""
    low = np.zeros(np.shape(chord_to_arc))
    high = np.full(np.shape(chord_to_arc), math.pi)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        is_flatter = np.sinc(middle / math.pi) > chord_to_arc
        low, high = np.where(is_flatter, middle, low), np.where(is_flatter, high, middle)
    return np.asarray((low + high) / 2)


def area_change(
    outer_diameter: Numbers, plate_diameter: Numbers, web_length: Numbers, stroke: Numbers
) -> Numbers:
    """
    Return the effective area at a stroke over that at mid-stroke. [-]

    Raises OutsideValidity as `area_over_stroke` does.
    """
    there = area_over_stroke(outer_diameter, plate_diameter, web_length, stroke)
    middle = effective_area("convoluted", outer_diameter, plate_diameter)
    return give_back(np.asarray(there) / middle)


def wall_tension(difference_diff: Numbers, convolution: Numbers) -> Numbers:
    """
    Return the tension in the wall of a convolution, p x width / 2. [N/m]

    Takes the pressure across the diaphragm [Pa] and the width of the convolution [m]
    (`rolling_diaphragm_guide`).

    Raises OutsideValidity for a negative pressure or a width that is not more than zero.
    """
    across = not_negative(difference_diff, "pressure across the diaphragm")
    return give_back(across * positive(convolution, "convolution") / 2)
