"""
Whether a leak is within its limit, and whether its method could have told.

PASS and FAIL want the whole interval of the leak on one side of the limit. Where temperature
decides on which side it lies, or the method could not have seen the limit, it is INCONCLUSIVE.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from springcase.gas.leak import FINEST_RESOLUTION, HoldReadings, Leak
from springcase.gas.numbers import not_negative, positive
from springcase.standards.seat_leakage import BubbleTube
from springcase.units import ISO_13443, BaseConditions

LONGEST_HOLD: Final = 86400.0
"""The longest hold worth proposing; temperature turns round once a day (common practice)."""


class LeakVerdict(StrEnum):
    """What is said of a leak against its limit."""

    PASS = "PASS"
    FAIL = "FAIL"
    INCONCLUSIVE = "INCONCLUSIVE"


class LeakReason(StrEnum):
    """Why it is said."""

    WITHIN = "within"
    BEYOND = "beyond"
    TEMPERATURE = "temperature"
    UNSEEN = "unseen"
    REVERSED = "reversed"
    UNCERTAIN = "uncertain"


@dataclass(frozen=True, slots=True, kw_only=True)
class JudgedLeak:
    """A leak against its limit at base conditions [m3/s]: verdict and reason."""

    verdict: LeakVerdict
    reason: LeakReason
    limit_base: float


@dataclass(frozen=True, slots=True, kw_only=True)
class BetterTest:
    """
    What would have seen a limit.

    The time the same hold would need [s], or the step of a gauge that reads ten times finer than
    the limit in the time it had [Pa]; the time in which one bubble of a tube is the limit [s].
    """

    seconds: float
    pressure_step_diff: float
    bubble_seconds: float


def judge_leak(leak: Leak, limit_base: float, *, is_inward: bool = False) -> JudgedLeak:
    """
    Return the verdict on a leak against a limit at base conditions. [m3/s]

    `is_inward` judges what came into the volume, as a seat leaks into a shut-in outlet, in place
    of what was lost.

    Raises
    ------
    OutsideValidity
        If the limit is not more than zero.
    """
    limit = float(positive(limit_base, "limit_base"))
    sign = -1.0 if is_inward else 1.0
    flow, raw = sign * leak.flow_base, sign * leak.uncorrected_base
    low, high = flow - leak.expanded_base, flow + leak.expanded_base
    verdict, reason = LeakVerdict.INCONCLUSIVE, LeakReason.UNCERTAIN
    if leak.temperature_share is not None and (raw > limit) != (flow > limit):
        reason = LeakReason.TEMPERATURE
    elif low > limit:
        verdict, reason = LeakVerdict.FAIL, LeakReason.BEYOND
    elif high < 0:
        reason = LeakReason.REVERSED
    elif leak.detectable_base > limit:
        reason = LeakReason.UNSEEN
    elif high <= limit:
        verdict, reason = LeakVerdict.PASS, LeakReason.WITHIN
    return JudgedLeak(verdict=verdict, reason=reason, limit_base=limit)


def better_test(
    readings: HoldReadings,
    leak: Leak,
    limit_base: float,
    tube: BubbleTube,
    base: BaseConditions = ISO_13443,
) -> BetterTest:
    """
    Return what would have seen a limit at base conditions [m3/s].

    A steady leak shows in proportion to time, so the hold must last longer by what it sees over
    the limit. The gauge's step is a tenth of what the limit loses over the hold as it was.

    Raises
    ------
    OutsideValidity
        If the limit is not more than zero, or the leak's reach less than zero.
    """
    limit = float(positive(limit_base, "limit_base"))
    reach = float(not_negative(leak.detectable_base, "detectable_base"))
    throughput = limit * base.pressure_abs * readings.start_temperature / base.temperature
    return BetterTest(
        seconds=readings.seconds * reach / limit,
        pressure_step_diff=throughput * readings.seconds / readings.volume / FINEST_RESOLUTION,
        bubble_seconds=tube.bubble / limit,
    )
