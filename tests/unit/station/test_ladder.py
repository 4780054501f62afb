"""The ladder of a blanketed tank: what overlaps is shown with numbers and reason."""

from __future__ import annotations

import math

import pytest

from springcase.errors import SpringcaseError
from springcase.station.ladder import LadderVerdict, TankLadder, check_ladder
from springcase.units import INCH_OF_WATER
from springcase.wording import explain


def judged(**changes: float) -> LadderVerdict:
    """Return the verdict on the ladder of field case V11, in inches of water, with changes."""
    found = {
        "pad_set_gauge": 2.0,
        "pad_lock_up_gauge": 3.1,
        "recovery_crack_gauge": 2.5,
        "breather_set_gauge": 4.0,
        "breather_vacuum_gauge": -0.5,
        "sense_error_diff": 0.2,
    }
    inches = {name: value * INCH_OF_WATER for name, value in (found | changes).items()}
    return check_ladder(TankLadder(**inches), unit="in w.c.")


def reasons(verdict: LadderVerdict) -> list[str]:
    """Return the sentences of the steps that do not hold."""
    return [explain(step.fault) for step in verdict.steps if step.fault is not None]


def test_field_case_v11_feeds_the_recovery() -> None:
    """A pad that locks up at 3.1 over a recovery that cracks at 2.5 is shown with its cure."""
    verdict = judged()

    assert not verdict.holds
    assert [
        'pad lock-up "3.10 in w.c." is not clear of the recovery\'s crack 2.50 in w.c.: both stand '
        "open and pad gas runs to recovery for ever; cure the pad's seat until it locks up below "
        "2.30 in w.c., or spread the ladder with engineering approval, never with recovery near "
        "the breather's 4.00 in w.c., and look at the sense tap on the roof."
    ] == reasons(verdict)
    assert math.isclose(2.3, verdict.highest_pad_lock_up_gauge / INCH_OF_WATER)
    assert math.isclose(-0.8, verdict.steps[1].margin_diff / INCH_OF_WATER)


@pytest.mark.parametrize(("lock_up", "holds"), [(2.29, True), (2.3, False), (2.31, False)])
def test_the_cure_is_the_limit(lock_up: float, holds: bool) -> None:
    """Below the crack less the error of sensing the ladder holds; at that limit it does not."""
    assert holds == judged(pad_lock_up_gauge=lock_up).holds


def test_a_recovery_near_the_breather_is_no_cure() -> None:
    """Raised clear of the pad's lock-up, recovery with its build-up reaches the breather."""
    verdict = judged(
        recovery_crack_gauge=3.6, recovery_build_up_diff=0.3, breather_tolerance_diff=0.2
    )

    assert [True, True, False] == [step.holds for step in verdict.steps]
    assert [
        'recovery at its full flow "3.90 in w.c." reaches the breather\'s 4.00 in w.c., which '
        "blows vapour off; right would be a crack below 3.50 in w.c."
    ] == reasons(verdict)


def test_a_pad_that_droops_lets_air_in() -> None:
    """A pad that falls to the vacuum breather's set at its full flow does not hold."""
    verdict = judged(pad_lock_up_gauge=2.1, pad_droop_diff=2.2, breather_tolerance_diff=0.3)

    assert [False, True, True] == [step.holds for step in verdict.steps]
    assert [
        'pad at its full flow "-0.200 in w.c." is reached by the vacuum breather, which lets air '
        "in; right would be above -0.500 in w.c. with its tolerance."
    ] == reasons(verdict)


def test_every_tolerance_narrows_a_step() -> None:
    """Any allowance more leaves some step less margin, and gives none more."""
    plain = judged(pad_lock_up_gauge=2.1)
    for name in (
        "pad_droop_diff",
        "pad_tolerance_diff",
        "recovery_build_up_diff",
        "recovery_tolerance_diff",
        "breather_tolerance_diff",
        "sense_error_diff",
    ):
        wider = judged(pad_lock_up_gauge=2.1, **{name: 0.3})
        gained = [
            new.margin_diff - old.margin_diff
            for new, old in zip(wider.steps, plain.steps, strict=True)
        ]

        assert min(gained) < 0 >= max(gained), name


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        (
            {"pad_lock_up_gauge": 1.9},
            'pad lock-up "1.90 in w.c." cannot be; right would be at least the pad\'s set point, '
            "2.00 in w.c.",
        ),
        (
            {"breather_vacuum_gauge": 0.0},
            'vacuum of the breather "0.00 in w.c." cannot be; right would be below zero.',
        ),
        (
            {"recovery_crack_gauge": math.nan},
            'recovery crack "nan" is not a number to reckon with; give a finite number.',
        ),
        (
            {"sense_error_diff": -1.0},
            'sense error "-249.089" is outside what the formula is stated for; right would be '
            "zero or more.",
        ),
    ],
)
def test_it_refuses_in_one_sentence(changes: dict[str, float], sentence: str) -> None:
    """A lock-up below the set, a vacuum that is none, NaN and negative allowances are refused."""
    with pytest.raises(SpringcaseError, match=r"^\[") as caught:
        judged(**changes)

    assert sentence == explain(caught.value)
