"""
The physics of a build: its `[regulator]` table and springs as the SI floats of `regulator`.

`assembly` and `regulator` stand side by side and know nothing of each other; here the text of
the one becomes the numbers of the other (decision 12).
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Collection, Mapping

from springcase.assembly.expand import build_structure, holds
from springcase.assembly.family import Family
from springcase.assembly.model import Structure
from springcase.assembly.regulator_table import KINDS, spring_lengths
from springcase.errors import BadInput
from springcase.regulator import diaphragm
from springcase.regulator.choose import Candidate
from springcase.regulator.model import (
    Action,
    ControlSpring,
    FlowDirection,
    InternalRelief,
    Number,
    Pilot,
    Regulator,
)
from springcase.units import parse_quantity, parse_range

_KV_AREA = (1.0 / 3600.0) * (1000.0 / (2.0 * 1e5)) ** 0.5
"""Discharge times area of a Kv of one: 1 m3/h of water at 1 bar. [m2]"""


def make_regulator(structure: Structure) -> Regulator:
    """
    Return the regulator of a build, for the force balance.

    Raises
    ------
    BadInput
        If its family says nothing of its physics.
    """
    if not structure.regulator:
        raise BadInput(
            "regulator-table-missing", field="--family", value=structure.family, right="[regulator]"
        )
    read = _Reading(structure.regulator)
    table = structure.regulator
    bore = read("bore")
    valve_spring = _spring_at(structure, "valve_spring")
    springs = structure.parts[table["valve_spring"]].count if valve_spring else 1
    rate, force = valve_spring or (0.0, 0.0)
    kv = read("kv", 0.0)
    is_reducing = structure.action == Action.REDUCING
    return Regulator(
        name=structure.name,
        action=Action.REDUCING if is_reducing else Action.BACK_PRESSURE,
        flow_direction=FlowDirection(table["flow"]),
        bore=bore,
        travel=read("travel"),
        plug_area=plug_area(table, bore),
        effective_area=effective_area(table),
        area_change=read("area_change", 0.0),
        control_spring=control_spring(structure),
        discharge=read("discharge"),
        discharge_open=read("discharge_open"),
        lever_ratio=read("lever", 1.0),
        screw_pitch=read("pitch"),
        valve_spring_rate=rate * springs,
        valve_spring_force=force * springs,
        moving_mass=read("moving_mass"),
        friction=read("friction"),
        seat_load=read("seat_load"),
        boost=read("boost", 0.0),
        outlet_bore=read("outlet_bore", 0.0),
        body_area=kv * _KV_AREA if kv else float("inf"),
        sensing=table.get("sensing", "internal"),
        relief=_relief(structure, read),
        pilot=_pilot(structure, read),
        inlet_limit_gauge=read.limit("inlet_limit"),
        outlet_limit_gauge=read.limit("outlet_limit"),
        casing_limit_gauge=read.limit("casing_limit"),
    )


class _Reading:
    """The quantities of one build's table, read when asked for. [SI]"""

    def __init__(self, table: Mapping[str, str]) -> None:
        self.table = table

    def __call__(self, key: str, without: float | None = None) -> float:
        if without is not None and key not in self.table:
            return without
        return parse_quantity(self.table[key], KINDS[key], field=f"regulator.{key}").value

    def limit(self, key: str) -> float | None:
        return self(key) if key in self.table else None


def effective_area(table: Mapping[str, str]) -> Number:
    """Return the effective area of the diaphragm of a table: as given, else of its diameters."""
    read = _Reading(table)
    if "effective_area" in table:
        return read("effective_area")
    return diaphragm.effective_area(
        table["diaphragm"], read("clamp_diameter"), read("plate_diameter")
    )


def plug_area(table: Mapping[str, str], bore: float) -> float:
    """Return what the inlet acts on, of a table and bore [m]: residual area or port. [m2]"""
    if table["trim"] == "balanced":
        return _Reading(table)("residual_area")
    return 0.25 * 3.141592653589793 * bore * bore


def control_spring(structure: Structure) -> ControlSpring:
    """Return the control spring of a build as its card says it."""
    table = structure.regulator
    part = structure.parts[table["spring"]]
    free, shortest, solid = spring_lengths(part.spring, table["spring_shortest"])
    low, high = parse_range(
        part.spring["range"], "pressure-difference", field=f"part.{part.id}.spring.range"
    )
    return ControlSpring(
        name=part.spring.get("colour") or part.words,
        rate=parse_quantity(part.spring["rate"], "stiffness", field="rate").value,
        free_length=free,
        solid_length=solid,
        shortest=shortest,
        low_gauge=low.value,
        high_gauge=high.value,
    )


def _spring_at(structure: Structure, key: str) -> tuple[float, float] | None:
    """Return rate and force of one of the other springs at its length, or None without one."""
    table = structure.regulator
    if key not in table:
        return None
    spring = structure.parts[table[key]].spring
    free, length, _ = spring_lengths(spring, table[f"{key}_length"])
    rate = parse_quantity(spring["rate"], "stiffness", field="rate").value
    return rate, rate * (free - length)


def _relief(structure: Structure, read: _Reading) -> InternalRelief | None:
    found = _spring_at(structure, "relief_spring")
    if found is None:
        return None
    return InternalRelief(
        spring_rate=found[0],
        spring_force=found[1],
        seat_diameter=read("relief_seat"),
        travel=read("relief_travel"),
        vent_bore=read("relief_vent"),
        discharge=read("relief_discharge"),
    )


def _pilot(structure: Structure, read: _Reading) -> Pilot | None:
    found = _spring_at(structure, "main_spring")
    if found is None:
        return None
    return Pilot(
        bore=read("pilot_bore"),
        travel=read("pilot_travel"),
        bleed_bore=read("bleed_bore"),
        discharge=read("pilot_discharge"),
        loading_area=read("loading_area"),
        main_rate=found[0],
        main_force=found[1],
    )


def candidates(family: Family, options: Mapping[str, str]) -> list[Candidate]:
    """
    Return the builds of a family that differ in control spring or orifice, the rest as given.

    Raises
    ------
    UnknownName, BadInput
        If an option or value is not the family's, or it says nothing of its physics.
    """
    make_regulator(build_structure(family, options))
    bores = _changing(family, options, _bore)
    springs = _changing(family, options, _card)
    names = list(dict.fromkeys([*springs, *bores]))
    made = []
    for values in itertools.product(*(family.option[name].values for name in names)):
        picked = dict(zip(names, values, strict=True))
        structure = _never_or_build(family, {**options, **picked})
        if structure is not None:
            made.append(
                Candidate(
                    spring=_named(structure, springs),
                    orifice=_named(structure, bores),
                    regulator=make_regulator(structure),
                )
            )
    return made


def _changing(
    family: Family, options: Mapping[str, str], look: Callable[[Structure], object]
) -> list[str]:
    """Return the options, of those not given, that change what is looked at."""
    found = []
    for option in family.option:
        if option in options:
            continue
        chosen = [{**options, option: value} for value in family.option[option].values]
        built = [each for each in (_never_or_build(family, one) for one in chosen) if each]
        if len({repr(look(each)) for each in built}) > 1:
            found.append(option)
    return found


def _never_or_build(family: Family, options: Mapping[str, str]) -> Structure | None:
    """Return a build, or None where those options are never built together."""
    whole = {name: options.get(name, table.default) for name, table in family.option.items()}
    if any(holds(each.never, whole) for each in family.combination):
        return None
    return build_structure(family, options)


def _bore(structure: Structure) -> object:
    return structure.regulator["bore"]


def _card(structure: Structure) -> object:
    spring = structure.parts[structure.regulator["spring"]].spring
    return spring["rate"], spring["free_length"]


def _named(structure: Structure, options: Collection[str]) -> str:
    """Return the values of some options in words; a bore or spring that is the only one so too."""
    said = [structure.value_words[option] for option in options]
    return ", ".join(said) or structure.words
