"""
Quantities as typed, turned into SI floats at the door and back.

A quantity keeps the text a person typed beside its SI value, because what was typed is the
record and the number is only its meaning. Nothing is guessed: a missing unit, a pressure
without its reference where both make sense, or an unclear thousands mark is refused by name.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

from springcase.errors import BadInput, OutsideValidity, UnitMismatch

LONGEST_TEXT: Final = 200
STANDARD_GRAVITY: Final = 9.80665
INCH: Final = 0.0254
POUND: Final = 0.45359237
POUND_FORCE: Final = POUND * STANDARD_GRAVITY
PSI: Final = POUND_FORCE / (INCH * INCH)
# Conventional water, 1000 kg/m3, and conventional mercury, 13 595.1 kg/m3 (ISO 31-3, annex).
INCH_OF_WATER: Final = 1000.0 * STANDARD_GRAVITY * INCH
INCH_OF_MERCURY: Final = 13595.1 * STANDARD_GRAVITY * INCH
ZERO_CELSIUS: Final = 273.15


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """A quantity as a person typed it, with its SI value."""

    text: str
    value: float
    unit: str
    kind: str
    reference: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Unit:
    """One unit: SI value of one of it, of the kinds it can measure."""

    name: str
    kinds: tuple[str, ...]
    factor: float
    offset: float = 0.0
    by_nature: str = ""


# What to type instead, by kind: the example every refusal carries.
EXAMPLES: Final = {
    "length": "a length such as 12 mm or 1 1/8 in",
    "area": "an area such as 5200 mm2 or 8 in2",
    "force": "a force such as 100 N or 25 lbf",
    "torque": "a torque such as 12 N.m, 106 lbf.in or 9 lbf.ft",
    "stiffness": "a rate such as 9 N/mm or 50 lbf/in",
    "pressure": "a pressure with unit and reference such as 5 bar gauge, 60 psig, 20 psia "
    "or 7 in w.c.",
    "pressure-difference": "a pressure difference such as 0.1 bar, 2 psi or 7 in w.c.",
    "stress": "a stress such as 600 MPa or 85000 psi",
    "time": "a time such as 30 s, 5 min or 2 h",
    "temperature": "a temperature such as 15 degC, 60 degF or 288 K",
    "mass": "a mass such as 2.4 kg or 5 lb",
    "angle": "an angle such as 45 deg",
    "ratio": "a share such as 0.75 or 75 %",
}

_PRESSURE_KINDS: Final = ("pressure", "pressure-difference", "stress")
_DRAUGHT_KINDS: Final = ("pressure", "pressure-difference")

# name, kinds, SI value, reference by nature, further spellings. A spelling is compared after
# `_normal`: every separator is one dot, so "in-lbs", "in lbs" and "in·lbs" are one entry.
_TABLE: Final[tuple[tuple[str, tuple[str, ...], float, str, str], ...]] = (
    ("mm", ("length",), 1e-3, "", "millimetre millimetres millimeter millimeters"),
    ("cm", ("length",), 1e-2, "", "centimetre centimetres centimeter centimeters"),
    ("m", ("length",), 1.0, "", "metre metres meter meters"),
    ("in", ("length",), INCH, "", 'inch inches "'),
    ("ft", ("length",), 12 * INCH, "", "foot feet '"),
    ("mm2", ("area",), 1e-6, "", "mm^2 sq.mm"),
    ("cm2", ("area",), 1e-4, "", "cm^2 sq.cm"),
    ("m2", ("area",), 1.0, "", "m^2 sq.m"),
    ("in2", ("area",), INCH * INCH, "", "in^2 sq.in"),
    ("N", ("force",), 1.0, "", "newton newtons"),
    ("kN", ("force",), 1e3, "", "kilonewton kilonewtons"),
    ("lbf", ("force",), POUND_FORCE, "", "pound.force pounds.force"),
    ("N.m", ("torque",), 1.0, "", "Nm m.N newton.metre newton.metres"),
    (
        "lbf.in",
        ("torque",),
        POUND_FORCE * INCH,
        "",
        "in.lbf lb.in in.lb in.lbs lbs.in inlb inlbs inch.pound inch.pounds lbfin lbin",
    ),
    (
        "lbf.ft",
        ("torque",),
        POUND_FORCE * 12 * INCH,
        "",
        "ft.lbf lb.ft ft.lb ft.lbs lbs.ft ftlb ftlbs foot.pound foot.pounds lbfft lbft",
    ),
    ("N/m", ("stiffness",), 1.0, "", ""),
    ("N/mm", ("stiffness",), 1e3, "", ""),
    ("lbf/in", ("stiffness",), POUND_FORCE / INCH, "", "lb/in"),
    ("Pa", _PRESSURE_KINDS, 1.0, "", "pascal pascals"),
    ("kPa", _PRESSURE_KINDS, 1e3, "", ""),
    ("MPa", _PRESSURE_KINDS, 1e6, "", "N/mm2 N/mm^2"),
    ("bar", _PRESSURE_KINDS, 1e5, "", "bars"),
    ("mbar", _PRESSURE_KINDS, 1e2, "", "millibar millibars"),
    ("psi", _PRESSURE_KINDS, PSI, "", "lbf/in2 lbf/in^2 lb/in2"),
    ("GPa", ("stress",), 1e9, "", ""),
    ("ksi", ("stress",), 1e3 * PSI, "", "kpsi"),
    ("Mpsi", ("stress",), 1e6 * PSI, "", ""),
    # Gauge by nature: a column of water and ounces per square inch are read against the
    # atmosphere in gas service (common practice, no source).
    ("in w.c.", _DRAUGHT_KINDS, INCH_OF_WATER, "gauge", "in.wc inwc in.h2o inh2o iwc"),
    ("mm w.c.", _DRAUGHT_KINDS, INCH_OF_WATER / 25.4, "gauge", "mm.wc mmwc mm.h2o mmh2o"),
    ("oz/in2", _DRAUGHT_KINDS, PSI / 16, "gauge", "oz/in^2 ozf/in2 oz/sq.in osi oz.per.sq.in"),
    ("in Hg", _DRAUGHT_KINDS, INCH_OF_MERCURY, "", "inhg"),
    ("s", ("time",), 1.0, "", "sec second seconds"),
    ("min", ("time",), 60.0, "", "minute minutes"),
    ("h", ("time",), 3600.0, "", "hr hrs hour hours"),
    ("d", ("time",), 86400.0, "", "day days"),
    ("kg", ("mass",), 1.0, "", "kilogram kilograms"),
    ("g", ("mass",), 1e-3, "", "gram grams"),
    ("lb", ("mass",), POUND, "", "lbs lbm pound pounds"),
    ("deg", ("angle",), math.pi / 180, "", "degree degrees °"),
    ("rad", ("angle",), 1.0, "", "radian radians"),
    ("%", ("ratio",), 1e-2, "", "percent per.cent"),
)

_TEMPERATURES: Final = (
    ("K", 1.0, 0.0, "kelvin"),
    ("degC", 1.0, ZERO_CELSIUS, "°C deg.C celsius"),
    ("degF", 5 / 9, ZERO_CELSIUS - 32 * 5 / 9, "°F deg.F fahrenheit"),
)

# Spellings that name two things: what each could mean is said, and none is chosen.
_AMBIGUOUS: Final = {
    "oz": "ounces are a mass or a pressure: write oz/in2 for the pressure, or g, kg or lb",
    "ozf": "ounces are a force or a pressure: write oz/in2 for the pressure, or N or lbf",
    "w.c": "write in w.c. or mm w.c.",
    "wc": "write in w.c. or mm w.c.",
    "c": "write degC for a temperature",
    "f": "write degF for a temperature",
    "nm": "write N.m for a torque; nm is a nanometre",
    "mpa": "write MPa; mPa is a thousandth of a pascal",
    "mpsi": "write Mpsi for a million psi",
}
_REFERENCE_WORDS: Final = {
    "gauge": "gauge",
    "g": "gauge",
    "absolute": "abs",
    "abs": "abs",
    "a": "abs",
    "difference": "diff",
    "diff": "diff",
    "d": "diff",
}
_GLUED_REFERENCE: Final = ("bar", "mbar", "kPa", "MPa", "psi")

_NUMBER: Final = re.compile(
    r"\s*([+-]?)\s*([0-9][0-9.,]*|\.[0-9]+)(?:[eE]([+-]?[0-9]{1,4}))?"
    r"(?:\s*/\s*([0-9]+)|(?:\s+|-)([0-9]+)\s*/\s*([0-9]+))?(.*)",
    re.DOTALL,
)
_GROUPED: Final = re.compile(r"[1-9][0-9]{0,2}(?:([.,])[0-9]{3})(?:\1[0-9]{3})*")
_SEPARATORS: Final = re.compile(r"[\s.*\-·⋅∙•]+")
_RANGE: Final = re.compile(r"\s+to\s+|\s*–\s*")
_TYPOGRAPHY: Final = str.maketrans(
    {
        "−": "-",
        "\u00a0": " ",
        "\u202f": " ",
        "²": "2",
        "″": '"',
        "”": '"',
        "′": "'",
        "’": "'",
        "º": "°",
        "½": " 1/2",
        "¼": " 1/4",
        "¾": " 3/4",
        "⅛": " 1/8",
        "⅜": " 3/8",
        "⅝": " 5/8",
        "⅞": " 7/8",
        "(": " ",
        ")": " ",
    }
)


def _normal(unit_text: str) -> str:
    return _SEPARATORS.sub(".", unit_text).strip(".")


def _build() -> tuple[dict[str, tuple[_Unit, str]], dict[str, tuple[_Unit, str]]]:
    """Return unit and typed reference by exact spelling, and by lower case where it is safe."""
    exact: dict[str, tuple[_Unit, str]] = {}
    for name, kinds, factor, by_nature, spellings in _TABLE:
        unit = _Unit(name=name, kinds=kinds, factor=factor, by_nature=by_nature)
        for spelling in (name, *spellings.split()):
            exact[_normal(spelling)] = (unit, "")
    for name in _GLUED_REFERENCE:
        for letter in "gad":
            exact[name + letter] = (exact[name][0], _REFERENCE_WORDS[letter])
    for name, factor, offset, spellings in _TEMPERATURES:
        unit = _Unit(name=name, kinds=("temperature",), factor=factor, offset=offset)
        for spelling in (name, *spellings.split()):
            exact[_normal(spelling)] = (unit, "")
    # One letter, and a prefix whose case is its meaning, are never read in the other case.
    folded = {
        spelling.casefold(): found
        for spelling, found in exact.items()
        if len(spelling) > 1 and spelling.casefold() not in _AMBIGUOUS
    }
    return exact, folded


_EXACT, _FOLDED = _build()
UNIT_NAMES: Final = tuple(sorted({unit.name for unit, _ in _EXACT.values()}))


def _find(spelling: str) -> tuple[_Unit, str] | None:
    found = _EXACT.get(spelling)
    if found is not None:
        return found
    prefix_case_matters = spelling.startswith("M") and not spelling.isupper()
    return None if prefix_case_matters else _FOLDED.get(spelling.casefold())


def _find_with_reference(spelling: str) -> tuple[_Unit, str] | None:
    """Return the unit and the gauge, absolute or difference it was typed with."""
    found = _find(spelling)
    if found is not None:
        return found
    head, _, tail = spelling.rpartition(".")
    reference = _REFERENCE_WORDS.get(tail.casefold(), "")
    unit, doubled = _find(head) or (None, "")
    if unit is None or not reference or doubled or "pressure" not in unit.kinds:
        return None
    return unit, reference


def _decimal(whole: str, *, text: str, field: str) -> float:
    """Return the number a run of digits, points and commas stands for."""
    points, commas = whole.count("."), whole.count(",")
    if points + commas == 0:
        return float(whole)
    if commas == 1 and points == 0 and _GROUPED.fullmatch(whole):
        raise BadInput(
            "number-thousands",
            field=field,
            value=text,
            right=f"{whole.replace(',', '')} or {whole.replace(',', '.')}",
        )
    if points == 1 and commas == 0:
        plain = whole
    elif commas == 1 and points == 0:
        plain = whole.replace(",", ".")
    else:
        mark = max(whole.rfind("."), whole.rfind(","))
        is_last_unique = whole.count(whole[mark]) == 1
        grouped = whole[:mark] if is_last_unique else whole
        group_mark = {"." if whole[mark] == "," else ","} if is_last_unique else {whole[mark]}
        clear = _GROUPED.fullmatch(grouped) and set(grouped) & {".", ","} == group_mark
        digits = re.sub("[.,]", "", grouped)
        plain = (digits + "." + whole[mark + 1 :] if is_last_unique else digits) if clear else ""
    if not plain or plain.endswith("."):
        raise BadInput(
            "number-unreadable", field=field, value=text, right="a number such as 12.5 or 1234"
        )
    return float(plain)


def _check_text(text: str, kind: str, field: str) -> None:
    if len(text) > LONGEST_TEXT:
        raise BadInput(
            "text-too-long", field=field, value=text[:30] + " …", right=f"{LONGEST_TEXT} characters"
        )
    if not text.strip():
        raise BadInput("quantity-empty", field=field, value=text, right=EXAMPLES[kind])


def _split_number(text: str, kind: str, field: str) -> tuple[float, str]:
    """Return the number a text begins with, and the rest of the text."""
    found = _NUMBER.fullmatch(text.translate(_TYPOGRAPHY).strip())
    if found is None:
        raise BadInput("number-unreadable", field=field, value=text, right=EXAMPLES[kind])
    sign, whole, exponent, under_whole, numerator, denominator, rest = found.groups()
    number = _decimal(whole, text=text, field=field)
    if exponent is not None:
        number *= math.pow(10.0, int(exponent)) if int(exponent) < 308 else math.inf
    divisor = under_whole or denominator
    if divisor is not None:
        if exponent is not None or not whole.isdigit() or int(divisor) == 0:
            raise BadInput(
                "number-unreadable", field=field, value=text, right="a fraction such as 1 1/8 in"
            )
        number = number / int(divisor) if under_whole else number + int(numerator) / int(divisor)
    if rest.lstrip()[:1].isdigit():
        raise BadInput(
            "number-unreadable", field=field, value=text, right="one number, no spaces inside it"
        )
    return (-number if sign == "-" else number), rest.strip(" -")


def _settle_reference(unit: _Unit, typed: str, *, kind: str, text: str, field: str) -> str:
    """Return the reference that stands, or refuse one that is missing or out of place."""
    if kind == "pressure":
        reference = typed or unit.by_nature
        if not reference:
            raise UnitMismatch(
                "pressure-reference-missing",
                field=field,
                value=text,
                right=f"{unit.name} gauge or {unit.name} abs",
            )
        is_right = reference != "diff"
    elif kind == "pressure-difference":
        reference, is_right = "diff", typed in ("", "diff")
    else:
        reference, is_right = "", typed == ""
    if not is_right:
        raise UnitMismatch(
            "pressure-reference-wrong", field=field, value=text, right=EXAMPLES[kind]
        )
    return reference


def _resolve(unit_text: str, *, kind: str, text: str, field: str) -> tuple[_Unit, str]:
    """Return the unit a text names for this kind, and its reference."""
    spelling = _normal(unit_text)
    if not spelling:
        raise UnitMismatch("unit-missing", field=field, value=text, right=EXAMPLES[kind])
    found = _find_with_reference(spelling)
    if found is None:
        meanings = _AMBIGUOUS.get(spelling.casefold())
        if meanings is not None:
            raise UnitMismatch("unit-ambiguous", field=field, value=text, right=meanings)
        raise UnitMismatch(
            "unit-unknown", field=field, value=text, right=EXAMPLES[kind], unit=unit_text
        )
    unit, typed = found
    if kind not in unit.kinds:
        raise UnitMismatch("unit-kind", field=field, value=text, right=EXAMPLES[kind])
    return unit, _settle_reference(unit, typed, kind=kind, text=text, field=field)


def parse_quantity(text: str, kind: str, *, field: str) -> Quantity:
    """
    Return what a person typed as a quantity of the kind asked, with its SI value.

    Raises BadInput for a text that is no number, UnitMismatch for a unit that is missing,
    unknown, ambiguous or of another kind, OutsideValidity for a value no such thing can have.
    """
    _check_text(text, kind, field)
    number, unit_text = _split_number(text, kind, field)
    if kind == "ratio" and not unit_text:
        value, reference = number, ""
    else:
        unit, reference = _resolve(unit_text, kind=kind, text=text, field=field)
        value = number * unit.factor + unit.offset
    if not math.isfinite(value):
        raise BadInput("number-not-finite", field=field, value=text, right=EXAMPLES[kind])
    if value < 0 and (kind == "temperature" or (kind == "pressure" and reference == "abs")):
        raise OutsideValidity("below-absolute-zero", field=field, value=text, right=EXAMPLES[kind])
    return Quantity(text=text, value=value, unit=unit_text, kind=kind, reference=reference)


def parse_range(text: str, kind: str, *, field: str) -> tuple[Quantity, Quantity]:
    """
    Return the two ends of a range typed as "6.30 mm to 6.40 mm" or "10 to 12 N.m".

    Raises BadInput where the text is no range or its ends are the wrong way round.
    """
    _check_text(text, kind, field)
    ends = _RANGE.split(text.strip())
    if len(ends) != 2 or not all(ends):
        raise BadInput(
            "range-unreadable", field=field, value=text, right="two values such as 10 to 12 N.m"
        )
    high = parse_quantity(ends[1], kind, field=field)
    _, low_unit = _split_number(ends[0], kind, field)
    low_text = ends[0] if low_unit else f"{ends[0]} {high.unit}".strip()
    low = parse_quantity(low_text, kind, field=field)
    if low.value > high.value:
        raise BadInput(
            "range-reversed", field=field, value=text, right="the lower value before the higher"
        )
    if low.reference != high.reference:
        raise UnitMismatch(
            "pressure-reference-wrong", field=field, value=text, right=EXAMPLES[kind]
        )
    return low, high


def convert(value_si: float, unit: str) -> float:
    """
    Return an SI value in another unit.

    Raises UnitMismatch for a unit that is not known.
    """
    found = _find_with_reference(_normal(unit))
    if found is None:
        raise UnitMismatch(
            "unit-unknown", field="unit", value=unit, right=", ".join(UNIT_NAMES), unit=unit
        )
    return (value_si - found[0].offset) / found[0].factor


def format_value(value_si: float, unit: str, digits: int) -> str:
    """
    Return an SI value as text in a unit, with significant digits but all its whole ones.

    Examples
    --------
    >>> format_value(12.0, "N.m", 3)
    '12.0 N.m'
    >>> format_value(360.86, "lbf.in", 3)
    '3194 lbf.in'
    """
    value = convert(value_si, unit)
    if not math.isfinite(value):
        raise BadInput("number-not-finite", field=unit, value=value, right="a finite value")
    size = math.floor(math.log10(abs(value))) if value else 0
    # Rounding can carry into a new digit (9.996 -> 10.0), so the size is taken once more.
    rounded = round(value, digits - 1 - size)
    size = math.floor(math.log10(abs(rounded))) if rounded else 0
    return f"{rounded if size < digits else value:.{max(0, digits - 1 - size)}f} {unit}"
