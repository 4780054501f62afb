"""Rubbers: how long they keep, what they bear, and which lubricant attacks them."""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass
from datetime import date
from typing import Any, Final

from springcase.errors import BadInput
from springcase.sources import Standing
from springcase.standards.register import standing
from springcase.standards.tables import read_table, unknown_name
from springcase.units import parse_quantity

EDITIONS: Final = ("iso_2230_2002", "sae_as5316")
_QUARTER: Final = re.compile(r"([1-4]) ?[Qq/] ?((?:19|20)?[0-9]{2})")


@dataclass(frozen=True, slots=True, kw_only=True)
class StorageLife:
    """
    How long a rubber keeps on the shelf; it says nothing about fitted life.

    `first` is None where storage is unlimited [years]; `warmest` is the warmest the store may be
    [K]; `conflict` says where sources disagree.
    """

    rubber: str
    edition: str
    group: str
    first: int | None
    extension: int
    warmest: float
    source: str
    standing: Standing
    conflict: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StorageDates:
    """The days a stored rubber is to be inspected and thrown away; None: unlimited."""

    cured: date
    inspect: date | None
    end: date | None
    conflict: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Compatibility:
    """How a rubber bears a medium: 1 good, 2 fair, 3 doubtful, 4 no, as a span best to worst."""

    medium: str
    rubber: str
    best: int
    worst: int
    note: str
    source: str
    standing: Standing


@dataclass(frozen=True, slots=True, kw_only=True)
class TemperatureRange:
    """The temperatures a rubber is used at. [K]"""

    rubber: str
    coldest: float
    warmest: float
    source: str


def rubber_of_material(material: str) -> str:
    """Return the rubber a family's material name stands for, as its standard letters."""
    named: dict[str, str] = read_table("rubbers")["material"]
    return named.get(material.casefold(), material.upper())


def storage_life(rubber: str, edition: str = "iso_2230_2002") -> StorageLife:
    """
    Return how long a rubber may be stored by one edition of the rules. [years]

    Raises UnknownName for a rubber or an edition of no table.
    """
    if edition not in EDITIONS:
        raise unknown_name("edition", edition, EDITIONS)
    storage = read_table("rubbers")["storage"]
    rows = {
        name: (group, first, extension, source)
        for group, names, first, extension, source in storage[edition]["rows"]
        for name in names
    }
    key = rubber_of_material(rubber)
    if key not in rows:
        raise unknown_name("rubber", rubber, rows)
    group, first, extension, source = rows[key]
    return StorageLife(
        rubber=key,
        edition=edition,
        group=group,
        first=first or None,
        extension=extension,
        warmest=parse_quantity(storage[edition]["warmest"], "temperature", field="warmest").value,
        source=source,
        standing=standing(source),
        conflict=storage["conflicts"].get(key, "") if edition == "sae_as5316" else "",
    )


def cure_date(cure_quarter: str) -> date:
    """
    Return the last day of a cure quarter written "3Q2019", "3Q19" or "3/19".

    Raises BadInput for a text that is no quarter.
    """
    found = _QUARTER.fullmatch(cure_quarter.strip())
    if found is None:
        raise BadInput(
            "cure-quarter-unreadable",
            field="cure date",
            value=cure_quarter,
            right="a quarter and year such as 3Q2019 or 3/19",
        )
    quarter, year = int(found[1]), int(found[2])
    if year < 100:
        # A two-digit year of a stored rubber is never in the future of the century it is read
        # in: ISO 2230 writes 3Q1994 as 3/94.
        year += 1900 if year >= 70 else 2000
    month = 3 * quarter
    return date(year, month, calendar.monthrange(year, month)[1])


def storage_dates(rubber: str, cure_quarter: str, edition: str = "iso_2230_2002") -> StorageDates:
    """
    Return when a stored rubber is inspected and when it ends, from its cure quarter.

    By ISO 2230 it is inspected after the first period and ends after the extension; AS5316
    knows no extension.

    Raises UnknownName for a rubber or an edition of no table, BadInput for no quarter.
    """
    life = storage_life(rubber, edition)
    cured = cure_date(cure_quarter)
    if life.first is None:
        return StorageDates(cured=cured, inspect=None, end=None, conflict=life.conflict)
    # The last day of a quarter is never 29 February, so the year alone moves.
    first = cured.replace(year=cured.year + life.first)
    end = first.replace(year=first.year + life.extension)
    return StorageDates(
        cured=cured,
        inspect=first if life.extension else None,
        end=end,
        conflict=life.conflict,
    )


def _media() -> dict[str, dict[str, Any]]:
    return {
        name: row
        for row in read_table("rubbers")["compatibility"]["medium"]
        for name in (row["name"], *row["aliases"])
    }


def media() -> tuple[str, ...]:
    """Return the names of all media in the compatibility table."""
    return tuple(_media())


def elastomers() -> tuple[str, ...]:
    """Return the elastomers of the compatibility table, by their standard letters."""
    return tuple(read_table("rubbers")["compatibility"]["rubbers"])


def compatibility(medium: str, elastomer: str) -> Compatibility:
    """
    Return how an elastomer bears a medium.

    Oxygen and enriched air are in no table: only what is named and cleaned for oxygen may be
    used, and where nothing is said the plan stops.

    Raises UnknownName for a medium or an elastomer of no table.
    """
    rows = _media()
    if medium not in rows:
        raise unknown_name("medium", medium, rows)
    rubbers: list[str] = read_table("rubbers")["compatibility"]["rubbers"]
    key = rubber_of_material(elastomer)
    if key not in rubbers:
        raise unknown_name("elastomer", elastomer, rubbers)
    row = rows[medium]
    best, _, worst = row["ratings"][rubbers.index(key)].partition("-")
    return Compatibility(
        medium=row["name"],
        rubber=key,
        best=int(best),
        worst=int(worst or best),
        note=row.get("note", ""),
        source=row["source"],
        standing=standing(row["source"]),
    )


def lubricant_attacks(base: str, elastomer: str) -> bool:
    """
    Return whether a lubricant base attacks an elastomer (common practice, no source).

    Raises UnknownName for a base of no table.
    """
    rows = {name: attacked for name, attacked, _ in read_table("rubbers")["lubricant"]["rows"]}
    if base not in rows:
        raise unknown_name("lubricant base", base, rows)
    return rubber_of_material(elastomer) in rows[base]


def temperature_range(elastomer: str) -> TemperatureRange:
    """
    Return the temperatures an elastomer is used at. [K]

    Raises UnknownName for an elastomer of no table.
    """
    rows = {row[0]: row for row in read_table("rubbers")["temperature"]["rows"]}
    key = rubber_of_material(elastomer)
    if key not in rows:
        raise unknown_name("elastomer", elastomer, rows)
    _, coldest, warmest, source = rows[key]
    return TemperatureRange(
        rubber=key,
        coldest=parse_quantity(f"{coldest} degC", "temperature", field="coldest").value,
        warmest=parse_quantity(f"{warmest} degC", "temperature", field="warmest").value,
        source=source,
    )


def is_sour(pressure_abs: float, hydrogen_sulfide_share: float) -> bool:
    """
    Return whether a gas is sour: hydrogen sulphide at 0.3 kPa or more (`iso_15156_threshold`).

    0.05 psi is 0.345 kPa; the printed and lower 0.3 kPa is used. [Pa], [-]
    """
    text = read_table("rubbers")["sour"]["threshold"]
    threshold = parse_quantity(text, "pressure-difference", field="threshold").value
    # At the limit counts as sour, whichever way the product was rounded.
    return pressure_abs * hydrogen_sulfide_share >= threshold * (1 - 1e-12)
