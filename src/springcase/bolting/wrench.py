"""What to set on a torque wrench that carries an extension or a crowfoot, and its readout."""

from __future__ import annotations

import math
from dataclasses import dataclass

from springcase.errors import OutsideValidity
from springcase.units import convert, format_value


@dataclass(frozen=True, slots=True, kw_only=True)
class Readout:
    """One torque in the three units of the trade. [N.m], [lbf.in], [lbf.ft]"""

    n_m: float
    lbf_in: float
    lbf_ft: float

    @property
    def text(self) -> str:
        """The three figures side by side, three digits each."""
        return ", ".join(format_value(self.n_m, unit, 3) for unit in ("N.m", "lbf.in", "lbf.ft"))


def readout(torque: float) -> Readout:
    """Return a torque in N.m, lbf.in and lbf.ft together. [N.m]"""
    return Readout(n_m=torque, lbf_in=convert(torque, "lbf.in"), lbf_ft=convert(torque, "lbf.ft"))


def wrench_setting(
    torque: float, wrench_length: float, extension: float, angle: float = 0.0
) -> float:
    """
    Return what to set on the wrench so that the fastener sees a torque. [N.m]

    `wrench_length` runs from the drive to the middle of the grip, `extension` from the drive to
    the fastener, `angle` is measured from the line of the wrench (`navedtra_14315`): 0 in line
    ahead, 90 degrees square to it, 180 back towards the grip. A straight socket bar on the axis
    of the drive is no extension. [m], [rad]

    Raises OutsideValidity where the fastener would sit at or behind the hand.

    Examples
    --------
    >>> round(wrench_setting(80.0, 0.4, 0.05), 2)
    71.11
    """
    for field, value in (("torque", torque), ("wrench length", wrench_length)):
        if not (math.isfinite(value) and value > 0):
            raise OutsideValidity("not-positive", field=field, value=value, right="more than zero")
    if not (math.isfinite(extension) and extension >= 0):
        raise OutsideValidity(
            "extension-negative",
            field="extension",
            value=extension,
            right="a length of zero or more; back towards the grip is an angle of 180 deg",
        )
    # Square to the wrench the cosine must be nothing at all, not the rounding of pi/2.
    reach = wrench_length + extension * round(math.cos(angle), 15)
    if reach <= 0:
        raise OutsideValidity(
            "extension-behind-hand",
            field="extension",
            value=f"{extension:.4g} m at {math.degrees(angle):.4g} deg",
            right="less than the wrench length back towards the grip",
        )
    return torque * wrench_length / reach
