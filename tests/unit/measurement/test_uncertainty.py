"""Budgets after the GUM."""

from __future__ import annotations

import math

import pytest

from springcase.errors import BadInput, OutsideValidity
from springcase.measurement.uncertainty import (
    Component,
    combine,
    expand,
    from_expanded,
    from_readings,
    rectangular,
    triangular,
)


def test_widths_become_standard_uncertainties() -> None:
    """A width over root three, over root six, and an expanded one over its factor."""
    found = (rectangular(3.0), triangular(6.0), from_expanded(5.0, 2.5))

    assert (math.sqrt(3), math.sqrt(6), 2.0) == pytest.approx(found)


def test_independent_inputs_add_in_squares() -> None:
    """Three and four make five, each weighed with how the result moves with it."""
    budget = combine(
        [
            Component(name="a", value=10.0, standard_uncertainty=1.5, sensitivity=-2.0),
            Component(name="b", value=1.0, standard_uncertainty=4.0),
        ]
    )

    assert (-19.0, 5.0, math.inf) == (
        budget.value,
        budget.standard_uncertainty,
        budget.degrees_of_freedom,
    )


def test_one_input_keeps_its_degrees_of_freedom() -> None:
    """A single input has its own degrees of freedom; two equal ones have twice as many."""
    one = Component(name="a", standard_uncertainty=2e-9, degrees_of_freedom=7.0)

    assert 7.0 == pytest.approx(combine([one]).degrees_of_freedom)
    assert 14.0 == pytest.approx(combine([one, one]).degrees_of_freedom)


def test_expansion_cuts_to_whole_degrees() -> None:
    """Degrees of freedom that rounding has put just below seven still count as seven."""
    one = Component(name="a", standard_uncertainty=1.0, degrees_of_freedom=7 - 1e-13)
    low = Component(name="a", standard_uncertainty=1.0, degrees_of_freedom=7.9)

    assert expand(combine([one])).factor == expand(combine([low])).factor
    assert 2.36 == pytest.approx(expand(combine([low])).factor, abs=0.005)


def test_readings_give_mean_and_its_uncertainty() -> None:
    """1, 2 and 3 have mean 2, spread 1 and a standard uncertainty of one over root three."""
    found = from_readings([1.0, 2.0, 3.0])

    assert (2.0, 1 / math.sqrt(3), 2.0) == pytest.approx(
        (found.value, found.standard_uncertainty, found.degrees_of_freedom)
    )


def test_nothing_uncertain_has_no_spread() -> None:
    """A budget of exact inputs has no uncertainty and infinitely many degrees of freedom."""
    budget = combine([Component(name="a", standard_uncertainty=0.0, degrees_of_freedom=3.0)])

    assert (0.0, math.inf) == (budget.standard_uncertainty, budget.degrees_of_freedom)


def test_an_empty_budget_is_refused() -> None:
    """A budget needs an input."""
    with pytest.raises(BadInput, match="budget-empty"):
        combine([])


def test_one_reading_is_refused() -> None:
    """One reading has no spread."""
    with pytest.raises(BadInput, match="readings-too-few"):
        from_readings([1.0])


@pytest.mark.parametrize("width", [math.nan, math.inf])
def test_a_width_that_is_no_number_is_refused(width: float) -> None:
    """Neither nan nor infinity is a width."""
    with pytest.raises(BadInput, match="measurement-not-finite"):
        rectangular(width)


def test_a_negative_width_is_refused() -> None:
    """A width below zero is none."""
    with pytest.raises(OutsideValidity, match="not-positive"):
        triangular(-1.0)
