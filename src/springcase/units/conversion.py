"""Any quantity as typed, in any other unit of its kind, with what the answer takes for granted."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from springcase.errors import BadInput, OutsideValidity, UnitMismatch
from springcase.units.atmosphere import to_absolute, to_gauge
from springcase.units.base import NORMAL, BaseConditions, base_ratio
from springcase.units.numbers import TYPOGRAPHY, check_text, split_number
from springcase.units.quantity import (
    convert,
    known_unit,
    measured_kinds,
    parse_quantity,
    settle_base,
    split_at,
)
from springcase.units.table import Unit

# CODATA 2018, exact by the definition of 2019. [J/(mol.K)]
MOLAR_GAS_CONSTANT: Final = 8.314462618
_BY_MASS: Final = {"mass": "base-volume", "mass-flow": "base-flow"}
_RIGHT: Final = "a quantity with its unit such as 7 in w.c., 60 psig or 5 Nm3"


@dataclass(frozen=True, slots=True, kw_only=True)
class Conversion:
    """
    A quantity in another unit.

    `value` is in `unit`; `value_si` is its SI value; `base` is the base of a volume of gas;
    `assumed` holds codes of what the answer takes for granted.
    """

    value: float
    unit: str
    kind: str
    value_si: float
    reference: str = ""
    base: BaseConditions | None = None
    assumed: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class ConversionBasis:
    """What a conversion may need besides: barometer [Pa], base, molar mass [kg/mol]."""

    barometer_abs: float | None = None
    default_base: BaseConditions | None = None
    molar_mass: float | None = None


@dataclass(slots=True, kw_only=True)
class _End:
    """One end of a conversion, as typed."""

    text: str
    field: str
    unit: Unit
    typed: str
    at: str

    @property
    def kinds(self) -> tuple[str, ...]:
        return measured_kinds(self.unit, self.at)


def _read_end(unit_text: str, at: str, text: str, field: str) -> _End:
    unit, typed = known_unit(unit_text.translate(TYPOGRAPHY), text=text, field=field, right=_RIGHT)
    return _End(text=text, field=field, unit=unit, typed=typed, at=at)


def convert_quantity(
    text: str, to: str, around: ConversionBasis, *, field: str = "quantity", to_field: str = "--to"
) -> Conversion:
    """
    Return a quantity as typed in another unit.

    Raises BadInput or UnitMismatch for what cannot be read, is ambiguous or of another kind, and
    where gauge and absolute, or mass and volume, meet without what turns one into the other.

    Examples
    --------
    >>> round(convert_quantity("7 in w.c.", "psi", ConversionBasis()).value, 7)
    0.252891
    """
    check_text(text, "pressure", field)
    before, at = split_at(text)
    _, unit_text = split_number(before, "pressure", field)
    given = _read_end(unit_text, at, text, field)
    to_before, to_at = split_at(to)
    wanted = _read_end(to_before, to_at, to, to_field)
    shared = [kind for kind in given.kinds if kind in wanted.kinds]
    if not shared:
        return _across_kinds(given, wanted, around)
    if "pressure" in shared:
        return _convert_pressure(given, wanted, around)
    kind = shared[0]
    source = parse_quantity(text, kind, field=field, default_base=around.default_base)
    return _finish(source.value, kind, source.base, wanted, around)


def _finish(
    value_si: float, kind: str, base: BaseConditions | None, wanted: _End, around: ConversionBasis
) -> Conversion:
    """Return an SI value in the unit wanted, at its base where it has one."""
    assumed: tuple[str, ...] = ()
    if kind in _BY_MASS.values():
        target = settle_base(
            wanted.unit,
            wanted.at,
            text=wanted.text,
            field=wanted.field,
            default=around.default_base,
        )
        value = value_si * base_ratio(NORMAL, target) / wanted.unit.factor
        if base is None or base_ratio(base, target) != 1:
            assumed = ("convert-ideal-base",)
        base = target
    else:
        value = convert(value_si, wanted.text)
    if not math.isfinite(value):
        raise BadInput("number-not-finite", field=wanted.field, value=value, right=_RIGHT)
    return Conversion(
        value=value, unit=wanted.text, kind=kind, value_si=value_si, base=base, assumed=assumed
    )


def _across_kinds(given: _End, wanted: _End, around: ConversionBasis) -> Conversion:
    """Turn a mass of gas into a volume at base conditions or back, by the molar mass."""
    is_to_volume = any(_BY_MASS.get(kind) in wanted.kinds for kind in given.kinds)
    is_to_mass = any(_BY_MASS.get(kind) in given.kinds for kind in wanted.kinds)
    if not is_to_volume and not is_to_mass:
        actual = {"volume", "volume-flow"}
        bases = set(_BY_MASS.values())
        mixed = (actual & set(given.kinds) and bases & set(wanted.kinds)) or (
            bases & set(given.kinds) and actual & set(wanted.kinds)
        )
        code = "base-and-actual" if mixed else "convert-kinds"
        raise UnitMismatch(code, field=given.field, value=given.text, right=wanted.text)
    if around.molar_mass is None:
        raise BadInput("molar-mass-missing", field=given.field, value=given.text, right=wanted.text)
    # Cubic metres at 0 degC and 1.01325 bar that one kilogram of the ideal gas fills.
    per_mass = MOLAR_GAS_CONSTANT * NORMAL.temperature / NORMAL.pressure_abs / around.molar_mass
    kind = given.kinds[0]
    source = parse_quantity(given.text, kind, field=given.field, default_base=around.default_base)
    if is_to_volume:
        found = _finish(source.value * per_mass, _BY_MASS[kind], None, wanted, around)
    else:
        kind = next(mass for mass, volume in _BY_MASS.items() if volume == kind)
        found = _finish(source.value / per_mass, kind, None, wanted, around)
    return Conversion(
        value=found.value,
        unit=found.unit,
        kind=found.kind,
        value_si=found.value_si,
        base=found.base or source.base,
        assumed=("convert-ideal-molar",),
    )


def _convert_pressure(given: _End, wanted: _End, around: ConversionBasis) -> Conversion:
    """Return a pressure in another unit and, with the barometer, against another reference."""
    reference = given.typed or given.unit.by_nature
    kind = "pressure-difference" if reference == "diff" else "pressure"
    source = parse_quantity(given.text, kind, field=given.field)
    # A unit that is gauge by nature is a plain difference when the source is one.
    natural = "" if reference == "diff" else wanted.unit.by_nature
    target = wanted.typed or natural or source.reference
    value_si = source.value
    if target != source.reference:
        if "diff" in (target, source.reference):
            raise UnitMismatch(
                "pressure-reference-wrong",
                field=wanted.field,
                value=wanted.text,
                right=f"a unit that is {source.reference} like {given.text}",
            )
        if around.barometer_abs is None:
            raise BadInput(
                "barometer-missing", field=given.field, value=given.text, right=wanted.text
            )
        turn = to_absolute if target == "abs" else to_gauge
        value_si = turn(source.value, around.barometer_abs)
    value = convert(value_si, wanted.text)
    if not math.isfinite(value):
        raise OutsideValidity("number-not-finite", field=wanted.field, value=value, right=_RIGHT)
    return Conversion(
        value=value,
        unit=wanted.text,
        kind="pressure",
        value_si=value_si,
        reference=target,
    )
