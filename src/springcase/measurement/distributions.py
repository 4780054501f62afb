"""Probabilities of the normal and of Student's distribution, and their inverses."""

from __future__ import annotations

import math
from statistics import NormalDist
from typing import Final

from springcase.errors import OutsideValidity
from springcase.measurement.numbers import finite, probability

_TINY: Final = 1e-300
_MOST_TERMS: Final = 10_000
# Above this Student's factor differs from the normal one by less than a part in a million.
_AS_GOOD_AS_NORMAL: Final = 1e7


def normal_share_below(standardised: float) -> float:
    """Return the share of the standard normal distribution below a value. [-]"""
    # The complement of the error function keeps its digits far out in the tail.
    return 0.5 * math.erfc(-standardised / math.sqrt(2))


def normal_factor(one_sided: float) -> float:
    """
    Return the value below which a share of the standard normal distribution lies. [-]

    Raises OutsideValidity.

    Examples
    --------
    >>> round(normal_factor(0.95), 4)
    1.6449
    """
    return NormalDist().inv_cdf(probability(one_sided, "one-sided probability"))


def student_share_within(factor: float, degrees_of_freedom: float) -> float:
    """
    Return the share of Student's distribution between minus and plus a factor. [-]

    The regularised incomplete beta function by its continued fraction
    (`abramowitz_stegun_1964_memory`, 26.5.8 and 26.7.1). Degrees of freedom from 1 on,
    infinity too.

    Raises OutsideValidity.
    """
    dof = _degrees(degrees_of_freedom)
    if dof > _AS_GOOD_AS_NORMAL:
        return math.erf(abs(factor) / math.sqrt(2))
    square = finite(factor, "factor") * factor
    outside, inside = dof / (dof + square), square / (dof + square)
    if outside <= (dof / 2 + 1) / (dof / 2 + 0.5 + 2):
        return 1 - _beta_share(outside, inside, dof / 2, 0.5)
    return _beta_share(inside, outside, 0.5, dof / 2)


def student_factor(two_sided: float, degrees_of_freedom: float) -> float:
    """
    Return the factor t within which a share of Student's distribution lies, on both sides. [-]

    Found by halving a bracket, which cannot miss it. Degrees of freedom need not be whole.

    Raises OutsideValidity.

    Examples
    --------
    >>> round(student_factor(0.99, 16), 3)
    2.921
    >>> round(student_factor(0.95, 1), 2)
    12.71
    """
    share = probability(two_sided, "probability")
    low, high = 0.0, 1.0
    while student_share_within(high, degrees_of_freedom) < share:
        low, high = high, 2 * high
    while True:
        middle = 0.5 * (low + high)
        if not low < middle < high:
            return middle
        if student_share_within(middle, degrees_of_freedom) < share:
            low = middle
        else:
            high = middle


def _degrees(degrees_of_freedom: float) -> float:
    if not degrees_of_freedom >= 1:
        raise OutsideValidity(
            "degrees-of-freedom",
            field="degrees of freedom",
            value=degrees_of_freedom,
            right="1 or more",
        )
    return degrees_of_freedom


def _beta_share(x: float, rest: float, a: float, b: float) -> float:
    """Return the regularised incomplete beta function of x = 1 - rest; a or b is a half."""
    if x <= 0:
        return 0.0
    front = math.exp(
        _log_gamma_step(max(a, b))
        - math.lgamma(0.5)
        + a * math.log(x)
        + b * math.log(rest)
        - math.log(a)
    )
    return front * _beta_fraction(x, a, b)


def _log_gamma_step(a: float) -> float:
    """Return lgamma(a + 1/2) - lgamma(a), whose difference loses its digits where a is large."""
    if a < 1000:
        return math.lgamma(a + 0.5) - math.lgamma(a)
    return 0.5 * math.log(a) - 1 / (8 * a) + 1 / (192 * a**3)


def _beta_fraction(x: float, a: float, b: float) -> float:
    """Return the continued fraction of the incomplete beta function, by Lentz's recurrence."""
    numerator, denominator = 1.0, 1.0 / _away(1 - (a + b) * x / (a + 1))
    fraction = denominator
    for m in range(1, _MOST_TERMS):
        even = m * (b - m) * x / ((a + 2 * m - 1) * (a + 2 * m))
        odd = -(a + m) * (a + b + m) * x / ((a + 2 * m) * (a + 2 * m + 1))
        step = 1.0
        for term in (even, odd):
            denominator = 1.0 / _away(1 + term * denominator)
            numerator = _away(1 + term / numerator)
            step = numerator * denominator
            fraction *= step
        if abs(step - 1) < 1e-15:
            return fraction
    raise OutsideValidity(
        "degrees-of-freedom", field="degrees of freedom", value=2 * max(a, b), right="fewer"
    )


def _away(value: float) -> float:
    """Return a value kept off zero, which the recurrence divides by."""
    return value if abs(value) > _TINY else _TINY
