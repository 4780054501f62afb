"""`springcase decide` gives a verdict with its probability, and refuses in one sentence."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest

from springcase.cli.app import Surroundings, answer
from springcase.errors import SpringcaseError
from springcase.wording import explain

AROUND = Surroundings({}, date(2026, 11, 25))
EXAMPLE = ("--value", "208", "--upper", "210", "--uncertainty", "1.5")
GAUGE = ("--value", "208 mbar gauge", "--upper", "210 mbar gauge", "--uncertainty", "1.5 mbar")


def run(*words: str) -> tuple[dict[str, Any], int]:
    """Return the document and exit code of the command."""
    result = answer(["decide", *words, "--json"], AROUND)
    return json.loads(result.out), result.code


def refusal(*words: str) -> str:
    """Return the sentence the command is refused with."""
    with pytest.raises(SpringcaseError, match=r"^\[") as caught:
        answer(["decide", *words], AROUND)
    return explain(caught.value)


def test_the_line_of_the_design_is_inconclusive() -> None:
    """208 against 210 with 1.5 conforms with 90.879 %, too little for the owner's guard band."""
    found, code = run(*EXAMPLE)

    assert (1, "INCONCLUSIVE", "conditional pass") == (code, found["verdict"], found["finding"])
    assert 0.90879 == pytest.approx(found["probability_conforming"], abs=5e-6)
    assert any("from memory" in one for one in found["warnings"])
    assert any("no source" in one for one in found["warnings"])


@pytest.mark.parametrize(
    ("words", "verdict", "code"),
    [
        (("--rule", "simple"), "PASS", 0),
        (("--guard", "1"), "PASS", 0),
        (("--guard", "95 %"), "INCONCLUSIVE", 1),
        (("--rule", "shared", "--greatest-uncertainty", "1.5"), "PASS", 0),
        (("--rule", "shared", "--greatest-uncertainty", "1.4"), "INCONCLUSIVE", 1),
        (("--figure", "proving.decision_rule=simple"), "PASS", 0),
        (("--figure", "proving.guard_band=1.2"), "PASS", 0),
        (("--lower", "207"), "INCONCLUSIVE", 1),
    ],
)
def test_the_rule_decides(words: tuple[str, ...], verdict: str, code: int) -> None:
    """The rule typed, or else the owner's, makes the verdict and the exit code."""
    found, ended = run(*EXAMPLE, *words)

    assert (verdict, code) == (found["verdict"], ended)


def test_a_value_far_out_fails() -> None:
    """A value beyond the band outside the limit fails, with exit 1."""
    found, code = run("--value", "214", *EXAMPLE[2:])

    assert ("FAIL", 1) == (found["verdict"], code)


def test_units_may_differ_and_come_out_in_si() -> None:
    """mbar, psig and an uncertainty expanded by 2 are one kind; the document is in SI."""
    found, code = run(
        *GAUGE[:2], "--upper", "3.1 psig", "--uncertainty", "3 mbar", "--coverage", "2"
    )

    assert (0, 150.0, 20800.0) == pytest.approx(
        (code, found["standard_uncertainty"], found["value"])
    )
    assert ("mbar gauge", "pressure") == (found["unit_typed"], found["kind"])


def test_people_read_widths_without_reference() -> None:
    """A width is printed in the plain unit, the value with its reference."""
    text = answer(["decide", *GAUGE, "--source", "owner 2026"], AROUND).out

    assert "Value          208 mbar gauge, standard uncertainty 1.5 mbar\n" in text
    assert "at most 210 mbar gauge, set by owner 2026" in text


def test_a_temperature_has_an_uncertainty_without_zero_point() -> None:
    """1.8 degF of uncertainty is 1 K."""
    found, _ = run("--value", "20 degC", "--upper", "24 degC", "--uncertainty", "1.8 degF")

    assert 1.0 == pytest.approx(found["standard_uncertainty"])


def test_bands_that_meet_are_said() -> None:
    """Where the guard bands leave nothing, or leave little, it is said."""
    none, _ = run(*EXAMPLE, "--lower", "209", "--value", "209.5")
    little, _ = run("--value", "0", "--lower", "-2", "--upper", "2", "--uncertainty", "1.2")

    assert any("No value can pass" in one for one in none["warnings"])
    assert ("PASS", True) == (
        little["verdict"],
        any("only 90.4 %" in one for one in little["warnings"]),
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (
            ("--value", "208", "--upper", "210 mbar gauge", "--uncertainty", "1.5"),
            '--upper "210 mbar gauge" is not in the unit of the value; '
            "right would be a number alone, like 208.",
        ),
        (
            (*GAUGE[:2], "--upper", "210", "--uncertainty", "1.5 mbar"),
            '--upper "210" is not in the unit of the value; '
            "right would be in a unit like 208 mbar gauge.",
        ),
        (
            (*GAUGE[:2], "--upper", "210 mbar abs", "--uncertainty", "1.5 mbar"),
            '--upper "210 mbar abs" is not in the unit of the value; '
            "right would be in a unit like 208 mbar gauge.",
        ),
        (
            ("--value", "208", "--uncertainty", "1.5"),
            "There is no limit to decide against; give --lower, --upper or both.",
        ),
        (
            (*EXAMPLE, "--lower", "211"),
            '--lower "211" lies above the upper limit 210; right is the lower below the upper.',
        ),
        (
            (*EXAMPLE, "--rule", "simple", "--guard", "2"),
            '--guard "2" does not belong to this rule; right would be --rule guarded.',
        ),
        (
            (*EXAMPLE, "--greatest-uncertainty", "2"),
            '--greatest-uncertainty "2" does not belong to this rule; '
            "right would be --rule shared.",
        ),
        (
            (*EXAMPLE, "--rule", "shared"),
            '--rule "shared" needs --greatest-uncertainty beside it.',
        ),
        (
            (*EXAMPLE, "--guard", "101 %"),
            '--guard "101 %" is no probability to work with; '
            "right would be 50 % to less than 100 %.",
        ),
        (
            (*EXAMPLE[:4], "--uncertainty", "0"),
            '--uncertainty "0" cannot be used; right would be more than zero.',
        ),
    ],
)
def test_what_cannot_be_decided_is_refused(words: tuple[str, ...], said: str) -> None:
    """Each refusal is one sentence with the option, its value and what is right."""
    assert said == refusal(*words)
