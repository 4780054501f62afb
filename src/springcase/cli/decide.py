"""`springcase decide`: a value against its limits with its uncertainty, under a stated rule."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Final

from springcase.cli.decide_inputs import Typed, read_typed
from springcase.cli.owner_choice import chosen_owner
from springcase.errors import BadInput, OutsideValidity
from springcase.sources import Standing
from springcase.units import convert, parse_quantity
from springcase.wording import sentence

if TYPE_CHECKING:
    from springcase.measurement.decision import Decision, Rule

NAME: Final = "decide"
HELP: Final = "a value against a limit with uncertainty"
FORMAT: Final = "springcase/decision"
_RULES: Final = ("simple", "guarded", "shared")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options of the command."""
    add = parser.add_argument
    add("--value", metavar="VALUE", required=True, help="measured value, a unit beside it or none")
    add("--lower", metavar="VALUE", help="lower limit, in the unit of the value")
    add("--upper", metavar="VALUE", help="upper limit, in the unit of the value")
    add("--uncertainty", metavar="VALUE", required=True, help="standard uncertainty of the value")
    add("--coverage", metavar="K", default="1", help="factor in it, 2 where it is expanded")
    add("--rule", choices=_RULES, help="decision rule; the owner's where none is named")
    add("--guard", metavar="BAND", help="guard band: times the uncertainty, or as 95 %%, one-sided")
    add("--greatest-uncertainty", metavar="VALUE", help="greatest agreed, for the rule shared")
    add("--source", metavar="TEXT", help="who set the limits: clause and edition")


def document(arguments: argparse.Namespace) -> tuple[dict[str, Any], int]:
    """Return the verdict and the exit code: 1 for FAIL and INCONCLUSIVE."""
    from springcase.measurement import decision

    typed = read_typed(arguments)
    warnings: list[str] = []
    rule = _rule(arguments, typed, warnings)
    if typed.lower is None and typed.upper is None:
        right = "--lower, --upper or both"
        raise BadInput("limit-missing", field="limit", value="", right=right)
    if typed.lower is not None and typed.upper is not None and typed.lower > typed.upper:
        raise BadInput(
            "limits-reversed", field="--lower", value=arguments.lower, right=arguments.upper
        )
    limits = decision.Limits(
        lower=typed.lower, upper=typed.upper, source=(arguments.source or "").strip()
    )
    found = decision.decide(typed.value, typed.uncertainty, limits, rule)
    if not limits.source:
        warnings.append(sentence("decide-source-missing"))
    warnings += _cautions(found)
    code = 0 if found.verdict is decision.Verdict.PASS else 1
    return _shown(found, typed, warnings), code


def _shown(found: Decision, typed: Typed, warnings: list[str]) -> dict[str, Any]:
    limits = found.limits
    return {
        "verdict": found.verdict.value,
        "finding": found.finding.value,
        "probability_conforming": found.probability_conforming,
        "value": found.value,
        "standard_uncertainty": found.uncertainty,
        "limits": {
            "lower": limits.lower,
            "upper": limits.upper,
            "source": limits.source or None,
        },
        "rule": {
            "name": found.rule.kind.value,
            "guard_multiple": found.rule.multiple,
            "greatest_uncertainty": found.rule.greatest_uncertainty,
        },
        "guard_band": found.guard_band,
        "acceptance": {"lower": found.lower_acceptance, "upper": found.upper_acceptance},
        "unit_typed": typed.unit or None,
        "unit_of_widths": typed.unit_of_widths or None,
        "kind": typed.kind or None,
        "warnings": warnings,
        "sources": ["decision_rules_computed", "jcgm_106_2012_memory"],
    }


def _rule(arguments: argparse.Namespace, typed: Typed, warnings: list[str]) -> Rule:
    """Return the rule named, or the owner's; an option of another rule is refused."""
    from springcase.measurement import decision

    owner = chosen_owner(arguments)
    kind = arguments.rule
    if kind is None:
        kind = "guarded" if arguments.guard is not None else owner.proving.decision_rule
    if arguments.guard is not None and kind != "guarded":
        raise BadInput(
            "decide-rule-option", field="--guard", value=arguments.guard, right="--rule guarded"
        )
    if arguments.greatest_uncertainty is not None and kind != "shared":
        raise BadInput(
            "decide-rule-option",
            field="--greatest-uncertainty",
            value=arguments.greatest_uncertainty,
            right="--rule shared",
        )
    if kind == "simple":
        return decision.SIMPLE
    if kind == "shared":
        if typed.greatest_uncertainty is None:
            raise BadInput(
                "option-needs", field="--rule", value="shared", right="--greatest-uncertainty"
            )
        return decision.shared_risk(typed.greatest_uncertainty)
    if arguments.guard is not None:
        return _guard_typed(arguments.guard)
    figure = owner.figures["proving.guard_band"]
    if figure.standing == Standing.MEMORY:
        warnings.append(
            sentence(
                "decide-from-memory", figure=f"the guard band, {figure.text}", source=figure.words
            )
        )
    return decision.guarded(owner.proving.guard_band)


def _guard_typed(text: str) -> Rule:
    """Return the guarded rule of a multiple, or of a one-sided probability typed with %."""
    from springcase.measurement import decision

    number = parse_quantity(text, "ratio", field="--guard").value
    if "%" in text:
        if not 0.5 <= number < 1:
            raise OutsideValidity(
                "probability-outside", field="--guard", value=text, right="50 % to less than 100 %"
            )
        return decision.guarded_for(number)
    if number < 0:
        raise OutsideValidity("not-positive", field="--guard", value=text, right="zero or more")
    return decision.guarded(number)


def _cautions(found: Decision) -> list[str]:
    """Return what has to be said of a decision beside its verdict."""
    from springcase.measurement.decision import RuleKind, Verdict
    from springcase.measurement.distributions import normal_share_below

    said = []
    low, high = found.lower_acceptance, found.upper_acceptance
    if low is not None and high is not None and low > high:
        said.append(sentence("decide-no-room"))
    is_pass = found.verdict is Verdict.PASS
    if found.rule.kind is RuleKind.GUARDED:
        # One limit alone would leave this probability at the edge of its guard band.
        promised = normal_share_below(found.rule.multiple)
        if is_pass and found.probability_conforming < promised - 1e-9:
            probability = f"{100 * found.probability_conforming:.1f} %"
            said.append(sentence("decide-two-sided", probability=probability))
        return said
    if found.rule.kind is RuleKind.SIMPLE:
        return [*said, sentence("decide-simple")]
    said.append(sentence("decide-shared"))
    if found.verdict is Verdict.INCONCLUSIVE:
        said.append(sentence("decide-too-uncertain"))
    return said


def _per_cent(probability: float) -> str:
    """Return a probability in per cent; neither certainty is printed where there is none."""
    if probability > 0.99995:
        return "more than 99.99 %"
    return "less than 0.01 %" if probability < 0.0001 else f"{100 * probability:.4g} %"


def text(document: Mapping[str, Any]) -> str:
    """Return the document for people: the verdict first, then what it rests on."""
    unit = document["unit_typed"] or ""

    def place(value: float) -> str:
        number = convert(value, unit) if unit else value
        return f"{number:.6g} {unit}".rstrip()

    def width(value: float) -> str:
        number = convert(value, unit) - convert(0.0, unit) if unit else value
        return f"{number:.6g} {document['unit_of_widths'] or ''}".rstrip()

    def ends(pair: Mapping[str, Any]) -> str:
        low, high = pair["lower"], pair["upper"]
        if low is None:
            return f"at most {place(high)}"
        return f"at least {place(low)}" if high is None else f"{place(low)} to {place(high)}"

    rule, limits = document["rule"], document["limits"]
    said = {
        "simple": "simple acceptance",
        "guarded": f"guard band of {rule['guard_multiple']:.5g} standard uncertainties, "
        f"{width(document['guard_band'])}",
    }.get(rule["name"], "shared risk")
    if rule["greatest_uncertainty"] is not None:
        said += f", standard uncertainty at most {width(rule['greatest_uncertainty'])}"
    lines = [
        f"Verdict        {document['verdict']} ({document['finding']})",
        f"Conforms       with probability {_per_cent(document['probability_conforming'])}",
        f"Value          {place(document['value'])}, standard uncertainty "
        f"{width(document['standard_uncertainty'])}",
        f"Limit          {ends(limits)}, set by {limits['source'] or 'no source named'}",
        f"Rule           {said}",
        f"Passes         {ends(document['acceptance'])}",
    ]
    return "\n".join([*lines, "", sentence("decide-caution")])
