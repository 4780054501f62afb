"""
The risk a measurement leaves: test uncertainty ratio, false accept and false reject.

The things tested are taken as normal about the middle of their tolerance, and so are the errors
of the measurement. Tolerance and acceptance reach as far above the middle as below it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from springcase.errors import OutsideValidity
from springcase.measurement.distributions import normal_factor, normal_share_below
from springcase.measurement.numbers import positive, probability

# Beyond this many standard deviations nothing is left that a float of the result could hold.
_FAR: Final = 10.0
_PANELS: Final = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Risk:
    """Of all things tested: the share accepted though bad, and rejected though good. [-]"""

    false_accept: float
    false_reject: float


def uncertainty_ratio(tolerance: float, expanded_uncertainty: float) -> float:
    """
    Return half the width of a tolerance over the expanded uncertainty, k = 2, of its test. [-]

    Both in one unit [SI]. Source: ansi_ncsl_z540_3_2006_memory. Raises BadInput, OutsideValidity.
    """
    return positive(tolerance, "tolerance") / positive(expanded_uncertainty, "expanded uncertainty")


def rss_guard_factor(ratio: float) -> float:
    """
    Return what a tolerance is multiplied with by the root-sum-square guard band. [-]

    Source: decision_rules_computed. Raises OutsideValidity for a test uncertainty ratio below 1.

    Examples
    --------
    >>> round(rss_guard_factor(4), 4)
    0.9682
    """
    if not ratio >= 1:
        raise OutsideValidity(
            "ratio-below-one", field="test uncertainty ratio", value=ratio, right="1 or more"
        )
    return math.sqrt(1 - 1 / ratio**2)


def risk_of_test(ratio: float, *, in_tolerance: float = 0.95, guard_factor: float = 1.0) -> Risk:
    """
    Return the shares of false accepts and false rejects of a test. [-]

    Parameters
    ----------
    ratio : float
        Test uncertainty ratio, the expanded uncertainty with k = 2. [-]
    in_tolerance : float
        Share of the things tested that are within tolerance. [-]
    guard_factor : float
        Acceptance over tolerance; 1 is simple acceptance. [-]

    Raises
    ------
    OutsideValidity
        If a ratio or factor is not more than zero, or a share is not between 0 and 1.

    Examples
    --------
    >>> round(risk_of_test(4).false_accept, 5)
    0.00858
    """
    # In units of the tolerance: it reaches to 1, acceptance to the guard factor.
    error = 0.5 / positive(ratio, "test uncertainty ratio")
    accept = positive(guard_factor, "guard factor")
    spread = 1 / normal_factor(0.5 * (1 + probability(in_tolerance, "share in tolerance")))

    def density(truth: float) -> float:
        return math.exp(-0.5 * (truth / spread) ** 2) / (spread * math.sqrt(2 * math.pi))

    def accepted(truth: float) -> float:
        upper = normal_share_below((accept - truth) / error)
        return max(0.0, upper - normal_share_below((-accept - truth) / error))

    def rejected(truth: float) -> float:
        above = normal_share_below((truth - accept) / error)
        return above + normal_share_below((-accept - truth) / error)

    marks = [accept - _FAR * error, accept - error, accept, accept + error, accept + _FAR * error]
    far = max(1.0, _FAR * spread)
    return Risk(
        false_accept=2 * _integral(lambda x: density(x) * accepted(x), 1.0, far, marks),
        false_reject=2 * _integral(lambda x: density(x) * rejected(x), 0.0, 1.0, marks),
    )


def false_accept_at(multiple: float) -> float:
    """
    Return the greatest probability that a value accepted does not conform, at one limit. [-]

    The guard band is a multiple of the standard uncertainty [-]; the value lies at its edge.
    """
    return normal_share_below(-multiple)


def _integral(
    function: Callable[[float], float], start: float, end: float, marks: list[float]
) -> float:
    """Return an integral by Simpson's rule, finer between marks where the function turns."""
    ends = sorted({start, end, *(mark for mark in marks if start < mark < end)})
    parts = []
    for low, high in pairwise(ends):
        step = (high - low) / _PANELS
        values = [function(low + step * place) for place in range(_PANELS + 1)]
        weighted = values[0] + values[-1] + 4 * sum(values[1::2]) + 2 * sum(values[2:-1:2])
        parts.append(step / 3 * weighted)
    return math.fsum(parts)
