"""What must hold of every verdict, probability and budget."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from springcase.measurement.decision import (
    SIMPLE,
    Limits,
    Rule,
    decide,
    guarded,
    probability_conforming,
    shared_risk,
)
from springcase.measurement.risk import risk_of_test, rss_guard_factor, uncertainty_ratio
from springcase.measurement.uncertainty import Component, combine

NUMBERS = st.floats(-1e6, 1e6)
WIDTHS = st.floats(1e-3, 1e5)
RULES = st.one_of(
    st.just(SIMPLE), st.floats(0, 4).map(guarded), st.floats(1e-3, 1e5).map(shared_risk)
)
ORDER = {"FAIL": 0, "INCONCLUSIVE": 1, "PASS": 2}


@given(NUMBERS, WIDTHS, NUMBERS, WIDTHS, WIDTHS, WIDTHS, RULES)
def test_a_verdict_never_worsens_when_a_limit_loosens(
    value: float,
    uncertainty: float,
    lower: float,
    width: float,
    down: float,
    up: float,
    rule: Rule,
) -> None:
    """With either limit looser the verdict is the same or better, and so is the probability."""
    tight = Limits(lower=lower, upper=lower + width, source="x")
    loose = Limits(lower=lower - down, upper=lower + width + up, source="x")
    before, after = (decide(value, uncertainty, limits, rule) for limits in (tight, loose))

    assert ORDER[before.verdict] <= ORDER[after.verdict]
    assert before.probability_conforming <= after.probability_conforming + 1e-15


@given(NUMBERS, WIDTHS, NUMBERS, WIDTHS)
def test_probabilities_sum_to_one(
    value: float, uncertainty: float, lower: float, width: float
) -> None:
    """Below, between and above two limits a true value lies somewhere."""
    upper = lower + width
    parts = [
        probability_conforming(value, uncertainty, limits)
        for limits in (
            Limits(upper=lower, source="x"),
            Limits(lower=lower, upper=upper, source="x"),
            Limits(lower=upper, source="x"),
        )
    ]

    assert all(0 <= part <= 1 for part in parts)
    assert 1.0 == pytest.approx(math.fsum(parts), abs=1e-12)


@given(NUMBERS, WIDTHS, NUMBERS, st.floats(0, 4))
def test_a_pass_at_one_limit_holds_its_probability(
    value: float, uncertainty: float, limit: float, multiple: float
) -> None:
    """A pass behind a guard band conforms at least as probably as the band promises."""
    found = decide(value, uncertainty, Limits(upper=limit, source="x"), guarded(multiple))
    promised = 0.5 * math.erfc(-multiple / math.sqrt(2))

    assert found.verdict != "PASS" or found.probability_conforming >= promised - 1e-6


@given(WIDTHS, WIDTHS, st.floats(1e-3, 1e3))
def test_a_ratio_does_not_depend_on_the_unit(
    tolerance: float, uncertainty: float, unit: float
) -> None:
    """Tolerance and uncertainty in another unit have the same ratio, and it is their inverse."""
    ratio = uncertainty_ratio(tolerance, uncertainty)

    assert ratio == pytest.approx(uncertainty_ratio(tolerance * unit, uncertainty * unit))
    assert 1.0 == pytest.approx(ratio * uncertainty_ratio(uncertainty, tolerance))


@given(st.floats(1, 1e3))
def test_the_guard_factor_and_the_ratio_make_a_right_triangle(ratio: float) -> None:
    """The guard factor and one over the ratio are the legs of a hypotenuse of one."""
    assert 1.0 == pytest.approx(math.hypot(rss_guard_factor(ratio), 1 / ratio))


@given(st.floats(0.3, 50), st.floats(0.3, 0.999), st.floats(0.5, 1.2))
def test_accepted_and_rejected_are_all_there_is(
    ratio: float, in_tolerance: float, guard: float
) -> None:
    """Good less false rejects plus false accepts is the share measured within acceptance."""
    from statistics import NormalDist

    found = risk_of_test(ratio, in_tolerance=in_tolerance, guard_factor=guard)
    spread = 1 / NormalDist().inv_cdf(0.5 * (1 + in_tolerance))
    within = math.erf(guard / math.hypot(spread, 0.5 / ratio) / math.sqrt(2))

    assert within == pytest.approx(in_tolerance - found.false_reject + found.false_accept, abs=1e-7)


@given(
    st.lists(
        st.builds(
            Component,
            name=st.just("x"),
            standard_uncertainty=WIDTHS,
            degrees_of_freedom=st.floats(1, 1e4),
        ),
        min_size=1,
        max_size=6,
    )
)
def test_degrees_of_freedom_lie_between_the_least_and_the_sum(inputs: list[Component]) -> None:
    """Effective degrees of freedom are at least the least of the inputs and at most their sum."""
    degrees = [one.degrees_of_freedom for one in inputs]
    found = combine(inputs).degrees_of_freedom

    assert min(degrees) * (1 - 1e-9) <= found <= sum(degrees) * (1 + 1e-9)
