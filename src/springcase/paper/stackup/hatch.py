"""
Hatch patterns: one per material, black on white, none told apart by colour.

Metals are lines, each family with an angle and spacing of its own; plastics, fibre, paper and
graphite have figures of their own; soft materials are black, with white marks inside. A pattern
is a ground (white or black) and marks on a tile, so that tiles show no seams.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from springcase.paper.stackup.pen import num


@dataclass(frozen=True, slots=True, kw_only=True)
class Hatch:
    """A tile: width and height [mm], its turn [deg], the marks on it, and the ground."""

    width: float
    height: float
    turn: float
    marks: str
    stroke: float = 0.22
    is_black: bool = False


def _lines(*ys: float) -> str:
    # A line runs past both ends of its tile, so that neighbours join without a gap.
    return "".join(f"M-1 {num(y)}H9" for y in ys)


_HATCHES: Final[Mapping[str, Hatch]] = {
    "cast-iron": Hatch(width=4, height=1.7, turn=45, marks=_lines(0.85)),
    "steel": Hatch(width=4, height=2.4, turn=45, marks=_lines(0.8, 1.5)),
    "stainless": Hatch(width=4, height=2.4, turn=-45, marks=_lines(0.8, 1.5)),
    "aluminium": Hatch(width=4, height=1.7, turn=-45, marks=_lines(0.85)),
    "brass": Hatch(width=3, height=2.2, turn=45, marks=_lines(0.5) + "M0.4 1.6H1.8"),
    "copper": Hatch(width=3, height=2.2, turn=-45, marks=_lines(0.5) + "M0.4 1.6H1.8"),
    "zinc": Hatch(width=4, height=2.6, turn=-45, marks=_lines(0.5, 1.0, 1.5)),
    "plastic": Hatch(width=2.4, height=1.6, turn=0, marks="M-0.1 1.3L0.6 0.4L1.8 1.3L2.5 0.4"),
    "ptfe": Hatch(width=2.6, height=2.6, turn=0, marks="M0 0.65H2.6M0 1.95H2.6M0.65 0.65V1.95"),
    "fibre": Hatch(width=1.1, height=1.1, turn=45, marks="M-1 0.55H9M0.55 -1V9", stroke=0.16),
    "paper": Hatch(width=4, height=0.8, turn=0, marks=_lines(0.4), stroke=0.16),
    "graphite": Hatch(
        width=1.1, height=1.1, turn=30, marks="M0.4 0.55H0.7M0.55 0.4V0.7", stroke=0.3
    ),
    "paste": Hatch(width=1.8, height=1.8, turn=20, marks="M0.6 0.9A0.3 0.3 0 1 1 1.2 0.9"),
    "nbr": Hatch(width=4, height=4, turn=0, marks="", is_black=True),
    "fkm": Hatch(
        width=1.6, height=1.6, turn=0, marks="M0.5 0.8H1.1M0.8 0.5V1.1", stroke=0.5, is_black=True
    ),
    "epdm": Hatch(width=4, height=1.9, turn=45, marks=_lines(0.95), stroke=0.32, is_black=True),
    "cr": Hatch(width=4, height=1.9, turn=-45, marks=_lines(0.95), stroke=0.32, is_black=True),
    "pur": Hatch(width=2, height=2, turn=45, marks="M-1 1H9M1 -1V9", stroke=0.28, is_black=True),
    "nbr-fabric": Hatch(width=2.4, height=1, turn=0, marks="M0.5 0.5H1.9", is_black=True),
    "fkm-fabric": Hatch(
        width=2.4,
        height=1.4,
        turn=0,
        marks="M0.4 0.45H1.2M1.6 1.1H2.2M0.8 0.9V1.3",
        is_black=True,
    ),
}
MATERIALS: Final = tuple(_HATCHES)


def hatch_of(material: str) -> Hatch | None:
    """Return the hatch of a material, None where it has no pattern and is left white."""
    return _HATCHES.get(material)


def pattern(material: str, name: str) -> str:
    """Return the SVG pattern of a material's marks, empty where it has none."""
    hatch = _HATCHES.get(material)
    if hatch is None or not hatch.marks:
        return ""
    ink = "#fff" if hatch.is_black else "#000"
    turn = f' patternTransform="rotate({num(hatch.turn)})"' if hatch.turn else ""
    return (
        f'<pattern id="{name}" patternUnits="userSpaceOnUse" width="{num(hatch.width)}" '
        f'height="{num(hatch.height)}"{turn}><path d="{hatch.marks}" fill="none" '
        f'stroke="{ink}" stroke-width="{num(hatch.stroke)}"/></pattern>'
    )


def ground(material: str) -> str:
    """Return the colour under the marks: black for soft materials, else white."""
    hatch = _HATCHES.get(material)
    return "#000" if hatch is not None and hatch.is_black else "#fff"
