"""Grades and classes of pressure gauges: what each allows along the scale."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from springcase.standards.tables import read_table, unknown_name

STANDARDS: Final = ("asme_b40_100", "en_837_1")
# A reading a rounding error off the quarter lies on it.
_ROUNDING: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class GaugeGrade:
    """
    A grade of ASME B40.100 or a class of EN 837-1.

    What it allows in the lower quarter, the middle half and the upper quarter of the scale, and
    for each kelvin away from 20 degC where its standard says, all as shares of the span. [-]
    """

    standard: str
    name: str
    lower: float
    middle: float
    upper: float
    source: str
    temperature_share: float | None
    temperature_source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RatioPolicy:
    """Least test uncertainty ratio, or greatest share of false accepts, to judge by. [-]"""

    least_ratio: float
    greatest_false_accept: float
    source: str


def gauge_grade(standard: str, name: str, *, field: str = "grade") -> GaugeGrade:
    """
    Return a grade such as ``1A`` of ``asme_b40_100``, or a class such as ``1.6`` of ``en_837_1``.

    Raises UnknownName.
    """
    if standard not in STANDARDS:
        raise unknown_name("gauge standard", standard, STANDARDS)
    table = read_table("gauges")[standard]
    key = name.strip().upper().replace(",", ".")
    key = key.removesuffix(".0")
    if key not in table["grades"]:
        raise unknown_name(field, name, table["grades"])
    lower, middle, upper = (per_cent / 100 for per_cent in table["grades"][key])
    drift = table.get("temperature_per_cent")
    return GaugeGrade(
        standard=standard,
        name=key,
        lower=lower,
        middle=middle,
        upper=upper,
        source=table["source"] if key in table["read"] else table["memory"],
        temperature_share=None if drift is None else drift / 100,
        temperature_source=table.get("temperature_source", ""),
    )


def allowed_share(grade: GaugeGrade, place: float) -> float:
    """
    Return what a grade allows at a place on the scale, both as shares of the span. [-]

    The place is 0 at the lower end and 1 at the upper. Exactly on a quarter the wider of its two
    neighbours holds: the strict reading, as the text leaves it open.
    """
    if place < 0.25 - _ROUNDING:
        return grade.lower
    if place <= 0.25 + _ROUNDING:
        return max(grade.lower, grade.middle)
    if place < 0.75 - _ROUNDING:
        return grade.middle
    if place <= 0.75 + _ROUNDING:
        return max(grade.middle, grade.upper)
    return grade.upper


def ratio_policy() -> RatioPolicy:
    """Return the policy on the ratio of a test, as recalled."""
    table = read_table("gauges")["policy"]
    return RatioPolicy(
        least_ratio=float(table["least_ratio"]),
        greatest_false_accept=table["greatest_false_accept"],
        source=table["source"],
    )
