"""The legend under the drawing: hatches used, marks used, notes."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from springcase.paper.stackup.labels import CELL, LINE
from springcase.paper.stackup.layout import WIDTH
from springcase.paper.stackup.pen import box, circle, num, polyline, wrap
from springcase.paper.stackup.svg import MEDIUM, THICK, THIN, hatched, path, soft_badge, text, tick

CELL_WIDTH: Final = 45.0
ROW: Final = 6.0
SWATCH: Final = 10.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Legend:
    """What a page's legend holds."""

    materials: tuple[str, ...]
    marks: tuple[str, ...]
    notes: tuple[str, ...]

    @property
    def height(self) -> float:
        """The height of the legend on paper. [mm]"""
        entries = len(self.materials) + len(self.marks)
        rows = -(-entries // int(WIDTH // CELL_WIDTH))
        return 2.0 + rows * ROW + len(self.notes) * LINE + 1.0


def make_legend(
    *,
    materials: Sequence[str],
    marks: Collection[str],
    notes: Sequence[str],
) -> Legend:
    """Return a legend with its notes wrapped to the page."""
    lines = [line for note in notes for line in wrap(note, int(WIDTH / CELL), most=4)]
    order = ("soft", "wire", "shortened", "highlight", "done")
    return Legend(
        materials=tuple(materials),
        marks=tuple(mark for mark in order if mark in marks),
        notes=tuple(lines),
    )


def _mark(name: str, x: float, y: float, words: Mapping[str, str]) -> str:
    """Return the sample of one mark in the swatch whose left top is at x, y."""
    middle = y + 2.2
    if name == "soft":
        return soft_badge(x + 3, y + 0.2, words["soft_letter"])
    if name == "wire":
        return path(circle(x + SWATCH / 2, middle, 1.5), width=0.5, fill="#fff")
    if name == "shortened":
        zigzag = [(x + 1 + n * 1.6, middle + (0.7 if n % 2 else -0.7)) for n in range(6)]
        return path(polyline(zigzag), width=THIN) + path(
            polyline([(a, b + 1.5) for a, b in zigzag]), width=THIN
        )
    frame = box(x, y, x + SWATCH, y + 4.4)
    if name == "highlight":
        return path(frame, width=THICK)
    return path(frame, width=MEDIUM, dash="1.6 0.9") + tick(x + 4, y + 4)


def legend_group(legend: Legend, top: float, page: int, words: Mapping[str, str]) -> str:
    """Return the legend as SVG, its top edge at a height of the page. [mm]"""
    across = int(WIDTH // CELL_WIDTH)
    pieces = [path(polyline([(0, top), (WIDTH, top)]), width=THIN)]
    entries = [("material", name) for name in legend.materials]
    entries += [("mark", name) for name in legend.marks]
    for number, (kind, name) in enumerate(entries):
        x = (number % across) * CELL_WIDTH
        y = top + 2.0 + (number // across) * ROW
        if kind == "material":
            sample = hatched(
                box(x + 0.2, y, x + SWATCH, y + 4.4), name, page, width=MEDIUM, dash=""
            )
            words_of = words.get(f"material_{name}" if name else "material_none", name)
        else:
            sample = _mark(name, x, y, words)
            words_of = words[f"legend_{name}"]
        pieces.append(f'<g data-legend="{kind}-{name}">{sample}')
        pieces.append(text(x + SWATCH + 1.5, y + 3.5, words_of) + "</g>")
    rows = -(-len(entries) // across)
    for number, note in enumerate(legend.notes):
        y = top + 2.0 + rows * ROW + number * LINE + 3.0
        pieces.append(text(0, y, note))
    return f'<g id="p{page}-legend" data-y="{num(top)}">{"".join(pieces)}</g>'
