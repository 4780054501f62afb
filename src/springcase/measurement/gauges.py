"""What a gauge can tell: its uncertainty at a reading, and whether it fits a limit."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final

from springcase.errors import BadInput, OutsideValidity
from springcase.measurement.numbers import finite, not_negative, positive
from springcase.measurement.risk import uncertainty_ratio
from springcase.measurement.uncertainty import (
    Budget,
    Component,
    combine,
    from_expanded,
    rectangular,
)
from springcase.standards.gauges import GaugeGrade, allowed_share, gauge_grade, ratio_policy

REFERENCE_TEMPERATURE: Final = 293.15
_EXPANDED_FACTOR: Final = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Calibration:
    """
    What a calibration found: indication less truth, and its expanded uncertainty. [SI]

    The coverage factor of that uncertainty [-], the day, and the day the next is due.
    """

    error: float
    expanded_uncertainty: float
    factor: float = _EXPANDED_FACTOR
    on: date
    due: date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Gauge:
    """
    A gauge: ends of its scale and the least step it can be read to [SI], its grade.

    `temperature_share` is the share of the span it moves for each kelvin away from 20 degC [-],
    where its maker says other than its standard.
    """

    name: str
    lower: float
    upper: float
    resolution: float
    grade: GaugeGrade
    temperature_share: float | None = None
    calibration: Calibration | None = None

    @property
    def span(self) -> float:
        """The width of the scale. [SI]"""
        return self.upper - self.lower


@dataclass(frozen=True, slots=True, kw_only=True)
class Fitness:
    """
    Whether a gauge can judge a limit.

    The test uncertainty ratio found and asked [-], the budget at the limit, and a code for each
    reason against: calibration-missing, calibration-overdue, outside-grade, ratio-too-small.
    """

    fits: bool
    ratio: float
    least_ratio: float
    budget: Budget
    reasons: tuple[str, ...]


def make_gauge(
    *,
    name: str,
    standard: str,
    grade: str,
    lower: float,
    upper: float,
    resolution: float,
    temperature_share: float | None = None,
    calibration: Calibration | None = None,
) -> Gauge:
    """
    Return a gauge by standard and grade, checked; scale and resolution in one unit. [SI]

    Raises BadInput, OutsideValidity, UnknownName.
    """
    if finite(lower, "lower end") >= finite(upper, "upper end"):
        raise BadInput("scale-reversed", field="lower end", value=lower, right=upper)
    not_negative(resolution, "resolution")
    if temperature_share is not None:
        not_negative(temperature_share, "temperature share")
    if calibration is not None:
        finite(calibration.error, "calibration error")
        from_expanded(calibration.expanded_uncertainty, calibration.factor)
        if calibration.due is not None and calibration.due < calibration.on:
            raise BadInput(
                "calibration-due-before",
                field="calibration due",
                value=calibration.due.isoformat(),
                right=calibration.on.isoformat(),
            )
    return Gauge(
        name=name,
        lower=lower,
        upper=upper,
        resolution=resolution,
        grade=gauge_grade(standard, grade),
        temperature_share=temperature_share,
        calibration=calibration,
    )


def allowed_error(gauge: Gauge, reading: float) -> float:
    """
    Return what the grade of a gauge allows at a reading: a share of the span. [SI]

    Raises OutsideValidity for a reading beyond the scale.
    """
    if not gauge.lower <= finite(reading, "reading") <= gauge.upper:
        raise OutsideValidity(
            "reading-off-scale",
            field="reading",
            value=reading,
            right=f"{gauge.lower:g} to {gauge.upper:g}",
        )
    return allowed_share(gauge.grade, (reading - gauge.lower) / gauge.span) * gauge.span


def gauge_uncertainty(gauge: Gauge, reading: float, *, temperature: float | None = None) -> Budget:
    """
    Return the true value behind a reading with its uncertainty [SI], at a temperature. [K]

    What the grade allows, half the resolution and the temperature count as rectangular; a known
    calibration error is taken off and its uncertainty added. The grade stays in the budget after
    a calibration: it covers drift and hysteresis since. Source: jcgm_100_2008_memory.

    Raises BadInput where the effect of a temperature is not known, OutsideValidity for a reading
    beyond the scale.
    """
    components = [
        Component(
            name="grade",
            value=reading,
            standard_uncertainty=rectangular(allowed_error(gauge, reading)),
        ),
        Component(name="resolution", standard_uncertainty=rectangular(gauge.resolution / 2)),
    ]
    known = gauge.calibration
    if known is not None:
        components.append(
            Component(
                name="calibration",
                value=-known.error,
                standard_uncertainty=from_expanded(known.expanded_uncertainty, known.factor),
            )
        )
    if temperature is not None:
        away = abs(positive(temperature, "temperature") - REFERENCE_TEMPERATURE)
        moved = _temperature_share(gauge, temperature) * gauge.span * away
        components.append(Component(name="temperature", standard_uncertainty=rectangular(moved)))
    return combine(components)


def judge_gauge(
    gauge: Gauge,
    limit: float,
    *,
    tolerance: float,
    today: date | None = None,
    temperature: float | None = None,
    least_ratio: float | None = None,
) -> Fitness:
    """
    Return whether a gauge can judge a limit, with every reason against it.

    Parameters
    ----------
    gauge : Gauge
        The gauge.
    limit : float
        The limit it would judge. [SI]
    tolerance : float
        How far the value may depart before it reaches the limit. [SI]
    today : date or None
        The day of the test; None where age does not matter.
    temperature : float or None
        Temperature of the gauge. [K]
    least_ratio : float or None
        Test uncertainty ratio asked; None takes the usual 4. [-]

    Raises
    ------
    BadInput
        If the effect of a temperature is not known.
    OutsideValidity
        If the limit lies beyond the scale, or a tolerance or ratio is not more than zero.
    """
    budget = gauge_uncertainty(gauge, limit, temperature=temperature)
    asked = ratio_policy().least_ratio if least_ratio is None else positive(least_ratio, "ratio")
    ratio = uncertainty_ratio(tolerance, _EXPANDED_FACTOR * budget.standard_uncertainty)
    reasons = []
    known = gauge.calibration
    if known is None:
        reasons.append("calibration-missing")
    else:
        if today is not None and known.due is not None and today > known.due:
            reasons.append("calibration-overdue")
        if abs(known.error) > allowed_error(gauge, limit):
            reasons.append("outside-grade")
    if ratio < asked:
        reasons.append("ratio-too-small")
    return Fitness(
        fits=not reasons, ratio=ratio, least_ratio=asked, budget=budget, reasons=tuple(reasons)
    )


def is_fit(
    gauge: Gauge,
    limit: float,
    *,
    tolerance: float,
    today: date | None = None,
    temperature: float | None = None,
    least_ratio: float | None = None,
) -> bool:
    """
    Return whether a gauge can judge a limit [SI] with a tolerance [SI]; see `judge_gauge`.

    At a temperature [K], for a least test uncertainty ratio. [-]

    Raises BadInput, OutsideValidity.
    """
    return judge_gauge(
        gauge,
        limit,
        tolerance=tolerance,
        today=today,
        temperature=temperature,
        least_ratio=least_ratio,
    ).fits


def meets_policy(ratio: float, false_accept: float) -> bool:
    """
    Return whether a test is good enough by its ratio or by its share of false accepts. [-]

    Source: ansi_ncsl_z540_3_2006_memory.
    """
    policy = ratio_policy()
    return ratio >= policy.least_ratio or false_accept <= policy.greatest_false_accept


def _temperature_share(gauge: Gauge, temperature: float) -> float:
    found = gauge.temperature_share
    if found is None:
        found = gauge.grade.temperature_share
    if found is None:
        raise BadInput(
            "gauge-temperature-unknown", field="temperature", value=temperature, right=gauge.name
        )
    return found
