"""Quantities are read as people type them, and refused by name where they are unclear."""

from __future__ import annotations

import subprocess
import sys

import pytest

from springcase import units
from springcase.errors import BadInput, OutsideValidity, UnitMismatch
from springcase.units import convert, format_value, parse_quantity, parse_range
from springcase.wording import explain

MEANT = [
    ("12 N.m", "torque", 12.0),
    ("12 N·m", "torque", 12.0),
    ("12 Nm", "torque", 12.0),
    ("12,5 N.m", "torque", 12.5),
    ("106 lbf.in", "torque", 106 * 0.1129848290276167),
    ("106 in-lbs", "torque", 106 * 0.1129848290276167),
    ("106 lbf·in", "torque", 106 * 0.1129848290276167),
    ("106 in.lbf", "torque", 106 * 0.1129848290276167),
    ("9 ft-lb", "torque", 9 * 12 * 0.1129848290276167),
    ("9 FT-LB", "torque", 9 * 12 * 0.1129848290276167),
    ("1 1/8 in", "length", 1.125 * 0.0254),
    ("1-1/8 in", "length", 1.125 * 0.0254),
    ("1½ in", "length", 1.5 * 0.0254),
    ("7/16 in", "length", 0.4375 * 0.0254),
    ('7/16"', "length", 0.4375 * 0.0254),
    ("7/16-in", "length", 0.4375 * 0.0254),
    (".5 in", "length", 0.0127),
    ("-1.5 in", "length", -0.0381),
    ("−1.5 in", "length", -0.0381),
    ("1,234.5 mm", "length", 1.2345),
    ("1.234,5 mm", "length", 1.2345),
    ("1,234,567 mm", "length", 1234.567),
    ("0,125 in", "length", 0.003175),
    ("1e3 mm", "length", 1.0),
    ("60 psig", "pressure", 60 * 6894.757293168361),
    ("60 PSIG", "pressure", 60 * 6894.757293168361),
    ("5 bar(g)", "pressure", 5e5),
    ("5 bar a", "pressure", 5e5),
    ("7 in w.c.", "pressure", 7 * 249.08891),
    ("7 in. w.c.", "pressure", 7 * 249.08891),
    ("7 inwc", "pressure", 7 * 249.08891),
    ("12 oz/in2", "pressure", 12 * 6894.757293168361 / 16),
    ("0.1 bar", "pressure-difference", 1e4),
    ("2 psid", "pressure-difference", 2 * 6894.757293168361),
    ("7 in w.c.", "pressure-difference", 7 * 249.08891),
    ("600 MPa", "stress", 6e8),
    ("85 ksi", "stress", 85e3 * 6894.757293168361),
    ("11.5 Mpsi", "stress", 11.5e6 * 6894.757293168361),
    ("15 °C", "temperature", 288.15),
    ("60 deg F", "temperature", 288.7055555555555),
    ("0 K", "temperature", 0.0),
    ("5 min", "time", 300.0),
    ("5 lb", "mass", 5 * 0.45359237),
    ("180 deg", "angle", 3.141592653589793),
    ("9.0 N/mm", "stiffness", 9000.0),
    ("5200 mm2", "area", 5.2e-3),
    ("75 %", "ratio", 0.75),
    ("0.75", "ratio", 0.75),
    ("25 lbf", "force", 25 * 4.4482216152605),
]

REFUSED = [
    ("", "torque", BadInput, "quantity-empty"),
    ("   ", "torque", BadInput, "quantity-empty"),
    ("1" * 201, "torque", BadInput, "text-too-long"),
    ("twelve N.m", "torque", BadInput, "number-unreadable"),
    ("nan N.m", "torque", BadInput, "number-unreadable"),
    ("inf N.m", "torque", BadInput, "number-unreadable"),
    ("1e400 N.m", "torque", BadInput, "number-not-finite"),
    ("1e308 GPa", "stress", BadInput, "number-not-finite"),
    ("5. mm", "length", BadInput, "number-unreadable"),
    ("5.5.5 mm", "length", BadInput, "number-unreadable"),
    ("1/0 in", "length", BadInput, "number-unreadable"),
    ("1.5/8 in", "length", BadInput, "number-unreadable"),
    ("1 234 mm", "length", BadInput, "number-unreadable"),
    ("1,234 mm", "length", BadInput, "number-thousands"),
    ("7", "torque", UnitMismatch, "unit-missing"),
    ("7 furlong", "length", UnitMismatch, "unit-unknown"),
    ("5 M", "length", UnitMismatch, "unit-unknown"),
    ("5 Mbar gauge", "pressure", UnitMismatch, "unit-unknown"),
    ("60 psig g", "pressure", UnitMismatch, "unit-unknown"),
    ("12 oz", "pressure", UnitMismatch, "unit-ambiguous"),
    ("12 oz", "mass", UnitMismatch, "unit-ambiguous"),
    ("12 nm", "torque", UnitMismatch, "unit-ambiguous"),
    ("15 C", "temperature", UnitMismatch, "unit-ambiguous"),
    ("5 mpa", "stress", UnitMismatch, "unit-ambiguous"),
    ("12 lb", "torque", UnitMismatch, "unit-kind"),
    ("12 lb", "force", UnitMismatch, "unit-kind"),
    ("12 mm", "torque", UnitMismatch, "unit-kind"),
    ("5 bar", "pressure", UnitMismatch, "pressure-reference-missing"),
    ("5 psi", "pressure", UnitMismatch, "pressure-reference-missing"),
    ("30 in Hg", "pressure", UnitMismatch, "pressure-reference-missing"),
    ("5 psid", "pressure", UnitMismatch, "pressure-reference-wrong"),
    ("5 psig", "pressure-difference", UnitMismatch, "pressure-reference-wrong"),
    ("5 psig", "stress", UnitMismatch, "pressure-reference-wrong"),
    ("-1 bar abs", "pressure", OutsideValidity, "below-absolute-zero"),
    ("-300 degC", "temperature", OutsideValidity, "below-absolute-zero"),
]

SENTENCES = [
    (
        "5 bar",
        "pressure",
        'inlet "5 bar" does not say whether it is gauge or absolute; type bar gauge or bar abs.',
    ),
    (
        "7",
        "torque",
        'inlet "7" has no unit; type a torque such as 12 N.m, 106 lbf.in or 9 lbf.ft.',
    ),
    (
        "12 oz",
        "pressure",
        'inlet "12 oz" can be read in two ways: ounces are a mass or a pressure: write oz/in2 '
        "for the pressure, or g, kg or lb.",
    ),
    (
        "1,234 mm",
        "length",
        'inlet "1,234 mm" has a comma that may mark thousands or decimals; '
        "type 1234 or 1.234 with its unit.",
    ),
]


@pytest.mark.parametrize(("text", "kind", "value"), MEANT)
def test_a_typed_quantity_has_its_meaning(text: str, kind: str, value: float) -> None:
    """A quantity as people write it has the SI value it means, and its text is kept."""
    read = parse_quantity(text, kind, field="x")

    assert (text, pytest.approx(value, rel=1e-14, abs=1e-15)) == (read.text, read.value)


@pytest.mark.parametrize(("text", "kind", "error", "code"), REFUSED)
def test_an_unclear_quantity_is_refused_by_name(
    text: str, kind: str, error: type[BadInput], code: str
) -> None:
    """What is unclear or impossible is refused with its own code and never guessed."""
    with pytest.raises(error, match=rf"\[{code}\] x"):
        parse_quantity(text, kind, field="x")


@pytest.mark.parametrize(("text", "kind", "sentence"), SENTENCES)
def test_a_refusal_is_one_sentence_that_says_what_is_missing(
    text: str, kind: str, sentence: str
) -> None:
    """A refusal names the field, the value and what to type instead."""
    with pytest.raises(BadInput, match="inlet") as caught:
        parse_quantity(text, kind, field="inlet")

    assert sentence == explain(caught.value)


@pytest.mark.parametrize(
    ("text", "reference"),
    [
        ("5 bar gauge", "gauge"),
        ("5 bar g", "gauge"),
        ("5 barg", "gauge"),
        ("5 bar abs", "abs"),
        ("5 bar a", "abs"),
        ("20 psia", "abs"),
        ("7 in w.c.", "gauge"),
        ("400 in w.c. abs", "abs"),
        ("100 mm w.c.", "gauge"),
        ("12 oz/in2", "gauge"),
        ("30 in Hg abs", "abs"),
    ],
)
def test_a_pressure_keeps_its_reference(text: str, reference: str) -> None:
    """A pressure knows whether it is gauge or absolute; water columns are gauge by nature."""
    assert reference == parse_quantity(text, "pressure", field="x").reference


def test_a_difference_and_a_stress_need_no_reference() -> None:
    """A pressure difference is a difference, and a stress has no reference at all."""
    difference = parse_quantity("0.1 bar", "pressure-difference", field="x")
    stress = parse_quantity("85000 psi", "stress", field="x")

    assert ("diff", "") == (difference.reference, stress.reference)


@pytest.mark.parametrize(
    ("text", "kind", "ends"),
    [
        ("6.30 mm to 6.40 mm", "length", (0.0063, 0.0064)),
        ("10 to 12 N.m", "torque", (10.0, 12.0)),
        ("10–12 N.m", "torque", (10.0, 12.0)),
        ("1 1/8 to 1 1/4 in", "length", (0.028575, 0.03175)),
        ("15 to 80 mbar gauge", "pressure", (1500.0, 8000.0)),
    ],
)
def test_a_range_has_two_ends(text: str, kind: str, ends: tuple[float, float]) -> None:
    """A range may say its unit once or twice."""
    low, high = parse_range(text, kind, field="x")

    assert ends == pytest.approx((low.value, high.value), rel=1e-14)


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("12 N.m", "range-unreadable"),
        ("10 to 11 to 12 N.m", "range-unreadable"),
        ("to 12 N.m", "range-unreadable"),
        ("12 to 10 N.m", "range-reversed"),
        ("10 to 12", "unit-missing"),
        ("10 mm to 12 N.m", "unit-kind"),
    ],
)
def test_what_is_no_range_is_refused(text: str, code: str) -> None:
    """A range with one end, three, or the ends the wrong way round is refused."""
    with pytest.raises(BadInput, match=rf"\[{code}\] x"):
        parse_range(text, "torque", field="x")


@pytest.mark.parametrize(
    ("value", "unit", "digits", "text"),
    [
        (12.0, "N.m", 3, "12.0 N.m"),
        (9.996, "N.m", 3, "10.0 N.m"),
        (0.0012345, "N.m", 3, "0.00123 N.m"),
        (0.0, "N.m", 3, "0.00 N.m"),
        (-12.34, "N.m", 3, "-12.3 N.m"),
        (999.6, "N.m", 3, "1000 N.m"),
        (1234.5, "mm", 3, "1234500 mm"),
        (288.15, "degF", 4, "59.00 degF"),
        (5e5, "bar gauge", 3, "5.00 bar gauge"),
    ],
)
def test_a_value_is_printed_with_its_digits(
    value: float, unit: str, digits: int, text: str
) -> None:
    """A value is printed with its significant digits, but never loses a whole one."""
    assert text == format_value(value, unit, digits)


def test_an_unknown_unit_cannot_be_printed() -> None:
    """A value cannot be printed in a unit nobody knows."""
    with pytest.raises(UnitMismatch, match=r"\[unit-unknown\] unit: 'furlong'"):
        convert(1.0, "furlong")


def test_a_value_that_is_not_finite_cannot_be_printed() -> None:
    """NaN never reaches paper."""
    with pytest.raises(BadInput, match=r"\[number-not-finite\]"):
        format_value(float("nan"), "N.m", 3)


def test_the_units_import_nothing_heavy() -> None:
    """Importing the units brings in no numpy."""
    code = "import sys, springcase.units; print('numpy' in sys.modules)"
    done = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60
    )

    assert "False" == done.stdout.strip()


def test_every_kind_has_an_example_that_reads() -> None:
    """What a refusal tells people to type can be typed."""
    for kind, example in units.EXAMPLES.items():
        first = example.partition(" such as ")[2].split(", ")[0].split(" or ")[0]

        assert kind == parse_quantity(first, kind, field="x").kind
