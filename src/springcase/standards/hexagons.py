"""Hexagons: width across flats of the head that belongs to a screw."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from fractions import Fraction
from typing import Final

from springcase.standards.tables import read_table, unknown_name
from springcase.units import INCH

_UNIT: Final = {"in": INCH, "mm": 1e-3}
STANDARDS: Final = ("asme_b18_2_1", "iso_4014", "din_931")


@dataclass(frozen=True, slots=True, kw_only=True)
class Hexagon:
    """The hexagon of one screw: nominal width as text, widths in metres. [m]"""

    screw: str
    nominal: str
    width: float
    width_max: float
    width_min: float
    standard: str
    source: str


def across_flats(size: str, *, standard: str = "", field: str = "size") -> Hexagon:
    """
    Return the hexagon of a screw size such as "1/4", "1/4-20", "M10" or "M10x1.25".

    `standard` is ``asme_b18_2_1``, ``iso_4014`` or the withdrawn ``din_931``; left out, inch
    sizes follow the first and metric sizes the second.

    Raises UnknownName for a size or a standard of no table.
    """
    plain = " ".join(size.split())
    if re.match(r"[Mm]\s?[0-9]", plain):
        key, usual = re.split("[x×X-]", plain.replace(" ", ""))[0].upper(), "iso_4014"
        key = key.split("X")[0]
    else:
        key, usual = plain.removesuffix(" in").split("-")[0].strip().rstrip('"'), "asme_b18_2_1"
    chosen = standard or usual
    if chosen not in STANDARDS:
        raise unknown_name("standard", chosen, STANDARDS)
    table = read_table("hexagons")[chosen]
    rows = {row[0]: row for row in table["rows"]}
    if key not in rows:
        raise unknown_name(field, size, rows)
    unit = _UNIT[table["unit"]]
    nominal = rows[key][1]
    width = _number(nominal) * unit
    widest, narrowest = (rows[key][2], rows[key][3]) if len(rows[key]) > 2 else (nominal, nominal)
    return Hexagon(
        screw=key,
        nominal=f"{nominal} {table['unit']}",
        width=width,
        width_max=_number(widest) * unit,
        width_min=_number(narrowest) * unit,
        standard=chosen,
        source=table["source"],
    )


def screw_of_hexagon(width: str, *, standard: str = "asme_b18_2_1") -> str:
    """
    Return the screw whose head has this nominal width: "7/16" is the head of a 1/4-in screw.

    Raises UnknownName for a width that is no head of the standard.
    """
    if standard not in STANDARDS:
        raise unknown_name("standard", standard, STANDARDS)
    heads = {row[1]: row[0] for row in read_table("hexagons")[standard]["rows"]}
    key = " ".join(width.split()).removesuffix(" in").removesuffix(" mm")
    if key not in heads:
        raise unknown_name("width across flats", width, heads)
    return str(heads[key])


def heavy_hex_width(diameter: float) -> float:
    """Return the width across flats of a heavy hex nut (`asme_b18_2_2_memory`). [m]"""
    return 1.5 * diameter + INCH / 8


def across_corners(width: float) -> float:
    """Return the width across the sharp corners of a hexagon (`statics`). [m]"""
    return 2 * width / math.sqrt(3)


def _number(text: str) -> float:
    return float(sum(Fraction(part) for part in text.split()))
