"""The units that are read and written: SI value, kinds, spellings, and the spellings refused."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Final

STANDARD_GRAVITY: Final = 9.80665
INCH: Final = 0.0254
POUND: Final = 0.45359237
POUND_FORCE: Final = POUND * STANDARD_GRAVITY
PSI: Final = POUND_FORCE / (INCH * INCH)
# Conventional water, 1000 kg/m3, and conventional mercury, 13 595.1 kg/m3 (ISO 31-3, annex).
INCH_OF_WATER: Final = 1000.0 * STANDARD_GRAVITY * INCH
INCH_OF_MERCURY: Final = 13595.1 * STANDARD_GRAVITY * INCH
ZERO_CELSIUS: Final = 273.15
FOOT: Final = 12 * INCH
CUBIC_FOOT: Final = FOOT * FOOT * FOOT
LITRE: Final = 1e-3
HOUR: Final = 3600.0
DAY: Final = 86400.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Unit:
    """
    One unit: SI value of one of it, of the kinds it can measure.

    `by_nature` is the reference a pressure has without a word; `base` is the base conditions a
    volume of gas has without a word, "open" where they must be typed.
    """

    name: str
    kinds: tuple[str, ...]
    factor: float
    offset: float = 0.0
    by_nature: str = ""
    base: str = ""


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
    "speed": "a speed such as 20 m/s or 60 ft/s",
    "volume": "an actual volume such as 2.5 m3, 200 L or 90 ft3",
    "volume-flow": "an actual flow such as 12 m3/h, 200 L/min or 400 ft3/h",
    "base-volume": "a volume of gas with its base such as 5 Nm3, 5 Sm3 or "
    "5 scf @ 14.73 psi, 60 degF",
    "base-flow": "a flow of gas with its base such as 1000 Nm3/h, 1000 Sm3/h or "
    "35000 scf/h @ 14.73 psi, 60 degF",
    "mass-flow": "a mass flow such as 100 kg/h or 220 lb/h",
    "molar-mass": "a molar mass such as 17.595 g/mol",
    "density": "a density such as 0.7 kg/m3 or 0.044 lb/ft3",
    "viscosity": "a dynamic viscosity such as 0.011 cP or 1.1e-5 Pa.s",
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
    ("ft", ("length",), FOOT, "", "foot feet '"),
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
    ("atm", _PRESSURE_KINDS, 101325.0, "", ""),
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
    ("m/s", ("speed",), 1.0, "", "mps"),
    ("ft/s", ("speed",), FOOT, "", "fps"),
    ("m3", ("volume",), 1.0, "", "m^3 cu.m"),
    ("L", ("volume",), LITRE, "", "l litre litres liter liters"),
    ("mL", ("volume",), 1e-3 * LITRE, "", "ml cm3 cc"),
    ("ft3", ("volume",), CUBIC_FOOT, "", "ft^3 cu.ft"),
    ("in3", ("volume",), INCH * INCH * INCH, "", "in^3 cu.in"),
    ("US gal", ("volume",), 231 * INCH * INCH * INCH, "", ""),
    ("m3/s", ("volume-flow",), 1.0, "", "m^3/s"),
    ("m3/min", ("volume-flow",), 1 / 60, "", "m^3/min"),
    ("m3/h", ("volume-flow",), 1 / HOUR, "", "m^3/h m3/hr"),
    ("L/s", ("volume-flow",), LITRE, "", "l/s"),
    ("L/min", ("volume-flow",), LITRE / 60, "", "l/min lpm"),
    ("L/h", ("volume-flow",), LITRE / HOUR, "", "l/h"),
    ("mL/min", ("volume-flow",), 1e-3 * LITRE / 60, "", "ml/min cm3/min cc/min"),
    ("ft3/h", ("volume-flow",), CUBIC_FOOT / HOUR, "", "ft^3/h ft3/hr acfh acf/h cu.ft/h"),
    ("ft3/min", ("volume-flow",), CUBIC_FOOT / 60, "", "ft^3/min acfm acf/min"),
    ("US gal/min", ("volume-flow",), 231 * INCH * INCH * INCH / 60, "", "US.gpm"),
    ("kg/s", ("mass-flow",), 1.0, "", ""),
    ("kg/min", ("mass-flow",), 1 / 60, "", ""),
    ("kg/h", ("mass-flow",), 1 / HOUR, "", "kg/hr"),
    ("g/s", ("mass-flow",), 1e-3, "", ""),
    ("t/h", ("mass-flow",), 1e3 / HOUR, "", ""),
    ("lb/s", ("mass-flow",), POUND, "", "lbm/s"),
    ("lb/min", ("mass-flow",), POUND / 60, "", "lbm/min"),
    ("lb/h", ("mass-flow",), POUND / HOUR, "", "lbm/h lb/hr lbs/hr lbs/h pph"),
    ("kg/mol", ("molar-mass",), 1.0, "", ""),
    ("g/mol", ("molar-mass",), 1e-3, "", "kg/kmol lb/lbmol"),
    ("kg/m3", ("density",), 1.0, "", "kg/m^3 g/L"),
    ("g/cm3", ("density",), 1e3, "", "g/cm^3 g/mL kg/L"),
    ("lb/ft3", ("density",), POUND / CUBIC_FOOT, "", "lb/ft^3 lbm/ft3"),
    ("Pa.s", ("viscosity",), 1.0, "", ""),
    ("cP", ("viscosity",), 1e-3, "", "centipoise"),
)

# Volumes of gas at base conditions: name, size [m3], the base it has without a word ("open"
# where none is safe), spellings. Each is also read per second, minute, hour and day.
_BASE_VOLUMES: Final = (
    ("Nm3", 1.0, "normal", "Nm^3"),
    ("Sm3", 1.0, "iso-13443", "Sm^3"),
    ("NL", LITRE, "normal", "Nl"),
    ("scf", CUBIC_FOOT, "open", ""),
    # In the gas trade M is a thousand and MM a million (common practice, no source).
    ("Mscf", 1e3 * CUBIC_FOOT, "open", "Mcf"),
    ("MMscf", 1e6 * CUBIC_FOOT, "open", "MMcf"),
)
_PER: Final = (
    ("/s", 1.0, ("/s",)),
    ("/min", 60.0, ("/min", "m")),
    ("/h", HOUR, ("/h", "/hr", "h")),
    ("/d", DAY, ("/d", "/day", "d")),
)

_TEMPERATURES: Final = (
    ("K", 1.0, 0.0, "kelvin"),
    ("degC", 1.0, ZERO_CELSIUS, "°C deg.C celsius"),
    ("degF", 5 / 9, ZERO_CELSIUS - 32 * 5 / 9, "°F deg.F fahrenheit"),
)

# Spellings that name two things: what each could mean is said, and none is chosen.
AMBIGUOUS: Final = {
    "oz": "ounces are a mass or a pressure: write oz/in2 for the pressure, or g, kg or lb",
    "ozf": "ounces are a force or a pressure: write oz/in2 for the pressure, or N or lbf",
    "w.c": "write in w.c. or mm w.c.",
    "wc": "write in w.c. or mm w.c.",
    "c": "write degC for a temperature",
    "f": "write degF for a temperature",
    "nm": "write N.m for a torque; nm is a nanometre",
    "mpa": "write MPa; mPa is a thousandth of a pascal",
    "ml": "write mL; ML is a million litres",
    "gal": "gallons differ: write US gal or L",
    "gpm": "gallons differ: write US gal/min or L/min",
    "cf": "write ft3 for an actual volume, or scf @ 14.73 psi, 60 degF at base conditions",
    "cfh": "write ft3/h for an actual flow, or scf/h @ 14.73 psi, 60 degF at base conditions",
    "cfm": "write ft3/min for an actual flow, or scf/min @ 14.73 psi, 60 degF at base conditions",
    "slpm": "standard litres differ by trade: write NL/min for 0 degC, or L/min @ 1 atm, 20 degC",
    "sccm": "standard millilitres differ by trade: write mL/min @ 1 atm, 0 degC",
    "mpsi": "write Mpsi for a million psi",
}
REFERENCE_WORDS: Final = {
    "gauge": "gauge",
    "g": "gauge",
    "absolute": "abs",
    "abs": "abs",
    "a": "abs",
    "difference": "diff",
    "diff": "diff",
    "d": "diff",
}
GLUED_REFERENCE: Final = ("bar", "mbar", "kPa", "MPa", "psi")

_SEPARATORS: Final = re.compile(r"[\s.*\-·⋅∙•]+")


def normal_spelling(unit_text: str) -> str:
    """Return a spelling with every separator as one dot."""
    return _SEPARATORS.sub(".", unit_text).strip(".").replace("./", "/").replace("/.", "/")


def _build() -> tuple[dict[str, tuple[Unit, str]], dict[str, tuple[Unit, str]]]:
    """Return unit and typed reference by exact spelling, and by lower case where it is safe."""
    exact: dict[str, tuple[Unit, str]] = {}
    for name, kinds, factor, by_nature, spellings in _TABLE:
        unit = Unit(name=name, kinds=kinds, factor=factor, by_nature=by_nature)
        for spelling in (name, *spellings.split()):
            exact[normal_spelling(spelling)] = (unit, "")
    for name in GLUED_REFERENCE:
        for letter in "gad":
            exact[name + letter] = (exact[name][0], REFERENCE_WORDS[letter])
    for name, factor, offset, spellings in _TEMPERATURES:
        unit = Unit(name=name, kinds=("temperature",), factor=factor, offset=offset)
        for spelling in (name, *spellings.split()):
            exact[normal_spelling(spelling)] = (unit, "")
    for name, size, base, spellings in _BASE_VOLUMES:
        for word in (name, *spellings.split()):
            exact[word] = (Unit(name=name, kinds=("base-volume",), factor=size, base=base), "")
            for per, seconds, endings in _PER:
                flow = Unit(name=name + per, kinds=("base-flow",), factor=size / seconds, base=base)
                exact |= {word + ending: (flow, "") for ending in endings}
    # One letter, and a prefix whose case is its meaning, are never read in the other case.
    folded = {
        spelling.casefold(): found
        for spelling, found in exact.items()
        if len(spelling) > 1 and spelling.casefold() not in AMBIGUOUS
    }
    return exact, folded


_EXACT, _FOLDED = _build()
UNIT_NAMES: Final = tuple(sorted({unit.name for unit, _ in _EXACT.values()}))


def find_unit(spelling: str) -> tuple[Unit, str] | None:
    """Return the unit of one spelling, and the reference glued to it; None where unknown."""
    found = _EXACT.get(spelling)
    if found is not None:
        return found
    prefix_case_matters = spelling.startswith("M") and not spelling.isupper()
    return None if prefix_case_matters else _FOLDED.get(spelling.casefold())


def find_with_reference(spelling: str) -> tuple[Unit, str] | None:
    """Return the unit and the gauge, absolute or difference it was typed with."""
    found = find_unit(spelling)
    if found is not None:
        return found
    head, _, tail = spelling.rpartition(".")
    reference = REFERENCE_WORDS.get(tail.casefold(), "")
    unit, doubled = find_unit(head) or (None, "")
    if unit is None or not reference or doubled or "pressure" not in unit.kinds:
        return None
    return unit, reference
