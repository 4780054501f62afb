"""
The table `[regulator]` of a family: what its parts do as forces and openings, as text with unit.

The room `assembly` knows only that every text can be read and that no build lacks one; `job`
makes SI floats of them for `regulator`. `docs/families.md` explains every key.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any, Final, Literal

import msgspec

from springcase.assembly.model import Structure
from springcase.errors import SpringcaseError
from springcase.formats import Problem
from springcase.units import parse_quantity, parse_range

When = dict[str, list[str]]
Unset = msgspec.UnsetType

FLOW_DIRECTIONS: Final = ("flow-to-open", "flow-to-close")

KINDS: Final = {
    "bore": "length",
    "travel": "length",
    "discharge": "ratio",
    "discharge_open": "ratio",
    "residual_area": "area",
    "kv": "ratio",
    "clamp_diameter": "length",
    "plate_diameter": "length",
    "effective_area": "area",
    "area_change": "ratio",
    "lever": "ratio",
    "pitch": "length",
    "moving_mass": "mass",
    "friction": "force",
    "seat_load": "stiffness",
    "boost": "ratio",
    "outlet_bore": "length",
    "spring_shortest": "length",
    "valve_spring_length": "length",
    "relief_spring_length": "length",
    "relief_seat": "length",
    "relief_travel": "length",
    "relief_vent": "length",
    "relief_discharge": "ratio",
    "inlet_limit": "pressure",
    "outlet_limit": "pressure",
    "casing_limit": "pressure",
    "pilot_bore": "length",
    "pilot_travel": "length",
    "pilot_discharge": "ratio",
    "bleed_bore": "length",
    "loading_area": "area",
    "main_spring_length": "length",
}
"""What each quantity of the table is a quantity of."""

PART_KEYS: Final = ("spring", "valve_spring", "relief_spring", "main_spring")
_NEEDED: Final = (
    "flow",
    "trim",
    "bore",
    "travel",
    "discharge",
    "discharge_open",
    "friction",
    "seat_load",
    "pitch",
    "moving_mass",
    "spring",
    "spring_shortest",
)
_TOGETHER: Final = (
    ("valve_spring", ("valve_spring_length",)),
    (
        "relief_spring",
        ("relief_spring_length", "relief_seat", "relief_travel", "relief_vent", "relief_discharge"),
    ),
    (
        "pilot_bore",
        ("pilot_travel", "pilot_discharge", "bleed_bore", "loading_area", "main_spring"),
    ),
    ("main_spring", ("main_spring_length",)),
    ("boost", ("outlet_bore",)),
)
"""A key that stands, and the others that must stand beside it."""


class RegulatorKeys(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """Every key of `[regulator]` and of its variants; a key not given stays unset."""

    flow: Literal["flow-to-open", "flow-to-close"] | Unset = msgspec.UNSET
    sensing: Literal["internal", "external"] | Unset = msgspec.UNSET
    trim: Literal["plain", "balanced"] | Unset = msgspec.UNSET
    bore: str | Unset = msgspec.UNSET
    travel: str | Unset = msgspec.UNSET
    discharge: str | Unset = msgspec.UNSET
    discharge_open: str | Unset = msgspec.UNSET
    residual_area: str | Unset = msgspec.UNSET
    kv: str | Unset = msgspec.UNSET
    diaphragm: Literal["flat", "convoluted"] | Unset = msgspec.UNSET
    clamp_diameter: str | Unset = msgspec.UNSET
    plate_diameter: str | Unset = msgspec.UNSET
    effective_area: str | Unset = msgspec.UNSET
    area_change: str | Unset = msgspec.UNSET
    lever: str | Unset = msgspec.UNSET
    pitch: str | Unset = msgspec.UNSET
    moving_mass: str | Unset = msgspec.UNSET
    friction: str | Unset = msgspec.UNSET
    seat_load: str | Unset = msgspec.UNSET
    boost: str | Unset = msgspec.UNSET
    outlet_bore: str | Unset = msgspec.UNSET
    spring: str | Unset = msgspec.UNSET
    spring_shortest: str | Unset = msgspec.UNSET
    valve_spring: str | Unset = msgspec.UNSET
    valve_spring_length: str | Unset = msgspec.UNSET
    relief_spring: str | Unset = msgspec.UNSET
    relief_spring_length: str | Unset = msgspec.UNSET
    relief_seat: str | Unset = msgspec.UNSET
    relief_travel: str | Unset = msgspec.UNSET
    relief_vent: str | Unset = msgspec.UNSET
    relief_discharge: str | Unset = msgspec.UNSET
    inlet_limit: str | Unset = msgspec.UNSET
    outlet_limit: str | Unset = msgspec.UNSET
    casing_limit: str | Unset = msgspec.UNSET
    pilot_bore: str | Unset = msgspec.UNSET
    pilot_travel: str | Unset = msgspec.UNSET
    pilot_discharge: str | Unset = msgspec.UNSET
    bleed_bore: str | Unset = msgspec.UNSET
    loading_area: str | Unset = msgspec.UNSET
    main_spring: str | Unset = msgspec.UNSET
    main_spring_length: str | Unset = msgspec.UNSET


class RegulatorVariant(RegulatorKeys, frozen=True, kw_only=True):
    """`[[regulator.variant]]`: what differs when options are chosen so."""

    when: When


class RegulatorTable(RegulatorKeys, frozen=True, kw_only=True):
    """`[regulator]`: the physics of a family; a variant replaces keys for some builds."""

    variant: list[RegulatorVariant] = []


def given_keys(table: RegulatorKeys) -> dict[str, str]:
    """Return the keys a table or a variant sets, as text."""
    return {
        name: value
        for name in RegulatorKeys.__struct_fields__
        if isinstance(value := getattr(table, name), str)
    }


def regulator_of_build(table: RegulatorTable | None, options: Mapping[str, str]) -> dict[str, str]:
    """Return the table as it is for these options: empty where the family has none."""
    if table is None:
        return {}
    found = given_keys(table)
    for variant in table.variant:
        if all(options[option] in values for option, values in variant.when.items()):
            found |= given_keys(variant)
    return found


def find_table_problems(
    table: RegulatorTable | None, options: Mapping[str, Any], parts: Collection[str]
) -> Iterator[Problem]:
    """Yield every text of the table that cannot be read and every name that leads nowhere."""
    if table is None:
        return
    tables: list[tuple[str, RegulatorKeys]] = [("regulator", table)]
    tables += [(f"regulator.variant[{n}]", each) for n, each in enumerate(table.variant)]
    for path, each in tables:
        for key, text in given_keys(each).items():
            if key in KINDS:
                yield from _unreadable(f"{path}.{key}", text, KINDS[key])
            elif key in PART_KEYS and text not in parts:
                yield _unknown(f"{path}.{key}", text, parts)
    for n, variant in enumerate(table.variant):
        for option, values in variant.when.items():
            path = f"regulator.variant[{n}].when"
            if option not in options:
                yield _unknown(path, option, options)
                continue
            for value in values:
                if value not in options[option].values:
                    yield _unknown(f"{path}.{option}", value, options[option].values)


def _unreadable(path: str, text: str, kind: str) -> Iterator[Problem]:
    try:
        parse_quantity(text, kind, field=path)
    except SpringcaseError as error:
        yield Problem(
            code=error.code,
            path=path,
            id="regulator",
            value=text,
            right=error.right,
            facts=error.facts,
        )


def _unknown(path: str, value: str, known: Collection[str]) -> Problem:
    import difflib

    near = difflib.get_close_matches(value[:60], list(known), n=1)
    right: Any = near or sorted(known)[:8]
    return Problem(
        code="name-unknown",
        path=path,
        id="regulator",
        value=value,
        right=right,
        facts={"near": near[0] if near else ""},
    )


def find_regulator_problems(structure: Structure) -> Iterator[Problem]:
    """Yield what the table of one build lacks, and springs that do not fit their lengths."""
    table = structure.regulator
    if not table:
        return
    needed = [key for key in _NEEDED if key not in table]
    needed += ["residual_area"] * (table.get("trim") == "balanced" and "residual_area" not in table)
    if "effective_area" not in table:
        needed += [
            key for key in ("diaphragm", "clamp_diameter", "plate_diameter") if key not in table
        ]
    for first, others in _TOGETHER:
        if first in table:
            needed += [key for key in others if key not in table]
    for key in dict.fromkeys(needed):
        yield Problem(code="regulator-key-missing", path=f"regulator.{key}", id=key, value=key)
    for key in PART_KEYS:
        if key in table and key not in needed:
            length = "spring_shortest" if key == "spring" else f"{key}_length"
            if length in table:
                yield from _spring_problems(structure, key, table[length])


def _spring_problems(structure: Structure, key: str, length: str) -> Iterator[Problem]:
    """Yield what is wrong with one spring: absent, without figures, shorter than solid."""
    path, name = f"regulator.{key}", structure.regulator[key]
    part = structure.parts.get(name)
    if part is None:
        yield Problem(code="regulator-part-absent", path=path, id=name, value=name)
        return
    asked = ("rate", "free_length", "wire", "active")
    lacking = [figure for figure in asked if figure not in part.spring]
    lacking += ["range"] * (key == "spring" and "range" not in part.spring)
    if lacking:
        yield Problem(code="regulator-spring-bare", path=path, id=name, value=name, right=lacking)
        return
    if key == "spring":
        try:
            parse_range(part.spring["range"], "pressure-difference", field=f"part.{name}.range")
        except SpringcaseError as error:
            yield Problem(code=error.code, path=path, id=name, value=error.value, right=error.right)
    free, shortest, solid = spring_lengths(part.spring, length)
    if not solid < shortest < free:
        right = f"between {solid * 1e3:.4g} mm (coils touching) and {free * 1e3:.4g} mm (free)"
        yield Problem(code="regulator-spring-length", path=path, id=name, value=length, right=right)


def spring_lengths(spring: Mapping[str, str], length: str) -> tuple[float, float, float]:
    """Return free length, a length typed, and the solid length with both ends closed. [m]"""
    free = parse_quantity(spring["free_length"], "length", field="free_length").value
    wire = parse_quantity(spring["wire"], "length", field="wire").value
    active = parse_quantity(spring["active"], "ratio", field="active").value
    # Squared and ground ends: two coils that do not work, none added by the grinding.
    solid = (active + 2.0) * wire
    return free, parse_quantity(length, "length", field="length").value, solid
