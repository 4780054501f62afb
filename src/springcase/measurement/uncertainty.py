"""
The uncertainty of a result after the GUM: inputs, combined, effective degrees of freedom, expanded.

The budget is linear and its inputs are independent; correlated inputs and terms of second order
are not in it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from springcase.errors import BadInput
from springcase.measurement.distributions import student_factor
from springcase.measurement.numbers import finite, not_negative, positive

# Whole degrees of freedom that rounding has put just below themselves.
_ROUNDING: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Component:
    """
    One input of a result.

    Its estimate and standard uncertainty [SI], how the result moves with it [SI per SI], and the
    degrees of freedom of that uncertainty [-], infinite where it is known exactly.
    """

    name: str
    standard_uncertainty: float
    value: float = 0.0
    sensitivity: float = 1.0
    degrees_of_freedom: float = math.inf

    @property
    def share(self) -> float:
        """The standard uncertainty this input gives the result. [SI]"""
        return abs(self.sensitivity) * self.standard_uncertainty


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """
    A result with its inputs.

    Value and combined standard uncertainty [SI], effective degrees of freedom [-].
    """

    components: tuple[Component, ...]
    value: float
    standard_uncertainty: float
    degrees_of_freedom: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Expanded:
    """An expanded uncertainty [SI], its coverage factor and probability [-]."""

    uncertainty: float
    factor: float
    probability: float


def rectangular(half_width: float) -> float:
    """
    Return the standard uncertainty of what lies anywhere within plus and minus a width. [SI]

    Source: jcgm_100_2008_memory, 4.3.7. Raises BadInput, OutsideValidity.
    """
    return not_negative(half_width, "half width") / math.sqrt(3)


def triangular(half_width: float) -> float:
    """
    Return the standard uncertainty of what lies within a width, most likely in its middle. [SI]

    Source: jcgm_100_2008_memory, 4.3.9. Raises BadInput, OutsideValidity.
    """
    return not_negative(half_width, "half width") / math.sqrt(6)


def from_expanded(expanded: float, factor: float = 2.0) -> float:
    """
    Return the standard uncertainty behind an expanded one [SI] with its coverage factor. [-]

    Source: jcgm_100_2008_memory, 4.3.3. Raises BadInput, OutsideValidity.
    """
    return not_negative(expanded, "expanded uncertainty") / positive(factor, "coverage factor")


def from_readings(readings: Iterable[float]) -> Component:
    """
    Return the mean of repeated readings with its standard uncertainty. [SI]

    Source: jcgm_100_2008_memory, 4.2. Raises BadInput for fewer than two readings.
    """
    every = [finite(reading, "reading") for reading in readings]
    if len(every) < 2:
        raise BadInput(
            "readings-too-few", field="readings", value=len(every), right="two readings or more"
        )
    mean = math.fsum(every) / len(every)
    variance = math.fsum((reading - mean) ** 2 for reading in every) / (len(every) - 1)
    return Component(
        name="repeated readings",
        value=mean,
        standard_uncertainty=math.sqrt(variance / len(every)),
        degrees_of_freedom=len(every) - 1,
    )


def combine(components: Iterable[Component]) -> Budget:
    """
    Return a result from its independent inputs. [SI]

    Combined standard uncertainty after jcgm_100_2008_memory, 5.1.2; effective degrees of freedom by
    Welch and Satterthwaite, G.4.1. A budget in which nothing is uncertain has infinitely many.

    Raises BadInput, OutsideValidity.
    """
    every = tuple(components)
    if not every:
        raise BadInput("budget-empty", field="budget", value="", right="at least one input")
    for one in every:
        not_negative(one.standard_uncertainty, one.name)
        finite(one.sensitivity, one.name)
        finite(one.value, one.name)
        positive(min(one.degrees_of_freedom, 1e300), one.name)
    combined = math.hypot(*(one.share for one in every))
    # Shares are taken of the whole before the fourth power, which could leave the range of floats.
    parts = (
        (one.share / combined) ** 4 / one.degrees_of_freedom if combined else 0.0 for one in every
    )
    below = math.fsum(parts)
    return Budget(
        components=every,
        value=math.fsum(one.sensitivity * one.value for one in every),
        standard_uncertainty=combined,
        degrees_of_freedom=1 / below if below else math.inf,
    )


def expand(budget: Budget, probability: float = 0.95) -> Expanded:
    """
    Return the expanded uncertainty of a result [SI] for a coverage probability. [-]

    The factor is Student's t for the effective degrees of freedom, cut to the whole number below
    (jcgm_100_2008_memory, G.4.1).

    Raises OutsideValidity.
    """
    dof = budget.degrees_of_freedom
    whole = dof if math.isinf(dof) else math.floor(dof * (1 + _ROUNDING))
    factor = student_factor(probability, whole)
    return Expanded(
        uncertainty=factor * budget.standard_uncertainty, factor=factor, probability=probability
    )
