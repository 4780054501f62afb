"""Any quantity becomes any unit of its kind, and says what is missing where it cannot."""

from __future__ import annotations

import math

import pytest

from springcase.errors import BadInput, OutsideValidity, SpringcaseError, UnitMismatch
from springcase.units import (
    NAMED_BASES,
    NORMAL,
    BaseConditions,
    ConversionBasis,
    base_ratio,
    check_barometer,
    convert,
    convert_quantity,
    format_value,
    named_base,
    parse_quantity,
    parse_range,
    read_base,
    standard_atmosphere,
    to_absolute,
    to_gauge,
)
from springcase.wording import explain

NOTHING = ConversionBasis()
AIR = ConversionBasis(barometer_abs=101325.0)
OWNER = ConversionBasis(default_base=NAMED_BASES["us-14.73"])
NITROGEN = ConversionBasis(molar_mass=0.0280134)

CONVERTED = [
    ("7 in w.c.", "psi", NOTHING, 0.2528910440, "gauge"),
    ("60 psig", "bar", NOTHING, 4.136854376, "gauge"),
    ("60 psig", "psia", AIR, 74.69594878, "abs"),
    ("74.69594878 psia", "psig", AIR, 60.0, "gauge"),
    ("1 psi diff", "in w.c.", NOTHING, 27.67990483, "diff"),
    ("20 psia", "in Hg", NOTHING, 40.72041, "abs"),
    ("7 in w.c. @ 60 degF", "Pa", NOTHING, 1741.88, "gauge"),
    ("7 in w.c. @ conventional", "Pa", NOTHING, 1743.62237, "gauge"),
    ("60 degF", "degC", NOTHING, 15.5555555556, ""),
    ("1 1/8 in", "mm", NOTHING, 28.575, ""),
    ("90 deg", "rad", NOTHING, math.pi / 2, ""),
    ("85 ksi", "MPa", NOTHING, 586.0543699, ""),
    ("1 scf/h @ 14.73 psi, 60 degF", "Nm3/h", NOTHING, 0.02685320140, ""),
    ("1 scf/h @ 60 degF, 14.73 psia", "Nm3/h", NOTHING, 0.02685320140, ""),
    ("1 scf/h @ us-14.73", "Nm3/h", NOTHING, 0.02685320140, ""),
    ("1 scfh", "Nm3/h", OWNER, 0.02685320140, ""),
    ("1 MSCFH", "Nm3/h", OWNER, 26.85320140, ""),
    ("1 MMSCFD", "Nm3/d", OWNER, 26853.20140, ""),
    ("1 Nm³/h", "scf/h @ 14.73 psi, 60 degF", NOTHING, 37.23950769, ""),
    ("1 Nm3/h", "Sm³/h", NOTHING, 1.05491488, ""),
    ("1 Nm3/h", "scf/h\u00a0@ 14.73\u00a0psi, 60 °F", NOTHING, 37.23950769, ""),
    ("10 m3/h @ 5 bar abs, 15 degC", "Nm3/h", NOTHING, 46.77738857, ""),
    ("1,01325 Nm3", "NL", NOTHING, 1013.25, ""),
    ("100 kg/h", "Nm3/h", NITROGEN, 80.0116, ""),
    ("80.0116 Nm3/h", "lb/h", NITROGEN, 220.4622, ""),
    ("1 kg", "Nm3", NITROGEN, 0.800116, ""),
]

REFUSED = [
    ("5 bar", "psi", NOTHING, "pressure-reference-missing"),
    ("7", "psi", NOTHING, "unit-missing"),
    ("12 oz", "psi", NOTHING, "unit-ambiguous"),
    ("5 scf", "Nm3", NOTHING, "base-missing"),
    ("5 scfh", "Nm3/h", NOTHING, "base-missing"),
    ("5 Nm3", "scf", NOTHING, "base-missing"),
    ("5 cfh", "Nm3/h", NOTHING, "unit-ambiguous"),
    ("5 slpm", "Nm3/h", NOTHING, "unit-ambiguous"),
    ("5 gal", "L", NOTHING, "unit-ambiguous"),
    ("5 ML", "L", NOTHING, "unit-ambiguous"),
    ("60 psig", "psia", NOTHING, "barometer-missing"),
    ("60 psig", "psid", AIR, "pressure-reference-wrong"),
    ("-20 psig", "psia", AIR, "below-absolute-zero"),
    ("-1 bar abs", "psia", AIR, "below-absolute-zero"),
    ("10 m3/h", "Nm3/h", NOTHING, "base-and-actual"),
    ("10 Nm3/h", "m3/h", NOTHING, "base-and-actual"),
    ("100 kg/h", "Nm3/h", NOTHING, "molar-mass-missing"),
    ("5 mm", "kg", NOTHING, "convert-kinds"),
    ("5 furlong", "mm", NOTHING, "unit-unknown"),
    ("5 mm", "furlong", NOTHING, "unit-unknown"),
    ("1 Nm3/h @ 1 bar, 20 degC", "Sm3/h", NOTHING, "base-contradicts"),
    ("12 lbf.in @ 3 K", "N.m", NOTHING, "at-unexpected"),
    ("7 in w.c. @ 70 degF", "Pa", NOTHING, "water-temperature"),
    ("5 scf @ 14.73 psi", "Nm3", NOTHING, "base-unreadable"),
    ("5 scf @ 14.73 psig, 60 degF", "Nm3", NOTHING, "base-unreadable"),
    ("5 scf @ 0 psi, 60 degF", "Nm3", NOTHING, "below-absolute-zero"),
    ("5 scf @ 14.73 psi, 60 furlong", "Nm3", NOTHING, "unit-unknown"),
    ("1e308 GPa", "Pa", NOTHING, "number-not-finite"),
    ("", "psi", NOTHING, "quantity-empty"),
]


@pytest.mark.parametrize(("text", "to", "basis", "value", "reference"), CONVERTED)
def test_a_quantity_becomes_the_unit_asked(
    text: str, to: str, basis: ConversionBasis, value: float, reference: str
) -> None:
    """A quantity as typed has its value and its reference in the unit asked for."""
    found = convert_quantity(text, to, basis)

    assert (pytest.approx(value, rel=2e-6), reference) == (found.value, found.reference)


@pytest.mark.parametrize(("text", "to", "basis", "code"), REFUSED)
def test_what_is_missing_is_said(text: str, to: str, basis: ConversionBasis, code: str) -> None:
    """What is unclear, missing or impossible is refused with its own code in one sentence."""
    with pytest.raises(SpringcaseError, match=rf"\[{code}\]") as caught:
        convert_quantity(text, to, basis)

    assert explain(caught.value).endswith(".") and "\n" not in explain(caught.value)


def test_the_sentence_of_a_missing_base_says_what_to_type() -> None:
    """A volume of gas without base is answered with the base to type."""
    with pytest.raises(UnitMismatch, match="base-missing") as caught:
        convert_quantity("5 scf", "Nm3", NOTHING)

    assert explain(caught.value) == (
        'quantity "5 scf" does not say at which base conditions the volume is counted; '
        "type scf @ 14.73 psi, 60 degF, or name a base."
    )


def test_two_bases_need_no_assumption_when_they_are_one() -> None:
    """A volume asked for at its own base is not marked as converted by the ideal ratio."""
    same = convert_quantity("5 Nm3/h", "Nm3/min", NOTHING)
    other = convert_quantity("5 Nm3/h", "Sm3/h", NOTHING)

    assert ((), ("convert-ideal-base",)) == (same.assumed, other.assumed)


def test_the_base_as_typed_is_kept() -> None:
    """A flow of gas keeps the base it was typed with beside its value at 0 degC and 1 atm."""
    read = parse_quantity("1 scf/h @ 14.73 psi, 60 degF", "base-flow", field="x")

    assert read.base == read_base("14.73 psi, 60 degF", field="x")
    assert read.value == convert_quantity("1 scf/h @ 14.73 psi, 60 degF", "Nm3/h", NOTHING).value_si


def test_an_inexact_base_reads_both_ways_round() -> None:
    """A base may be written temperature first and with a decimal comma."""
    assert read_base("1,01325 bar, 0 degC", field="x") == read_base(
        "0 degC; 1.01325 bar", field="x"
    )


def test_a_flow_range_takes_its_base_from_the_end() -> None:
    """A range of flow written once with its base has that base at both ends."""
    low, high = parse_range("10 to 20 scf/h @ 14.73 psi, 60 degF", "base-flow", field="x")

    assert math.isclose(2 * low.value, high.value)


def test_a_flow_is_written_at_its_base() -> None:
    """A flow in SI is written in a unit with its base, and refused without one."""
    assert format_value(1.0 / 3600, "scf/h @ 14.73 psi, 60 degF", 5) == (
        "37.240 scf/h @ 14.73 psi, 60 degF"
    )
    with pytest.raises(UnitMismatch, match=r"\[base-missing\]"):
        convert(1.0, "scf/h")


def test_a_base_is_known_by_name() -> None:
    """The named bases are found whatever the case, others are refused."""
    assert named_base("Normal", field="x") == NORMAL
    with pytest.raises(UnitMismatch, match=r"\[base-unknown\]"):
        named_base("noon", field="x")


def test_there_and_back_between_bases_is_one() -> None:
    """The ratio of two bases times that of the way back is one."""
    other = BaseConditions(pressure_abs=98765.0, temperature=291.0)

    assert math.isclose(1.0, base_ratio(NORMAL, other) * base_ratio(other, NORMAL), rel_tol=1e-15)


@pytest.mark.parametrize(
    ("altitude", "pressure"), [(0.0, 101325.0), (1000.0, 89874.6), (5000.0, 54019.9)]
)
def test_the_standard_atmosphere_thins(altitude: float, pressure: float) -> None:
    """The standard atmosphere has the pressures its printed table gives (from memory)."""
    assert pytest.approx(pressure, abs=0.1) == standard_atmosphere(altitude)


@pytest.mark.parametrize("altitude", [-2001.0, 11001.0, math.nan])
def test_an_altitude_outside_the_lowest_layer_is_refused(altitude: float) -> None:
    """No pressure is given outside the layer the equation is for."""
    with pytest.raises(OutsideValidity, match=r"\[altitude-range\]"):
        standard_atmosphere(altitude)


@pytest.mark.parametrize("reading", [0.0, 24e3, 116e3, math.nan, math.inf])
def test_a_reading_no_air_has_is_refused(reading: float) -> None:
    """A gauge reading or a slip of the unit is not taken for the pressure of the air."""
    with pytest.raises(OutsideValidity, match=r"\[barometer-range\]"):
        check_barometer(reading)


def test_gauge_and_absolute_are_each_other_s_way_back() -> None:
    """Gauge to absolute and back is where it started; below the vacuum is refused."""
    assert to_gauge(to_absolute(5e5, 98e3), 98e3) == 5e5
    with pytest.raises(OutsideValidity, match=r"\[below-absolute-zero\]"):
        to_absolute(-98.1e3, 98e3)


def test_bare_numbers_of_a_low_pressure_station() -> None:
    """Field case V1: 0.27 and 0.31 psig are 7.47 and 8.58 in w.c., the limit 13.84, a rise 1.11."""
    flowing, locked, limit, band = (
        convert_quantity(text, "in w.c.", NOTHING).value
        for text in ("0.27 psig", "0.31 psig", "0.5 psig", "0.0375 psi diff")
    )

    assert (7.47, 8.58, 13.84, 1.11, 1.04) == (
        round(flowing, 2),
        round(locked, 2),
        round(limit, 2),
        round(locked - flowing, 2),
        round(band, 2),
    )
    assert round(flowing - 7.0, 2) == 0.47
    with pytest.raises(BadInput, match=r"\[unit-missing\]"):
        convert_quantity("7.5", "in w.c.", NOTHING)


def test_the_same_flow_at_another_base() -> None:
    """Field case V12: 260 Nm3/h is 9,680 scfh at 14.73 psia and 60 degF, 12,500 of gas 0.6."""
    air = convert_quantity("260 Nm3/h", "scf/h @ 14.73 psi, 60 degF", NOTHING).value
    gas = air * math.sqrt(1 / 0.6)

    assert (pytest.approx(9680, abs=5), pytest.approx(12500, abs=5)) == (air, gas)
    assert pytest.approx(0.14, abs=0.005) == gas / 11000 - 1
    assert pytest.approx(9180, abs=5) == 260 * 35.31
