"""Test uncertainty ratio and the risks it leaves."""

from __future__ import annotations

import math

import pytest

from springcase.errors import OutsideValidity
from springcase.measurement.risk import risk_of_test, rss_guard_factor, uncertainty_ratio


def test_the_ratio_is_tolerance_over_expanded_uncertainty() -> None:
    """A tolerance of 2 tested to 0.5 has a ratio of 4, in any unit."""
    assert 4.0 == uncertainty_ratio(2.0, 0.5) == uncertainty_ratio(2000.0, 500.0)


@pytest.mark.parametrize("ratio", [0.5, 1.0, 4.0, 20.0])
def test_accepted_is_what_a_measured_value_within_says(ratio: float) -> None:
    """Good less false rejects plus false accepts is the share measured within, in closed form."""
    found = risk_of_test(ratio)
    spread = math.hypot(1 / 1.959963984540054, 0.5 / ratio)
    accepted = math.erf(1 / spread / math.sqrt(2))

    assert accepted == pytest.approx(0.95 - found.false_reject + found.false_accept, abs=1e-9)


def test_a_perfect_test_errs_never() -> None:
    """With a very great ratio both risks go to nothing."""
    found = risk_of_test(1e6)

    assert (0.0, 0.0) == pytest.approx((found.false_accept, found.false_reject), abs=1e-6)


def test_a_tighter_acceptance_trades_one_risk_for_the_other() -> None:
    """A guard factor below one accepts fewer bad and rejects more good."""
    plain, tight = risk_of_test(3), risk_of_test(3, guard_factor=0.9)

    assert tight.false_accept < plain.false_accept
    assert tight.false_reject > plain.false_reject


def test_the_guard_factor_starts_at_one() -> None:
    """At a ratio of one the guard band takes the whole tolerance; below there is none."""
    assert 0.0 == rss_guard_factor(1.0)
    with pytest.raises(OutsideValidity, match="ratio-below-one"):
        rss_guard_factor(0.99)
