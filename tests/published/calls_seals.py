"""What the published cases of O-rings and rubbers ask for, from the texts a case gives."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

from springcase.standards import o_rings, rubbers
from springcase.standards.tables import read_table
from springcase.units import parse_quantity

Given = Mapping[str, str]
# The family table prints letters; the scale of the check file counts 1 to 4.
LETTERS = {"E": 1, "G": 2, "F": 3, "P": 4}


def _length(given: Given, key: str) -> float:
    return parse_quantity(given[key], "length", field=key).value


def _matches(given: Given) -> str:
    found = o_rings.match_o_ring(_length(given, "inner"), _length(given, "section"))
    return found[0].dash if found else "none"


def _squeeze(given: Given) -> tuple[float, float]:
    gland = o_rings.squeeze_limits(_length(given, "section"), given["use"])
    tolerance = o_rings.o_ring(given["dash"]).section_tolerance
    return o_rings.squeeze(gland.section, tolerance, gland.depth_least, gland.depth_greatest)


def _gland(given: Given) -> o_rings.Gland:
    return o_rings.squeeze_limits(_length(given, "section"), given["use"])


def _rows_of_section(given: Given) -> str:
    counted = Counter(f"{1e3 * ring.section:.2f}" for ring in o_rings.o_rings().values())
    return str(counted[given["section"]])


def _years(given: Given) -> str:
    life = rubbers.storage_life(given["rubber"], given["edition"])
    if life.first is None:
        return "unlimited"
    return f"{life.first}+{life.extension}" if life.extension else str(life.first)


def _rating(given: Given) -> str:
    found = rubbers.compatibility(given["medium"], given["rubber"])
    return str(found.best) if found.best == found.worst else f"{found.best}-{found.worst}"


def _letters(given: Given) -> str:
    found = rubbers.compatibility(given["medium"], given["rubber"])
    names = {number: letter for letter, number in LETTERS.items()}
    ends = sorted({names[found.best], names[found.worst]}, key=list(LETTERS).index)
    return "-".join(ends)


def _date(given: Given) -> str:
    dates = rubbers.storage_dates(given["rubber"], given["cured"], given["edition"])
    return str(getattr(dates, given["day"]))


CALLS = {
    "inner diameter": lambda given: o_rings.o_ring(given["dash"]).inner,
    "inner tolerance": lambda given: o_rings.o_ring(given["dash"]).inner_tolerance,
    "section": lambda given: o_rings.o_ring(given["dash"]).section,
    "section tolerance": lambda given: o_rings.o_ring(given["dash"]).section_tolerance,
    "outer diameter": lambda given: o_rings.o_ring(given["dash"]).outer,
    "rows in all": lambda given: str(len(o_rings.o_rings())),
    "rows of a section": _rows_of_section,
    "ring of a measured size": _matches,
    "depth, least": lambda given: _gland(given).depth_least,
    "depth, greatest": lambda given: _gland(given).depth_greatest,
    "squeeze printed, least": lambda given: _gland(given).squeeze_least,
    "squeeze printed, greatest": lambda given: _gland(given).squeeze_greatest,
    "width": lambda given: _gland(given).width,
    "squeeze by formula, least": lambda given: _squeeze(given)[0],
    "squeeze by formula, greatest": lambda given: _squeeze(given)[1],
    "gland fill": lambda given: o_rings.gland_fill(
        _length(given, "section"), _length(given, "width"), _length(given, "depth")
    ),
    "fill limit": lambda given: float(read_table("glands")["fill"][given["limit"]]),
    "stretch": lambda given: o_rings.stretch(_length(given, "inner"), _length(given, "groove")),
    "stretch limit": lambda given: float(read_table("glands")["stretch"]["greatest"]),
    "section thinning": lambda given: o_rings.section_thinning(
        o_rings.stretch(_length(given, "inner"), _length(given, "groove"))
    ),
    "back-up ring above": lambda given: str(
        o_rings.needs_back_up_ring(
            parse_quantity(given["difference"], "pressure-difference", field="difference").value
        )
    ),
    "compression set": lambda given: o_rings.compression_set(
        _length(given, "original"), _length(given, "recovered"), _length(given, "spacer")
    ),
    "storage years": _years,
    "storage group": lambda given: rubbers.storage_life(given["rubber"], given["edition"]).group,
    "warmest store": lambda given: rubbers.storage_life("NBR", given["edition"]).warmest,
    "storage date": _date,
    "rating": _rating,
    "letter": _letters,
    "coldest": lambda given: rubbers.temperature_range(given["rubber"]).coldest,
    "warmest": lambda given: rubbers.temperature_range(given["rubber"]).warmest,
    "attacks": lambda given: str(rubbers.lubricant_attacks(given["base"], given["rubber"])),
    "sour": lambda given: str(
        rubbers.is_sour(
            parse_quantity(given["gas"], "pressure", field="gas").value, float(given["share"])
        )
    ),
}
