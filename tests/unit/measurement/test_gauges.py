"""What a gauge can tell, and what it is fit for."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date

import pytest

from springcase.errors import BadInput, OutsideValidity, UnknownName
from springcase.measurement.gauges import (
    Calibration,
    Gauge,
    allowed_error,
    gauge_uncertainty,
    is_fit,
    judge_gauge,
    make_gauge,
    meets_policy,
)

KNOWN = Calibration(
    error=0.08, expanded_uncertainty=0.3, on=date(2026, 1, 10), due=date(2027, 1, 10)
)


def gauge(
    grade: str = "A",
    *,
    standard: str = "asme_b40_100",
    resolution: float = 0.0,
    calibration: Calibration | None = KNOWN,
    temperature_share: float | None = None,
) -> Gauge:
    """Return a gauge of 0 to 100."""
    return make_gauge(
        name="G-7",
        standard=standard,
        grade=grade,
        lower=0.0,
        upper=100.0,
        resolution=resolution,
        calibration=calibration,
        temperature_share=temperature_share,
    )


@pytest.mark.parametrize(
    ("reading", "error"),
    [
        (0.0, 2.0),
        (24.999, 2.0),
        (25.0, 2.0),
        (25.001, 1.0),
        (74.999, 1.0),
        (75.0, 2.0),
        (75.001, 2.0),
        (100.0, 2.0),
    ],
)
def test_a_grade_changes_at_the_quarters(reading: float, error: float) -> None:
    """Grade A allows 2 % of span in the outer quarters and 1 % between; the wider on the mark."""
    assert error == pytest.approx(allowed_error(gauge(), reading), rel=1e-12)


def test_a_quarter_is_one_of_the_span_and_not_of_the_reading() -> None:
    """On a scale from -1 to 9 the lower quarter ends at 1.5."""
    shifted = replace(gauge(), lower=-1.0, upper=9.0)

    assert [0.2, 0.2, 0.1] == pytest.approx(
        [allowed_error(shifted, reading) for reading in (1.4, 1.5, 1.6)]
    )


def test_a_budget_holds_every_term() -> None:
    """Grade, half the resolution, calibration and temperature add in squares; the error goes."""
    found = gauge_uncertainty(
        gauge("1.6", standard="en_837_1", resolution=2.0), 50.0, temperature=283.15
    )
    rectangles = [1.6, 1.0, 0.0004 * 100 * 10]
    expected = math.hypot(*(width / math.sqrt(3) for width in rectangles), 0.15)

    assert (49.92, expected) == pytest.approx((found.value, found.standard_uncertainty))
    assert ["grade", "resolution", "calibration", "temperature"] == [
        one.name for one in found.components
    ]


def test_a_gauge_that_drifts_with_temperature_must_say_how_much() -> None:
    """Where neither maker nor standard says how it drifts, a temperature is refused."""
    with pytest.raises(BadInput, match="gauge-temperature-unknown"):
        gauge_uncertainty(gauge(), 50.0, temperature=283.15)

    known = gauge_uncertainty(gauge(temperature_share=0.001), 50.0, temperature=283.15)
    assert 1 / math.sqrt(3) == pytest.approx(known.components[-1].standard_uncertainty)


@pytest.mark.parametrize("reading", [-0.1, 100.1])
def test_a_reading_off_the_scale_is_refused(reading: float) -> None:
    """Beyond its scale a gauge says nothing."""
    with pytest.raises(OutsideValidity, match="reading-off-scale"):
        gauge_uncertainty(gauge(), reading)


def test_a_fine_gauge_is_fit_for_its_limit() -> None:
    """A gauge with a ratio of 4 or more, calibrated and in date, is fit."""
    found = judge_gauge(gauge("4A"), 50.0, tolerance=2.0, today=date(2026, 6, 1))

    assert (True, ()) == (found.fits, found.reasons)
    assert found.ratio == pytest.approx(2.0 / (2 * found.budget.standard_uncertainty))
    assert is_fit(gauge("4A"), 50.0, tolerance=2.0)


def test_every_reason_against_a_gauge_is_given() -> None:
    """A coarse gauge out of date that was found outside its grade has three reasons against it."""
    wrong = replace(KNOWN, error=-1.5)
    found = judge_gauge(gauge("1A", calibration=wrong), 50.0, tolerance=2.0, today=date(2027, 2, 1))

    assert ("calibration-overdue", "outside-grade", "ratio-too-small") == found.reasons
    assert not found.fits


def test_a_gauge_never_calibrated_is_not_fit() -> None:
    """However fine, a gauge without calibration is not fit."""
    found = judge_gauge(gauge("4A", calibration=None), 50.0, tolerance=50.0)

    assert ("calibration-missing",) == found.reasons


def test_the_last_day_is_still_in_date() -> None:
    """A gauge is in date on the day its calibration is due."""
    assert is_fit(gauge("4A"), 50.0, tolerance=5.0, today=date(2027, 1, 10))
    assert not is_fit(gauge("4A"), 50.0, tolerance=5.0, today=date(2027, 1, 11))


@pytest.mark.parametrize(
    ("ratio", "false_accept", "meets"),
    [(4.0, 0.5, True), (3.0, 0.02, True), (3.9, 0.021, False)],
)
def test_ratio_or_false_accepts_meet_the_policy(
    ratio: float, false_accept: float, meets: bool
) -> None:
    """Either a ratio of 4 or at most 2 % of false accepts will do."""
    assert meets == meets_policy(ratio, false_accept)


def test_what_is_no_gauge_is_refused() -> None:
    """A scale turned round, a grade of no table and a due day before its test are refused."""
    with pytest.raises(BadInput, match="scale-reversed"):
        make_gauge(name="x", standard="en_837_1", grade="1", lower=1.0, upper=1.0, resolution=0.0)
    with pytest.raises(UnknownName, match="name-not-in-table"):
        gauge("E")
    with pytest.raises(UnknownName, match="gauge standard"):
        gauge(standard="en_837_9")
    with pytest.raises(BadInput, match="calibration-due-before"):
        gauge(calibration=replace(KNOWN, due=date(2025, 1, 1)))
