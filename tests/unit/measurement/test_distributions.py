"""Normal and Student probabilities and their inverses."""

from __future__ import annotations

import math

import pytest

from springcase.errors import OutsideValidity
from springcase.measurement.distributions import (
    normal_factor,
    normal_share_below,
    student_factor,
    student_share_within,
)


@pytest.mark.parametrize("factor", [0.01, 0.5, 1.0, 3.0, 50.0])
def test_one_and_two_degrees_have_a_closed_form(factor: float) -> None:
    """With one degree of freedom the share is 2/pi atan t, with two t / sqrt(2 + t2)."""
    one, two = (student_share_within(factor, dof) for dof in (1, 2))

    assert 2 / math.pi * math.atan(factor) == pytest.approx(one, rel=1e-12)
    assert factor / math.sqrt(2 + factor**2) == pytest.approx(two, rel=1e-12)


@pytest.mark.parametrize("factor", [0.3, 1.5, 4.0])
def test_four_degrees_have_a_closed_form(factor: float) -> None:
    """With four degrees of freedom the share is the published polynomial in the cosine."""
    angle = math.atan(factor / 2)
    expected = math.sin(angle) * (1 + 0.5 * math.cos(angle) ** 2)

    assert expected == pytest.approx(student_share_within(factor, 4), rel=1e-12)


@pytest.mark.parametrize("dof", [1, 2.5, 16, 400.0, 1999.0, 2001.0, 1e6])
@pytest.mark.parametrize("share", [0.05, 0.5, 0.6827, 0.95, 0.999])
def test_factor_and_share_undo_each_other(share: float, dof: float) -> None:
    """The share within the factor of a share is that share."""
    assert share == pytest.approx(student_share_within(student_factor(share, dof), dof), rel=1e-9)


def test_many_degrees_are_as_good_as_normal() -> None:
    """Student's factor falls to the normal one, which it has at infinity."""
    factors = [student_factor(0.95, dof) for dof in (10, 100, 1e4, 9e6, math.inf)]

    assert factors == sorted(factors, reverse=True)
    assert normal_factor(0.975) == pytest.approx(factors[-1], rel=1e-12)
    assert factors[-1] == pytest.approx(factors[-2], rel=1e-6)


def test_a_far_tail_keeps_its_digits() -> None:
    """Nine standard deviations below the middle there is still a probability."""
    assert 1.1286e-19 == pytest.approx(normal_share_below(-9), rel=1e-4)


@pytest.mark.parametrize("dof", [0.5, 0.0, -1.0, math.nan])
def test_less_than_one_degree_is_refused(dof: float) -> None:
    """Fewer degrees of freedom than one, or none that is a number, are refused."""
    with pytest.raises(OutsideValidity, match="degrees-of-freedom"):
        student_factor(0.95, dof)


@pytest.mark.parametrize("share", [0.0, 1.0, -0.1, math.nan])
def test_a_share_that_is_no_probability_is_refused(share: float) -> None:
    """Certainty has no factor."""
    with pytest.raises(OutsideValidity, match="probability-outside"):
        normal_factor(share)
