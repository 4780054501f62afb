"""What the published cases of measurement ask for, from the texts a case gives."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from springcase.measurement import decision, distributions, gauges, risk, uncertainty
from springcase.measurement.uncertainty import Budget, Component
from springcase.owner import read_owner
from springcase.standards.gauges import ratio_policy
from springcase.units import parse_quantity

Given = Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Input:
    uncertainty: float
    degrees: float


def _numbers(text: str) -> list[float]:
    return [float(word) for word in text.split()]


def _budget(given: Given) -> Budget:
    """Return the budget of standard uncertainties in nm with their degrees of freedom."""
    widths = _numbers(given["uncertainties"])
    degrees = _numbers(given.get("degrees", " ".join(["inf"] * len(widths))))
    return uncertainty.combine(
        Component(name=f"input {place}", standard_uncertainty=width * 1e-9, degrees_of_freedom=dof)
        for place, (width, dof) in enumerate(zip(widths, degrees, strict=True))
    )


def _rectangular_input(given: Given) -> float:
    """Return what an input known within a half width gives a result that moves with it."""
    one = Component(
        name="input",
        standard_uncertainty=uncertainty.rectangular(float(given["half_width"])),
        sensitivity=float(given["sensitivity"]),
    )
    return uncertainty.combine([one]).standard_uncertainty


def _sum_of_inputs(given: Given) -> float:
    """Return a length that is the sum of inputs."""
    lengths = [
        parse_quantity(text, "length", field="length").value for text in given["of"].split(" + ")
    ]
    return uncertainty.combine(
        Component(name="length", value=length, standard_uncertainty=0.0) for length in lengths
    ).value


def _limits(given: Given) -> decision.Limits:
    ends = {end: float(given[end]) for end in ("lower", "upper") if end in given}
    return decision.Limits(**ends, source="the example")


def _rule(given: Given) -> decision.Rule:
    if "share" in given:
        return decision.guarded_for(float(given["share"]))
    return decision.guarded(float(given.get("multiple", "0")))


def _decided(given: Given) -> decision.Decision:
    return decision.decide(
        float(given["value"]), float(given["uncertainty"]), _limits(given), _rule(given)
    )


def _upper_acceptance(given: Given) -> float:
    _, high = decision.acceptance_limits(float(given["uncertainty"]), _limits(given), _rule(given))
    assert high is not None
    return high


def _risk(given: Given) -> risk.Risk:
    ratio = float(given["ratio"])
    factor = risk.rss_guard_factor(ratio) if given.get("guard") == "rss" else 1.0
    return risk.risk_of_test(ratio, in_tolerance=float(given["in_tolerance"]), guard_factor=factor)


def _gauge(given: Given) -> gauges.Gauge:
    low, high = _numbers(given["scale"])
    return gauges.make_gauge(
        name="gauge",
        standard=given["standard"],
        grade=given["grade"],
        lower=low,
        upper=high,
        resolution=0.0,
    )


def _allowed(given: Given) -> float:
    return gauges.allowed_error(_gauge(given), float(given["reading"]))


CALLS = {
    "combined uncertainty": lambda given: _budget(given).standard_uncertainty,
    "effective degrees of freedom": lambda given: _budget(given).degrees_of_freedom,
    "expanded uncertainty": lambda given: (
        uncertainty.expand(_budget(given), float(given["probability"])).uncertainty
    ),
    "coverage factor": lambda given: (
        uncertainty.expand(_budget(given), float(given["probability"])).factor
    ),
    "t": lambda given: distributions.student_factor(
        float(given["probability"]), float(given["degrees"])
    ),
    "rectangular input": _rectangular_input,
    "sum": _sum_of_inputs,
    "probability of conformity": lambda given: _decided(given).probability_conforming,
    "verdict": lambda given: _decided(given).verdict.value,
    "guard multiple": lambda given: distributions.normal_factor(float(given["share"])),
    "guard share of expanded": lambda given: (
        distributions.normal_factor(float(given["share"])) / 2.0
    ),
    "owner's guard multiple": lambda _: read_owner(None, settings={}, flags={}).proving.guard_band,
    "greatest false accept": lambda given: risk.false_accept_at(float(given["multiple"])),
    "upper acceptance limit": _upper_acceptance,
    "false accept": lambda given: _risk(given).false_accept,
    "false reject": lambda given: _risk(given).false_reject,
    "rss guard factor": lambda given: risk.rss_guard_factor(float(given["ratio"])),
    "least ratio": lambda _: ratio_policy().least_ratio,
    "greatest share of false accepts": lambda _: ratio_policy().greatest_false_accept,
    "allowed error": _allowed,
    "allowed share of span": lambda given: _allowed({**given, "scale": "0 1"}),
    "gauge uncertainty": lambda given: (
        gauges.gauge_uncertainty(_gauge(given), float(given["reading"])).standard_uncertainty
    ),
}
