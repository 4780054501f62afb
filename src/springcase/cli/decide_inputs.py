"""The figures of `decide` as typed: all without unit, or all in units of one kind."""

from __future__ import annotations

import argparse
from dataclasses import dataclass

from springcase.errors import BadInput, OutsideValidity, UnitMismatch
from springcase.units import Quantity, parse_quantity
from springcase.units.numbers import check_text, split_number
from springcase.units.quantity import known_unit, measured_kinds, split_at

_RIGHT = "a number, or a quantity such as 208 mbar gauge"


@dataclass(frozen=True, slots=True, kw_only=True)
class Typed:
    """What was typed, in SI or, where no unit was typed, as it stands."""

    value: float
    lower: float | None
    upper: float | None
    uncertainty: float
    greatest_uncertainty: float | None
    unit: str
    unit_of_widths: str
    kind: str


def read_typed(arguments: argparse.Namespace) -> Typed:
    """
    Return the figures of the command.

    Raises BadInput, UnitMismatch or OutsideValidity naming the option that is at fault.
    """
    first = _read_value(arguments.value, "--value")
    ends = {}
    for name in ("lower", "upper"):
        typed = getattr(arguments, name)
        ends[name] = None if typed is None else _like(typed, f"--{name}", first)
    factor = parse_quantity(arguments.coverage, "ratio", field="--coverage").value
    if factor <= 0:
        raise OutsideValidity(
            "not-positive", field="--coverage", value=arguments.coverage, right="more than zero"
        )
    greatest = arguments.greatest_uncertainty
    return Typed(
        value=first.value,
        lower=ends["lower"],
        upper=ends["upper"],
        uncertainty=_width(arguments.uncertainty, "--uncertainty", first) / factor,
        greatest_uncertainty=(
            None if greatest is None else _width(greatest, "--greatest-uncertainty", first)
        ),
        unit=first.unit,
        unit_of_widths=_unit_of_widths(first.unit),
        kind=first.kind,
    )


def _unit_of_widths(unit_text: str) -> str:
    """Return the unit of a difference: without gauge or absolute, which a width has not."""
    if not unit_text:
        return ""
    before, at = split_at(unit_text)
    unit, _ = known_unit(before, text=unit_text, field="--value", right=_RIGHT)
    return f"{unit.name} @ {at}" if at else unit.name


def _read_value(text: str, field: str) -> Quantity:
    """Return a quantity whose kind is that of its unit; a bare number has no kind."""
    check_text(text, "ratio", field)
    before, at = split_at(text)
    number, unit_text = split_number(before, "ratio", field)
    if not unit_text:
        return Quantity(text=text, value=_bare(number, at, text, field), unit="", kind="")
    unit, reference = known_unit(unit_text, text=text, field=field, right=_RIGHT)
    kind = measured_kinds(unit, at)[0]
    if kind == "pressure" and reference == "diff":
        kind = "pressure-difference"
    return parse_quantity(text, kind, field=field)


def _bare(number: float, at: str, text: str, field: str) -> float:
    if at or abs(number) == float("inf"):
        raise BadInput("measurement-not-finite", field=field, value=text, right=_RIGHT)
    return number


def _like(text: str, field: str, first: Quantity) -> float:
    """Return a limit, which must be of the kind and reference of the value."""
    found = _read_value(text, field) if not first.kind else _of_kind(text, field, first.kind, first)
    if found.kind != first.kind or found.reference != first.reference:
        raise _differs(text, field, first)
    return found.value


def _of_kind(text: str, field: str, kind: str, first: Quantity) -> Quantity:
    if not _unit_of(text, field):
        raise _differs(text, field, first)
    return parse_quantity(text, kind, field=field)


def _width(text: str, field: str, first: Quantity) -> float:
    """Return an uncertainty: a difference, so that gauge, absolute and zero points drop out."""
    if not first.kind:
        width = _like(text, field, first)
    elif first.kind == "temperature":
        unit_text = _unit_of(text, field)
        if not unit_text:
            raise _differs(text, field, first)
        unit, _ = known_unit(unit_text, text=text, field=field, right=_RIGHT)
        if "temperature" not in unit.kinds:
            raise _differs(text, field, first)
        width = split_number(text, "temperature", field)[0] * unit.factor
    else:
        kind = "pressure-difference" if first.kind == "pressure" else first.kind
        width = _of_kind(text, field, kind, first).value
    if width <= 0:
        raise OutsideValidity("not-positive", field=field, value=text, right="more than zero")
    return width


def _unit_of(text: str, field: str) -> str:
    check_text(text, "ratio", field)
    return split_number(split_at(text)[0], "ratio", field)[1]


def _differs(text: str, field: str, first: Quantity) -> UnitMismatch:
    right = f"in a unit like {first.text}" if first.unit else f"a number alone, like {first.text}"
    return UnitMismatch("decide-units-differ", field=field, value=text, right=right)
