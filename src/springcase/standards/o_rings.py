"""O-rings by dash number, their glands, squeeze, fill and stretch."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from typing import Final

from springcase.errors import OutsideValidity
from springcase.standards.tables import read_table, unknown_name
from springcase.units import format_value, parse_quantity

MILLIMETRE: Final = 1e-3
# How far a measured ring may lie from the table and still be named: common practice, no source.
_MATCH_SECTION: Final = 0.03
_MATCH_INNER: Final = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class ORing:
    """One O-ring of AS568 / ISO 3601-1 with its tolerances plus and minus. [m]"""

    dash: str
    inner: float
    inner_tolerance: float
    section: float
    section_tolerance: float
    source: str

    @property
    def outer(self) -> float:
        """Outer diameter, inner diameter plus twice the section. [m]"""
        return self.inner + 2 * self.section

    @property
    def size(self) -> str:
        """Inner diameter and section in words."""
        inner, section = self.inner / MILLIMETRE, self.section / MILLIMETRE
        return f"{inner:.2f} x {section:.2f} mm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Gland:
    """Limits of one gland for a section; squeeze as printed, as shares. [m], [-]"""

    section: float
    use: str
    depth_least: float
    depth_greatest: float
    squeeze_least: float
    squeeze_greatest: float
    width: float
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FillVerdict:
    """Gland fill at the worst tolerances, and what the handbooks say of it. [-]"""

    nominal: float
    worst: float
    within: bool
    source: str


@cache
def o_rings() -> dict[str, ORing]:
    """Return every O-ring by dash number."""
    table = read_table("o_rings")
    return {
        dash: ORing(
            dash=dash,
            inner=float(inner) * MILLIMETRE,
            inner_tolerance=float(tolerance) * MILLIMETRE,
            section=float(group["width"]) * MILLIMETRE,
            section_tolerance=float(group["tolerance"]) * MILLIMETRE,
            source=table["source"],
        )
        for group in table["section"]
        for dash, inner, tolerance in group["rows"]
    }


def o_ring(dash: str, *, field: str = "o-ring") -> ORing:
    """
    Return an O-ring by its dash number: "112" or "-112".

    Raises UnknownName for a number of no table.
    """
    known = o_rings()
    key = dash.strip().removeprefix("AS568").lstrip("- ").zfill(3)
    if key not in known:
        raise unknown_name(field, dash, known)
    return known[key]


def match_o_ring(inner: float, section: float) -> tuple[ORing, ...]:
    """
    Return the rings a measured inner diameter and section may be, the likeliest first. [m]

    Both are always asked: 349 and 425 share an inner diameter and differ in section, 009 and
    110 are close in diameter. Empty where none lies within the tolerance and a small allowance
    for a worn or swollen ring (common practice, no source).

    Raises OutsideValidity for a size that is not more than zero.
    """
    for field, value in (("inner diameter", inner), ("section", section)):
        if not (math.isfinite(value) and value > 0):
            raise OutsideValidity("not-positive", field=field, value=value, right="more than zero")
    found = [
        (
            abs(ring.section - section) / ring.section + abs(ring.inner - inner) / ring.inner,
            ring,
        )
        for ring in o_rings().values()
        if abs(ring.section - section) <= ring.section_tolerance + _MATCH_SECTION * ring.section
        and abs(ring.inner - inner) <= ring.inner_tolerance + _MATCH_INNER * ring.inner
    ]
    return tuple(ring for _, ring in sorted(found, key=lambda row: (row[0], row[1].dash)))


@cache
def _glands() -> dict[tuple[str, str], Gland]:
    table = read_table("glands")
    found = {}
    for section, use, low, high, least, greatest, width in table["rows"]:
        found[f"{float(section):.2f}", use] = Gland(
            section=float(section) * MILLIMETRE,
            use=use,
            depth_least=float(low) * MILLIMETRE,
            depth_greatest=float(high) * MILLIMETRE,
            squeeze_least=float(least) / 100,
            squeeze_greatest=float(greatest) / 100,
            width=float(width) * MILLIMETRE,
            source=table["source"],
        )
    return found


def squeeze_limits(section: float, use: str) -> Gland:
    """
    Return the gland of a section for ``static-radial``, ``static-axial`` or ``dynamic`` use. [m]

    Raises UnknownName for a section or a use of no table.
    """
    known = _glands()
    uses = tuple(dict.fromkeys(use for _, use in known))
    if use not in uses:
        raise unknown_name("use", use, uses)
    key = f"{section / MILLIMETRE:.2f}"
    if (key, use) not in known:
        raise unknown_name("section", key, sorted({section for section, _ in known}))
    return known[key, use]


def squeeze(
    section: float, section_tolerance: float, depth_least: float, depth_greatest: float
) -> tuple[float, float]:
    """
    Return the least and greatest squeeze over all tolerances, as shares (`statics`). [m]

    The nominal figure is not given: it hides the least squeeze, which is what leaks.

    Examples
    --------
    >>> [round(share, 3) for share in squeeze(3.53e-3, 0.10e-3, 2.79e-3, 2.95e-3)]
    [0.14, 0.231]
    """
    thin, thick = section - section_tolerance, section + section_tolerance
    return (thin - depth_greatest) / thin, (thick - depth_least) / thick


def gland_fill(section: float, width: float, depth: float) -> float:
    """
    Return the share of a gland's section that the ring fills (`statics`). [m]

    Raises OutsideValidity for a gland without width or depth.
    """
    if not (width > 0 and depth > 0):
        raise OutsideValidity(
            "not-positive",
            field="gland",
            value=f"{format_value(width, 'mm', 3)} x {format_value(depth, 'mm', 3)}",
            right="a width and a depth above zero",
        )
    return math.pi * section * section / 4 / (width * depth)


def judge_fill(ring: ORing, width: float, depth: float, depth_least: float) -> FillVerdict:
    """
    Return gland fill at nominal and worst tolerances against the handbooks' limits. [m]

    Raises OutsideValidity for a gland without width or depth.
    """
    limits = read_table("glands")["fill"]
    nominal = gland_fill(ring.section, width, depth)
    worst = gland_fill(ring.section + ring.section_tolerance, width, depth_least)
    inside = float(limits["least"]) <= nominal <= float(limits["greatest"])
    return FillVerdict(
        nominal=nominal,
        worst=worst,
        within=inside and worst <= float(limits["never_over"]),
        source=limits["source"],
    )


def stretch(inner: float, groove: float) -> float:
    """Return how far a ring is stretched onto a groove, as a share (`statics`). [m]"""
    return groove / inner - 1


def stretch_is_allowed(share: float) -> bool:
    """Return whether a stretch lies within the handbooks' 5 % (`seal_handbooks`). [-]"""
    return 0 <= share <= float(read_table("glands")["stretch"]["greatest"])


def section_thinning(stretched: float) -> float:
    """Return how much thinner the section gets at constant volume, as a share. [-]"""
    return 1 - 1 / math.sqrt(1 + stretched)


def needs_back_up_ring(pressure_diff: float) -> bool:
    """Return whether a back-up ring is to be looked at (`seal_handbooks`, 103.5 bar). [Pa]"""
    limit = read_table("glands")["back_up_ring"]["over_pressure"]
    return pressure_diff > parse_quantity(limit, "pressure-difference", field="limit").value


def compression_set(original: float, recovered: float, spacer: float) -> float:
    """
    Return the compression set of a rubber, ASTM D395 method B, as a share (`statics`). [m]

    Raises OutsideValidity for a spacer that does not squeeze the rubber.
    """
    if not 0 < spacer < original:
        raise OutsideValidity(
            "not-positive",
            field="squeeze",
            value=format_value(original - spacer, "mm", 3),
            right="a spacer thinner than the rubber",
        )
    return (original - recovered) / (original - spacer)
