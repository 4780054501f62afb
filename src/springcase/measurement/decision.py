"""
A measured value against its limits: PASS, FAIL or INCONCLUSIVE under a stated rule.

Three rules (JCGM 106:2012). Simple acceptance asks only on which side of the limit the value
lies. A guard band, a multiple of the standard uncertainty wide, lies inside each limit and
outside it: within the first there is no pass, within the second no fail. Shared risk is simple
acceptance with an agreed greatest uncertainty; above it there is no verdict.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from springcase.errors import BadInput
from springcase.measurement.distributions import normal_factor, normal_share_below
from springcase.measurement.numbers import finite, not_negative, positive


class Verdict(StrEnum):
    """What a measurement says of its limit."""

    PASS = "PASS"
    FAIL = "FAIL"
    INCONCLUSIVE = "INCONCLUSIVE"


class Finding(StrEnum):
    """Where a value lies, in the words of conformity assessment."""

    PASS = "pass"
    CONDITIONAL_PASS = "conditional pass"
    CONDITIONAL_FAIL = "conditional fail"
    FAIL = "fail"


class RuleKind(StrEnum):
    """The decision rules."""

    SIMPLE = "simple"
    GUARDED = "guarded"
    SHARED = "shared"


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Lower and upper limit [SI], one of which may be missing, and who set them."""

    lower: float | None = None
    upper: float | None = None
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """
    A decision rule.

    The multiple of the standard uncertainty a guard band is wide [-], for the guarded rule; the
    greatest standard uncertainty agreed [SI], for shared risk.
    """

    kind: RuleKind
    multiple: float = 0.0
    greatest_uncertainty: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision:
    """
    A verdict with what it rests on.

    Value, standard uncertainty, guard band and acceptance limits [SI], probability that the
    limits are met [-].
    """

    verdict: Verdict
    finding: Finding
    value: float
    uncertainty: float
    limits: Limits
    rule: Rule
    probability_conforming: float
    guard_band: float
    lower_acceptance: float | None
    upper_acceptance: float | None


SIMPLE = Rule(kind=RuleKind.SIMPLE)


def guarded(multiple: float) -> Rule:
    """
    Return the rule with a guard band of a multiple of the standard uncertainty. [-]

    Raises BadInput, OutsideValidity.
    """
    return Rule(kind=RuleKind.GUARDED, multiple=not_negative(multiple, "guard band"))


def guarded_for(one_sided: float) -> Rule:
    """
    Return the rule whose guard band holds a probability of conformity at one limit. [-]

    95 % asks for 1.6449 standard uncertainties (`jcgm_106_2012_memory`). Raises OutsideValidity.
    """
    return guarded(normal_factor(one_sided))


def shared_risk(greatest_uncertainty: float) -> Rule:
    """
    Return simple acceptance under an agreed greatest standard uncertainty. [SI]

    Raises BadInput, OutsideValidity.
    """
    greatest = positive(greatest_uncertainty, "greatest uncertainty")
    return Rule(kind=RuleKind.SHARED, greatest_uncertainty=greatest)


def probability_conforming(value: float, uncertainty: float, limits: Limits) -> float:
    """
    Return the probability that the true value meets its limits [-], the error being normal.

    Value and standard uncertainty in one unit [SI]. Source: jcgm_106_2012_memory, 7.

    Raises BadInput, OutsideValidity.

    Examples
    --------
    >>> oil = Limits(lower=12.5, upper=16.3, source="JCGM 106:2012, 7.4")
    >>> round(probability_conforming(13.6, 1.8, oil), 2)
    0.66
    """
    _check(value, uncertainty, limits)
    if limits.upper is None or limits.lower is None:
        spare = _spare(value, limits) / uncertainty
        return normal_share_below(spare)
    to_upper = (limits.upper - value) / uncertainty
    to_lower = (value - limits.lower) / uncertainty
    # The nearer tail is taken, so that a small probability keeps its digits.
    if to_upper <= to_lower:
        return max(0.0, normal_share_below(to_upper) - normal_share_below(-to_lower))
    return max(0.0, normal_share_below(to_lower) - normal_share_below(-to_upper))


def _spare(value: float, limits: Limits) -> float:
    """Return how far a value lies inside its nearer limit, negative outside."""
    to_lower = math.inf if limits.lower is None else value - limits.lower
    to_upper = math.inf if limits.upper is None else limits.upper - value
    return min(to_lower, to_upper)


def decide(value: float, uncertainty: float, limits: Limits, rule: Rule) -> Decision:
    """
    Return the verdict on a value with its standard uncertainty [SI] under a rule.

    A value on its limit is within it. A pass never turns into a fail where a limit loosens.

    Raises BadInput, OutsideValidity.
    """
    _check(value, uncertainty, limits)
    band = rule.multiple * uncertainty
    low, high = acceptance_limits(uncertainty, limits, rule)
    within = _is_within(value, limits.lower, limits.upper)
    if _is_within(value, low, high):
        finding = Finding.PASS
    elif within:
        finding = Finding.CONDITIONAL_PASS
    elif _is_within(
        value,
        None if limits.lower is None else limits.lower - band,
        None if limits.upper is None else limits.upper + band,
    ):
        finding = Finding.CONDITIONAL_FAIL
    else:
        finding = Finding.FAIL
    greatest = rule.greatest_uncertainty
    if greatest is not None and uncertainty > greatest:
        finding = Finding.CONDITIONAL_PASS if within else Finding.CONDITIONAL_FAIL
    return Decision(
        verdict=_VERDICTS.get(finding, Verdict.INCONCLUSIVE),
        finding=finding,
        value=value,
        uncertainty=uncertainty,
        limits=limits,
        rule=rule,
        probability_conforming=probability_conforming(value, uncertainty, limits),
        guard_band=band,
        lower_acceptance=low,
        upper_acceptance=high,
    )


_VERDICTS = {Finding.PASS: Verdict.PASS, Finding.FAIL: Verdict.FAIL}


def acceptance_limits(
    uncertainty: float, limits: Limits, rule: Rule
) -> tuple[float | None, float | None]:
    """
    Return the limits a measured value must keep to pass [SI]: the guard band inside the others.

    Where the lower comes out above the upper no value can pass. Source: jcgm_106_2012_memory, 8.3.

    Raises BadInput, OutsideValidity.
    """
    band = finite(rule.multiple * positive(uncertainty, "uncertainty"), "guard band")
    return (
        None if limits.lower is None else limits.lower + band,
        None if limits.upper is None else limits.upper - band,
    )


def _check(value: float, uncertainty: float, limits: Limits) -> None:
    finite(value, "value")
    positive(uncertainty, "uncertainty")
    lower, upper = limits.lower, limits.upper
    if lower is None and upper is None:
        raise BadInput("limit-missing", field="limit", value="", right="a lower or an upper limit")
    if lower is not None:
        finite(lower, "lower limit")
    if upper is not None:
        finite(upper, "upper limit")
    if lower is not None and upper is not None and lower > upper:
        raise BadInput("limits-reversed", field="lower limit", value=lower, right=upper)


def _is_within(value: float, lower: float | None, upper: float | None) -> bool:
    return (lower is None or value >= lower) and (upper is None or value <= upper)
