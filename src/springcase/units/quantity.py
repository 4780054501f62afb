"""
Quantities as typed, turned into SI floats at the door and back.

A quantity keeps the text a person typed beside its SI value, because what was typed is the
record and the number is only its meaning. Nothing is guessed: a missing unit, a pressure
without its reference where both make sense, a volume of gas without its base, or an unclear
thousands mark is refused by name. After an @ stands the base of a volume of gas, or the
temperature of a water column.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

from springcase.errors import BadInput, OutsideValidity, UnitMismatch
from springcase.units.base import NAMED_BASES, NORMAL, BaseConditions, base_ratio, named_base
from springcase.units.numbers import TYPOGRAPHY, check_text, split_number
from springcase.units.table import (
    AMBIGUOUS,
    EXAMPLES,
    INCH_OF_WATER,
    UNIT_NAMES,
    ZERO_CELSIUS,
    Unit,
    find_with_reference,
    normal_spelling,
)

_RANGE: Final = re.compile(r"\s+to\s+|\s*–\s*")
_BASE_KINDS: Final = {"base-volume": "volume", "base-flow": "volume-flow"}
_BASE_EXAMPLE: Final = "14.73 psi, 60 degF after an @"
_WATER_UNITS: Final = ("in w.c.", "mm w.c.")
# Inch of water at the temperatures NIST SP 811 prints one for [Pa], over the conventional inch.
_WATER: Final = {
    "4 degC": (ZERO_CELSIUS + 4, 249.082 / INCH_OF_WATER),
    "60 degF": (ZERO_CELSIUS + 28 * 5 / 9, 248.84 / INCH_OF_WATER),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """
    A quantity as a person typed it, with its SI value.

    A volume or flow of gas at base conditions has its value at 0 degC and 1.01325 bar [m3 or
    m3/s], and `base` holds the base that was typed.
    """

    text: str
    value: float
    unit: str
    kind: str
    reference: str = ""
    base: BaseConditions | None = None


def _settle_reference(unit: Unit, typed: str, *, kind: str, text: str, field: str) -> str:
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


def known_unit(unit_text: str, *, text: str, field: str, right: str) -> tuple[Unit, str]:
    """
    Return the unit a text names and the reference typed with it.

    Raises UnitMismatch for a unit that is missing, unknown or ambiguous.
    """
    spelling = normal_spelling(unit_text)
    if not spelling:
        raise UnitMismatch("unit-missing", field=field, value=text, right=right)
    found = find_with_reference(spelling)
    if found is None:
        meanings = AMBIGUOUS.get(spelling.casefold())
        if meanings is not None:
            raise UnitMismatch("unit-ambiguous", field=field, value=text, right=meanings)
        raise UnitMismatch("unit-unknown", field=field, value=text, right=right, unit=unit_text)
    return found


def read_base(text: str, *, field: str) -> BaseConditions:
    """
    Return base conditions from a name or from "14.73 psi, 60 degF", in either order.

    The pressure of a base is absolute by nature.

    Raises UnitMismatch or BadInput for what cannot be read, OutsideValidity for a pressure or
    temperature at or below nought.
    """
    if text.strip().casefold() in NAMED_BASES:
        return named_base(text, field=field)
    parts = re.split(r",\s+|;\s*", text.strip())
    if len(parts) == 1:
        parts = text.strip().split(",")
    found: dict[str, float] = {}
    for part in parts:
        number, unit_text = split_number(part, "pressure", field)
        unit, typed = known_unit(unit_text, text=text, field=field, right=_BASE_EXAMPLE)
        kind = unit.kinds[0]
        if kind not in ("pressure", "temperature") or (typed or unit.by_nature) in (
            "gauge",
            "diff",
        ):
            raise UnitMismatch("base-unreadable", field=field, value=text, right=_BASE_EXAMPLE)
        found[kind] = number * unit.factor + unit.offset
    if len(found) != 2 or len(parts) != 2:
        raise UnitMismatch("base-unreadable", field=field, value=text, right=_BASE_EXAMPLE)
    if not all(0 < value < math.inf for value in found.values()):
        raise OutsideValidity(
            "below-absolute-zero", field=field, value=text, right=f"a base such as {_BASE_EXAMPLE}"
        )
    return BaseConditions(pressure_abs=found["pressure"], temperature=found["temperature"])


def settle_base(
    unit: Unit, at: str, *, text: str, field: str, default: BaseConditions | None
) -> BaseConditions:
    """
    Return the base a volume of gas is stated at.

    Raises UnitMismatch where none was typed and none may be taken for granted, or where the one
    typed contradicts the unit.
    """
    own = NAMED_BASES.get(unit.base)
    if at:
        typed = read_base(at, field=field)
        if own is not None and abs(base_ratio(typed, own) - 1) > 1e-4:
            right = f"{unit.name} alone, or m3 with its base after an @"
            raise UnitMismatch("base-contradicts", field=field, value=text, right=right)
        return typed if own is None else own
    found = own or default
    if found is None:
        raise UnitMismatch(
            "base-missing", field=field, value=text, right=f"{unit.name} @ 14.73 psi, 60 degF"
        )
    return found


def water_ratio(unit: Unit, at: str, *, text: str, field: str) -> float:
    """
    Return what a column of water at a temperature is over the conventional column. [-]

    Source: nist_sp_811, which prints 4 degC and 60 degF.

    Raises UnitMismatch for an @ after a unit that takes none, OutsideValidity for another
    temperature.
    """
    if not at:
        return 1.0
    if unit.name not in _WATER_UNITS:
        raise UnitMismatch("at-unexpected", field=field, value=text, right=f"{unit.name} alone")
    if at.strip().casefold() == "conventional":
        return 1.0
    typed = parse_quantity(at, "temperature", field=field).value
    for temperature, ratio in _WATER.values():
        # 4 degC and 39.2 degF are the same water.
        if abs(typed - temperature) < 0.02:
            return ratio
    raise OutsideValidity("water-temperature", field=field, value=text, right=" or ".join(_WATER))


def split_at(text: str) -> tuple[str, str]:
    """Return what stands before an @ and what stands after it."""
    before, _, after = text.partition("@")
    return before, after.strip()


def measured_kinds(unit: Unit, at: str) -> tuple[str, ...]:
    """Return the kinds a unit measures: an @ makes an actual volume one at base conditions."""
    if at:
        by_actual = {actual: base for base, actual in _BASE_KINDS.items()}
        return tuple(by_actual.get(kind, kind) for kind in unit.kinds)
    return unit.kinds


def parse_quantity(
    text: str, kind: str, *, field: str, default_base: BaseConditions | None = None
) -> Quantity:
    """
    Return what a person typed as a quantity of the kind asked, with its SI value.

    `default_base` is the owner's base for a unit such as scf that names none.

    Raises BadInput for a text that is no number, UnitMismatch for a unit that is missing,
    unknown, ambiguous or of another kind, OutsideValidity for a value no such thing can have.
    """
    check_text(text, kind, field)
    before, at = split_at(text)
    number, unit_text = split_number(before, kind, field)
    reference, base = "", None
    if kind == "ratio" and not unit_text:
        value = number
    else:
        unit, typed = known_unit(unit_text, text=text, field=field, right=EXAMPLES[kind])
        if kind not in measured_kinds(unit, at):
            raise UnitMismatch("unit-kind", field=field, value=text, right=EXAMPLES[kind])
        reference = _settle_reference(unit, typed, kind=kind, text=text, field=field)
        value = number * unit.factor + unit.offset
        if kind in _BASE_KINDS:
            base = settle_base(unit, at, text=text, field=field, default=default_base)
            value *= base_ratio(base, NORMAL)
        else:
            value *= water_ratio(unit, at, text=text, field=field)
    if not math.isfinite(value):
        raise BadInput("number-not-finite", field=field, value=text, right=EXAMPLES[kind])
    if value < 0 and (kind == "temperature" or (kind == "pressure" and reference == "abs")):
        raise OutsideValidity("below-absolute-zero", field=field, value=text, right=EXAMPLES[kind])
    unit_text = f"{unit_text} @ {at}" if at else unit_text
    return Quantity(
        text=text, value=value, unit=unit_text, kind=kind, reference=reference, base=base
    )


def parse_range(text: str, kind: str, *, field: str) -> tuple[Quantity, Quantity]:
    """
    Return the two ends of a range typed as "6.30 mm to 6.40 mm" or "10 to 12 N.m".

    Raises BadInput where the text is no range or its ends are the wrong way round.
    """
    check_text(text, kind, field)
    ends = _RANGE.split(text.strip())
    if len(ends) != 2 or not all(ends):
        raise BadInput(
            "range-unreadable", field=field, value=text, right="two values such as 10 to 12 N.m"
        )
    high = parse_quantity(ends[1], kind, field=field)
    _, low_unit = split_number(split_at(ends[0])[0], kind, field)
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

    A volume of gas at base conditions is given at 0 degC and 1.01325 bar, and is returned at the
    base of the unit.

    Raises UnitMismatch for a unit that is not known, or a volume of gas without its base.
    """
    factor, offset = _linear(unit)
    return (value_si - offset) / factor


@lru_cache(maxsize=512)
def _linear(unit: str) -> tuple[float, float]:
    """Return the SI value of one of a unit, its base or water counted in, and its zero."""
    before, at = split_at(unit.translate(TYPOGRAPHY))
    found = find_with_reference(normal_spelling(before))
    if found is None:
        raise UnitMismatch(
            "unit-unknown", field="unit", value=unit, right=", ".join(UNIT_NAMES), unit=unit
        )
    wanted = found[0]
    if set(measured_kinds(wanted, at)) & set(_BASE_KINDS):
        base = settle_base(wanted, at, text=unit, field="unit", default=None)
        return wanted.factor / base_ratio(NORMAL, base), 0.0
    ratio = water_ratio(wanted, at, text=unit, field="unit")
    return wanted.factor * ratio, wanted.offset


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
