"""
The ladder of a blanketed tank: vacuum breather < pad < vapour recovery < pressure breather.

Each device must be done before the next begins, tolerances, lock-up, build-up and the error of
sensing counted. Where the pad's lock-up reaches the recovery's crack, both stand open together
and pad gas runs to recovery for ever. All pressures of the vapour space are gauge, in pascal; the
reasons are errors as data, whose sentences `wording.explain` makes.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Final

from springcase.errors import OutsideValidity, SpringcaseError
from springcase.gas.numbers import not_negative, read
from springcase.units import format_value

_DIGITS: Final = 3
# A margin below this is rounding, and none at all. [Pa]
_LEAST_MARGIN: Final = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class TankLadder:
    """
    What is set on a tank, and what was found on the bench. [Pa]

    `pad_lock_up_gauge` is where the pad is shut; droop is how far the pad falls at its full
    flow, build-up how far recovery rises at its own. `breather_vacuum_gauge` is negative.
    `sense_error_diff` is how far apart pad and recovery may see one vapour space.
    """

    pad_set_gauge: float
    pad_lock_up_gauge: float
    recovery_crack_gauge: float
    breather_set_gauge: float
    breather_vacuum_gauge: float
    pad_droop_diff: float = 0.0
    pad_tolerance_diff: float = 0.0
    recovery_build_up_diff: float = 0.0
    recovery_tolerance_diff: float = 0.0
    breather_tolerance_diff: float = 0.0
    sense_error_diff: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LadderStep:
    """
    One step of the ladder: the lower device must be done before the upper one begins. [Pa]

    `margin_diff` is what is left between them, less than zero where they overlap; `fault` is why
    the step does not hold, or None.
    """

    lower: str
    upper: str
    lower_done_gauge: float
    upper_begins_gauge: float
    margin_diff: float
    fault: SpringcaseError | None

    @property
    def holds(self) -> bool:
        """Whether the lower device is done before the upper one begins."""
        return self.fault is None


@dataclass(frozen=True, slots=True, kw_only=True)
class LadderVerdict:
    """
    The steps of a ladder from vacuum upward, and what a cure may reach. [Pa]

    `highest_pad_lock_up_gauge` is the highest lock-up reading of the pad that keeps clear of
    recovery; `highest_recovery_crack_gauge` the highest crack that keeps clear of the breather.
    """

    steps: tuple[LadderStep, ...]
    highest_pad_lock_up_gauge: float
    highest_recovery_crack_gauge: float

    @property
    def holds(self) -> bool:
        """Whether every step holds."""
        return all(step.holds for step in self.steps)


def check_ladder(ladder: TankLadder, *, unit: str = "mbar") -> LadderVerdict:
    """
    Return whether pad, recovery and breather keep clear of each other. [Pa]

    `unit` is what the reasons show pressures in. A lock-up that just meets the crack does not
    hold: both are then about to pass.

    Raises
    ------
    OutsideValidity
        If a lock-up is below its set point, the vacuum is not below zero, or an allowance is
        negative.
    BadInput
        If a value is NaN or infinite.
    """
    _refuse_unusable(ladder, unit)
    lock_up = ladder.pad_lock_up_gauge
    # Tolerance of the lock-up reading is the pad's; what is sensed apart is counted once.
    pad_allowance = ladder.pad_tolerance_diff + ladder.sense_error_diff
    recovery_begins = ladder.recovery_crack_gauge - ladder.recovery_tolerance_diff
    recovery_done = (
        ladder.recovery_crack_gauge + ladder.recovery_build_up_diff + ladder.recovery_tolerance_diff
    )
    breather_begins = ladder.breather_set_gauge - ladder.breather_tolerance_diff
    pad_falls_to = ladder.pad_set_gauge - ladder.pad_droop_diff - ladder.pad_tolerance_diff
    highest_lock_up = recovery_begins - pad_allowance
    highest_crack = breather_begins - ladder.recovery_build_up_diff - ladder.recovery_tolerance_diff
    steps = (
        _step(
            "vacuum breather",
            "pad",
            ladder.breather_vacuum_gauge + ladder.breather_tolerance_diff,
            pad_falls_to,
            OutsideValidity(
                "ladder-vacuum",
                field="pad at its full flow",
                value=_shown(pad_falls_to, unit),
                right=f"above {_shown(ladder.breather_vacuum_gauge, unit)} with its tolerance",
            ),
        ),
        _step(
            "pad",
            "recovery",
            lock_up + pad_allowance,
            recovery_begins,
            OutsideValidity(
                "ladder-pad-feeds-recovery",
                field="pad lock-up",
                value=_shown(lock_up, unit),
                right=_shown(highest_lock_up, unit),
                crack=_shown(ladder.recovery_crack_gauge, unit),
                breather=_shown(ladder.breather_set_gauge, unit),
            ),
        ),
        _step(
            "recovery",
            "breather",
            recovery_done,
            breather_begins,
            OutsideValidity(
                "ladder-breather-opens",
                field="recovery at its full flow",
                value=_shown(recovery_done, unit),
                right=f"a crack below {_shown(highest_crack, unit)}",
                breather=_shown(ladder.breather_set_gauge, unit),
            ),
        ),
    )
    return LadderVerdict(
        steps=steps,
        highest_pad_lock_up_gauge=highest_lock_up,
        highest_recovery_crack_gauge=highest_crack,
    )


def _shown(value: float, unit: str) -> str:
    return format_value(value, unit, _DIGITS)


def _step(lower: str, upper: str, done: float, begins: float, fault: SpringcaseError) -> LadderStep:
    margin = begins - done
    return LadderStep(
        lower=lower,
        upper=upper,
        lower_done_gauge=done,
        upper_begins_gauge=begins,
        margin_diff=margin,
        fault=None if margin > _LEAST_MARGIN else fault,
    )


def _refuse_unusable(ladder: TankLadder, unit: str) -> None:
    for one in fields(ladder):
        value, words = getattr(ladder, one.name), one.name.rsplit("_", 1)[0].replace("_", " ")
        if one.name.endswith("_diff"):
            not_negative(value, words)
        else:
            read(value, words)
    if ladder.pad_lock_up_gauge < ladder.pad_set_gauge:
        raise OutsideValidity(
            "ladder-impossible",
            field="pad lock-up",
            value=_shown(ladder.pad_lock_up_gauge, unit),
            right=f"at least the pad's set point, {_shown(ladder.pad_set_gauge, unit)}",
        )
    if ladder.breather_vacuum_gauge >= 0:
        raise OutsideValidity(
            "ladder-impossible",
            field="vacuum of the breather",
            value=_shown(ladder.breather_vacuum_gauge, unit),
            right="below zero",
        )
