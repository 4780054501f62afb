"""Units agree with a general units library and survive the way there and back."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from springcase.errors import SpringcaseError
from springcase.units import (
    EXAMPLES,
    UNIT_NAMES,
    ConversionBasis,
    convert,
    convert_quantity,
    parse_quantity,
    parse_range,
)
from springcase.wording import explain

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry()
# Every unit of ours, its kind, and what the oracle calls it.
TABLE = {
    "mm": ("length", "millimeter"),
    "cm": ("length", "centimeter"),
    "m": ("length", "meter"),
    "in": ("length", "inch"),
    "ft": ("length", "foot"),
    "mm2": ("area", "millimeter**2"),
    "cm2": ("area", "centimeter**2"),
    "m2": ("area", "meter**2"),
    "in2": ("area", "inch**2"),
    "N": ("force", "newton"),
    "kN": ("force", "kilonewton"),
    "lbf": ("force", "pound_force"),
    "N.m": ("torque", "newton*meter"),
    "lbf.in": ("torque", "pound_force*inch"),
    "lbf.ft": ("torque", "pound_force*foot"),
    "N/m": ("stiffness", "newton/meter"),
    "N/mm": ("stiffness", "newton/millimeter"),
    "lbf/in": ("stiffness", "pound_force/inch"),
    "Pa": ("stress", "pascal"),
    "kPa": ("stress", "kilopascal"),
    "MPa": ("stress", "megapascal"),
    "GPa": ("stress", "gigapascal"),
    "bar": ("stress", "bar"),
    "mbar": ("stress", "millibar"),
    "psi": ("stress", "psi"),
    "ksi": ("stress", "ksi"),
    "Mpsi": ("stress", "megapsi"),
    "in w.c.": ("pressure-difference", "inch_H2O"),
    "mm w.c.": ("pressure-difference", "millimeter*meter_H2O/meter"),
    "oz/in2": ("pressure-difference", "ounce*standard_gravity/inch**2"),
    "in Hg": ("pressure-difference", "inch_Hg"),
    "s": ("time", "second"),
    "min": ("time", "minute"),
    "h": ("time", "hour"),
    "d": ("time", "day"),
    "kg": ("mass", "kilogram"),
    "g": ("mass", "gram"),
    "lb": ("mass", "pound"),
    "deg": ("angle", "degree"),
    "rad": ("angle", "radian"),
    "%": ("ratio", "percent"),
    "K": ("temperature", "kelvin"),
    "degC": ("temperature", "degC"),
    "degF": ("temperature", "degF"),
    "m/s": ("speed", "meter/second"),
    "ft/s": ("speed", "foot/second"),
    "atm": ("stress", "atmosphere"),
    "m3": ("volume", "meter**3"),
    "L": ("volume", "liter"),
    "mL": ("volume", "milliliter"),
    "ft3": ("volume", "foot**3"),
    "in3": ("volume", "inch**3"),
    "US gal": ("volume", "gallon"),
    "m3/s": ("volume-flow", "meter**3/second"),
    "m3/min": ("volume-flow", "meter**3/minute"),
    "m3/h": ("volume-flow", "meter**3/hour"),
    "L/s": ("volume-flow", "liter/second"),
    "L/min": ("volume-flow", "liter/minute"),
    "L/h": ("volume-flow", "liter/hour"),
    "mL/min": ("volume-flow", "milliliter/minute"),
    "ft3/h": ("volume-flow", "foot**3/hour"),
    "ft3/min": ("volume-flow", "foot**3/minute"),
    "US gal/min": ("volume-flow", "gallon/minute"),
    "kg/s": ("mass-flow", "kilogram/second"),
    "kg/min": ("mass-flow", "kilogram/minute"),
    "kg/h": ("mass-flow", "kilogram/hour"),
    "g/s": ("mass-flow", "gram/second"),
    "t/h": ("mass-flow", "metric_ton/hour"),
    "lb/s": ("mass-flow", "pound/second"),
    "lb/min": ("mass-flow", "pound/minute"),
    "lb/h": ("mass-flow", "pound/hour"),
    "kg/mol": ("molar-mass", "kilogram/mole"),
    "g/mol": ("molar-mass", "gram/mole"),
    "kg/m3": ("density", "kilogram/meter**3"),
    "g/cm3": ("density", "gram/centimeter**3"),
    "lb/ft3": ("density", "pound/foot**3"),
    "Pa.s": ("viscosity", "pascal*second"),
    "cP": ("viscosity", "centipoise"),
}
# Volumes of gas at base conditions: what the oracle calls one of them, taken as actual.
BASE_TABLE = {
    name + per: (f"base-{'flow' if per else 'volume'}", factor, oracle + oracle_per)
    for name, oracle, factor in (
        ("Nm3", "meter**3", 1),
        ("Sm3", "meter**3", 1),
        ("NL", "liter", 1),
        ("scf", "foot**3", 1),
        ("Mscf", "foot**3", 1000),
        ("MMscf", "foot**3", 1000000),
    )
    for per, oracle_per in (
        ("", ""),
        ("/s", "/second"),
        ("/min", "/minute"),
        ("/h", "/hour"),
        ("/d", "/day"),
    )
}
SI = {
    "speed": "meter/second",
    "volume": "meter**3",
    "volume-flow": "meter**3/second",
    "mass-flow": "kilogram/second",
    "molar-mass": "kilogram/mole",
    "density": "kilogram/meter**3",
    "viscosity": "pascal*second",
    "base-volume": "meter**3",
    "base-flow": "meter**3/second",
    "length": "meter",
    "area": "meter**2",
    "force": "newton",
    "torque": "newton*meter",
    "stiffness": "newton/meter",
    "stress": "pascal",
    "pressure-difference": "pascal",
    "time": "second",
    "mass": "kilogram",
    "angle": "radian",
    "ratio": "dimensionless",
    "temperature": "kelvin",
}
NUMBERS = st.floats(min_value=1e-6, max_value=1e6).map(lambda value: float(f"{value:.9g}"))


@pytest.mark.parametrize("unit", sorted(TABLE))
def test_a_unit_agrees_with_the_oracle(unit: str) -> None:
    """Every unit has the SI value a general units library gives it."""
    kind, oracle = TABLE[unit]
    wanted = REGISTRY.Quantity(123.456, oracle).to(SI[kind]).magnitude

    assert parse_quantity(f"123.456 {unit}", kind, field="x").value == pytest.approx(
        wanted, rel=1e-12
    )


def test_the_table_of_the_oracle_has_every_unit() -> None:
    """No unit of ours goes unchecked and none is checked that does not exist."""
    assert set(UNIT_NAMES) == set(TABLE) | set(BASE_TABLE)


@pytest.mark.parametrize("unit", sorted(BASE_TABLE))
def test_a_volume_at_base_conditions_agrees_with_the_oracle(unit: str) -> None:
    """A volume of gas is its size times its amount per volume over that at 0 degC and 1 atm."""
    kind, factor, oracle = BASE_TABLE[unit]
    size = REGISTRY.Quantity(123.456 * factor, oracle).to(SI[kind]).magnitude
    base = {"S": (101325.0, 288.15), "N": (101325.0, 273.15)}.get(unit[0], (101560.0, 288.7))
    wanted = size * base[0] / base[1] / (101325.0 / 273.15)
    typed = f"123.456 {unit}" + (" @ 1015.6 mbar, 288.7 K" if "scf" in unit else "")

    assert parse_quantity(typed, kind, field="x").value == pytest.approx(wanted, rel=1e-12)


@given(st.sampled_from(sorted(TABLE)), NUMBERS)
def test_a_value_survives_the_way_there_and_back(unit: str, number: float) -> None:
    """A typed quantity converted back to its own unit is the number that was typed."""
    kind = TABLE[unit][0]
    read = parse_quantity(f"{number!r} {unit}", kind, field="x")
    size = max(abs(number), 500.0) if kind == "temperature" else abs(number)

    assert math.isclose(number, convert(read.value, unit), rel_tol=0, abs_tol=1e-12 * size)


@given(NUMBERS)
def test_a_decimal_comma_means_a_decimal_point(number: float) -> None:
    """A number with a decimal comma is the number with the point, or refused as unclear."""
    text = f"{number:.4f}"
    point = parse_quantity(f"{text} mm", "length", field="x")
    comma = parse_quantity(f"{text.replace('.', ',')} mm", "length", field="x")

    assert point.value == comma.value


@given(st.integers(0, 40), st.integers(1, 63), st.sampled_from([2, 4, 8, 16, 32, 64]))
def test_a_fraction_of_an_inch_is_exact(whole: int, above: int, below: int) -> None:
    """A mixed fraction is its whole inches and its part."""
    read = parse_quantity(f"{whole} {above}/{below} in", "length", field="x")

    assert math.isclose(read.value, (whole + above / below) * 0.0254, rel_tol=1e-14)


@given(st.text(max_size=40), st.sampled_from(sorted(EXAMPLES)))
def test_any_text_is_read_or_refused_in_one_sentence(text: str, kind: str) -> None:
    """No text makes the reader fail in another way than one printable sentence."""
    try:
        read = parse_quantity(text, kind, field="x")
    except SpringcaseError as error:
        sentence = explain(error)

        assert sentence.isprintable() and sentence.endswith(".")
    else:
        assert math.isfinite(read.value)


@given(st.text("0123456789.,/ -–to NminbargausE+%", max_size=30), st.sampled_from(sorted(EXAMPLES)))
def test_any_range_is_read_or_refused(text: str, kind: str) -> None:
    """A text near a range reads with its ends in order, or is refused in one sentence."""
    try:
        low, high = parse_range(text, kind, field="x")
    except SpringcaseError as error:
        assert explain(error).endswith(".")
    else:
        assert low.value <= high.value


@given(
    st.text("0123456789.,/ @-°³NmSscfhpsiabrgdKCF", max_size=30),
    st.one_of(st.sampled_from(UNIT_NAMES), st.text(max_size=12)),
)
def test_any_conversion_is_made_or_refused(text: str, to: str) -> None:
    """A text near a quantity and any unit give a finite number or one sentence."""
    basis = ConversionBasis(barometer_abs=101325.0, molar_mass=0.0176)
    try:
        found = convert_quantity(text, to, basis)
    except SpringcaseError as error:
        assert explain(error).endswith(".")
    else:
        assert math.isfinite(found.value)


@given(st.sampled_from(sorted(BASE_TABLE)), st.sampled_from(sorted(BASE_TABLE)), NUMBERS)
def test_a_volume_of_gas_survives_another_base(one: str, other: str, number: float) -> None:
    """A volume or flow of gas in another unit at another base, and back, is what was typed."""
    bases = {"scf": " @ 14.73 psi, 60 degF"}
    one, other = (
        unit + next((base for name, base in bases.items() if name in unit), "")
        for unit in (one, other)
    )
    if ("/" in one) is not ("/" in other):
        other = one
    there = convert_quantity(f"{number!r} {one}", other, ConversionBasis())
    back = convert_quantity(f"{there.value!r} {other}", one, ConversionBasis())

    assert math.isclose(number, back.value, rel_tol=1e-12)
