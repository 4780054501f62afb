"""Verdicts under the three rules."""

from __future__ import annotations

import math

import pytest

from springcase.errors import BadInput, OutsideValidity
from springcase.measurement.decision import (
    SIMPLE,
    Limits,
    Rule,
    acceptance_limits,
    decide,
    guarded,
    guarded_for,
    probability_conforming,
    shared_risk,
)

UPPER = Limits(upper=210.0, source="owner")
BOTH = Limits(lower=190.0, upper=210.0, source="owner")


@pytest.mark.parametrize(
    ("value", "verdict", "finding"),
    [
        (207.0, "PASS", "pass"),
        (207.01, "INCONCLUSIVE", "conditional pass"),
        (210.0, "INCONCLUSIVE", "conditional pass"),
        (213.0, "INCONCLUSIVE", "conditional fail"),
        (213.01, "FAIL", "fail"),
    ],
)
def test_a_guard_band_has_two_sides(value: float, verdict: str, finding: str) -> None:
    """Within the band, on either side of the limit, there is no verdict; its edges belong out."""
    found = decide(value, 1.5, UPPER, guarded(2.0))

    assert (verdict, finding) == (found.verdict, found.finding)


@pytest.mark.parametrize(("value", "verdict"), [(210.0, "PASS"), (210.001, "FAIL")])
def test_simple_acceptance_asks_the_side_alone(value: float, verdict: str) -> None:
    """Under simple acceptance the limit itself passes, whatever the uncertainty."""
    assert verdict == decide(value, 50.0, UPPER, SIMPLE).verdict


def test_shared_risk_needs_the_agreed_uncertainty() -> None:
    """Above the agreed uncertainty there is no verdict, at it there is."""
    rule = shared_risk(1.5)

    assert "PASS" == decide(209.0, 1.5, UPPER, rule).verdict
    assert "FAIL" == decide(211.0, 1.5, UPPER, rule).verdict
    assert "INCONCLUSIVE" == decide(150.0, 1.51, UPPER, rule).verdict


def test_a_lower_limit_is_the_mirror_of_an_upper() -> None:
    """A value as far above a lower limit as below an upper one conforms as probably."""
    lower = Limits(lower=-210.0, source="owner")

    assert probability_conforming(208.0, 1.5, UPPER) == probability_conforming(-208.0, 1.5, lower)
    assert decide(-208.0, 1.5, lower, guarded_for(0.9)).verdict == "PASS"


def test_no_value_passes_between_bands_that_meet() -> None:
    """Where the guard bands overlap the middle itself is inconclusive."""
    found = decide(200.0, 7.0, BOTH, guarded(2.0))

    assert ("INCONCLUSIVE", (204.0, 196.0)) == (
        found.verdict,
        (found.lower_acceptance, found.upper_acceptance),
    )


def test_a_small_probability_keeps_its_digits() -> None:
    """Nine uncertainties beyond either of two limits the probability is that of the near tail."""
    found = [probability_conforming(value, 1.0, BOTH) for value in (219.0, 181.0)]

    assert [pytest.approx(1.1286e-19, rel=1e-4)] * 2 == found


def test_limits_carry_their_source() -> None:
    """A decision holds the limits it was made against, with who set them."""
    assert "owner" == decide(1.0, 1.0, UPPER, SIMPLE).limits.source


def test_a_band_too_wide_for_numbers_is_refused() -> None:
    """A guard band that is no finite number is refused, not carried on."""
    with pytest.raises(BadInput, match="measurement-not-finite"):
        acceptance_limits(1e308, UPPER, guarded(4.0))


@pytest.mark.parametrize("uncertainty", [0.0, -1.0])
def test_an_uncertainty_of_nothing_is_refused(uncertainty: float) -> None:
    """No measurement is without uncertainty."""
    with pytest.raises(OutsideValidity, match="not-positive"):
        decide(1.0, uncertainty, UPPER, SIMPLE)


@pytest.mark.parametrize(
    ("limits", "code"),
    [
        (Limits(source="x"), "limit-missing"),
        (Limits(lower=2.0, upper=1.0, source="x"), "limits-reversed"),
        (Limits(upper=math.nan, source="x"), "measurement-not-finite"),
    ],
)
def test_limits_that_are_none_are_refused(limits: Limits, code: str) -> None:
    """No limit, limits the wrong way round and a limit that is no number are refused."""
    with pytest.raises(BadInput, match=code):
        decide(1.0, 1.0, limits, SIMPLE)


@pytest.mark.parametrize("rule", [guarded, shared_risk])
def test_a_negative_rule_is_refused(rule: object) -> None:
    """A guard band or an agreed uncertainty below zero is refused."""
    make = rule if callable(rule) else Rule

    with pytest.raises(OutsideValidity, match="not-positive"):
        make(-1.0)
