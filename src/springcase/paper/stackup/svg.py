"""
The drawing as SVG text: presentation attributes only, so that every renderer agrees.

Lettering is an even-width sans, because its widths are the same in every renderer that has it
and never larger in those that fall back: labels that do not touch here touch nowhere.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from typing import Final
from xml.sax.saxutils import escape, quoteattr

from springcase.assembly.model import Part
from springcase.paper.stackup.figure import Stroke
from springcase.paper.stackup.hatch import ground, hatch_of, pattern
from springcase.paper.stackup.labels import BADGE, CELL, COLUMN, LETTER, LINE, PlacedLabel
from springcase.paper.stackup.layout import WIDTH, DrawnAxis, DrawnPart, scale_text
from springcase.paper.stackup.pen import box, circle, columns, num, polygon, polyline, printable

FONT: Final = "DejaVu Sans Mono, Menlo, Lucida Console, monospace"
THIN: Final = 0.18
MEDIUM: Final = 0.35
THICK: Final = 0.75


def text(
    x: float,
    y: float,
    words: str,
    *,
    anchor: str = "start",
    bold: bool = False,
    size: float = LETTER,
    ink: str = "#000",
) -> str:
    """Return one line of lettering, its baseline at y."""
    extra = f' text-anchor="{anchor}"' if anchor != "start" else ""
    extra += ' font-weight="bold"' if bold else ""
    extra += f' font-size="{num(size)}"' if size != LETTER else ""
    extra += f' fill="{ink}"' if ink != "#000" else ""
    return f'<text x="{num(x)}" y="{num(y)}"{extra}>{escape(printable(words))}</text>'


def path(
    d: str, *, width: float = MEDIUM, fill: str = "none", dash: str = "", ink: str = "#000"
) -> str:
    """Return one path with its pen."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path d="{d}" fill="{fill}" stroke="{ink}" stroke-width="{num(width)}"'
        f' stroke-linejoin="round"{dashes}/>'
    )


def pattern_name(page: int, material: str) -> str:
    """Return the id of a material's pattern on a page."""
    return f"p{page}-hatch-{material}"


def patterns(page: int, materials: Sequence[str]) -> str:
    """Return the pattern definitions of a page."""
    found = [pattern(material, pattern_name(page, material)) for material in materials]
    return "".join(found)


def hatched(d: str, material: str, page: int, *, width: float, dash: str) -> str:
    """Return a cut face: its ground, its hatch marks, its outline."""
    hatch = hatch_of(material)
    pieces = [path(d, width=width, fill=ground(material), dash=dash)]
    if hatch is not None and hatch.marks:
        name = pattern_name(page, material)
        pieces.append(f'<path d="{d}" fill="url(#{name})" stroke="none"/>')
        pieces.append(path(d, width=width, dash=dash))
    return "".join(pieces)


def _stroke(stroke: Stroke, material: str, page: int, *, width: float, dash: str) -> str:
    if stroke.kind == "cut":
        return hatched(stroke.path, material, page, width=width, dash=dash)
    if stroke.kind in ("skin", "hole"):
        return path(stroke.path, width=width, fill="#fff", dash=dash)
    if stroke.kind == "wire":
        return path(stroke.path, width=max(width, 0.5), fill="#fff", dash=dash)
    if stroke.kind == "slot":
        return path(stroke.path, width=THIN, fill="#000")
    if stroke.kind == "axis":
        return path(stroke.path, width=THIN, dash="2.5 0.7 0.6 0.7")
    return path(stroke.path, width=THIN if stroke.kind == "fine" else 0.25)


def _break(drawn: DrawnPart) -> str:
    """Return the break across a part drawn shorter than it is: a white gap between zigzags."""
    figure = drawn.figure
    y, left, right = figure.height * 0.62, -figure.left - 1.2, figure.right + 1.2
    step = (right - left) / 6
    upper = [(left + step * n, y + (0.7 if n % 2 else -0.7)) for n in range(7)]
    lower = [(a, b + 1.5) for a, b in upper]
    return (
        f'<path d="{polygon([*upper, *reversed(lower)])}" fill="#fff" stroke="none"/>'
        + path(polyline(upper), width=THIN)
        + path(polyline(lower), width=THIN)
    )


def part_group(drawn: DrawnPart, part: Part, *, state: str, number: str, page: int) -> str:
    """Return one part: a group that carries its id, place and size, and its figure."""
    figure = drawn.figure
    width = THICK if state == "highlight" else MEDIUM
    dash = "1.6 0.9" if state == "done" else ""
    facts = {
        "id": f"part-{part.id}",
        "data-part": part.id,
        "data-axis": drawn.profile.axis,
        "data-shape": drawn.profile.shape,
        "data-material": part.material,
        "data-number": number,
        "data-state": state,
        "data-x": num(drawn.x - figure.left),
        "data-y": num(drawn.y),
        "data-width": num(figure.left + figure.right),
        "data-height": num(figure.height),
        "data-true-height": num(drawn.profile.height * 1000),
        "transform": f"translate({num(drawn.x)} {num(drawn.y)})",
    }
    attributes = " ".join(f"{key}={quoteattr(value)}" for key, value in facts.items() if value)
    inside = "".join(
        _stroke(stroke, part.material, page, width=width, dash=dash) for stroke in figure.strokes
    )
    if figure.shortened:
        inside += _break(drawn)
    return f"<g {attributes}><title>{escape(printable(part.words))}</title>{inside}</g>"


def axis_group(axis: DrawnAxis, words: Mapping[str, str], end: str) -> str:
    """Return the centre line, the caption with the scale, and the line that joins the axis."""
    pieces = []
    caption = words["axis_scale"].format(words="", scale=scale_text(axis.scale)).strip()
    lines = [*axis.run.caption, *axis.run.place, caption]
    plain = len(axis.run.place) + 1
    for number, line in enumerate(reversed(lines)):
        y = axis.top - 1.4 - number * LINE
        pieces.append(text(axis.caption_x, y, line, anchor="middle", bold=number >= plain))
    if axis.joined_by:
        points = " ".join(f"{num(x)},{num(y)}" for x, y in axis.joined_by)
        pieces.append(
            f'<g id="join-{axis.run.axis}"><polyline points="{points}" fill="none" stroke="#000" '
            f'stroke-width="{num(THIN)}" stroke-dasharray="2.4 0.8"/></g>'
        )
        for x, y in (axis.joined_by[0], axis.joined_by[-1]):
            pieces.append(path(circle(x, y, 0.6), width=0.25, fill="#fff"))
    if end:
        pieces.append(text(axis.x + 1.5, axis.bottom + 1.2, end))
    facts = (
        f'id="axis-{axis.run.axis}" data-axis={quoteattr(axis.run.axis)} '
        f'data-x="{num(axis.x)}" data-scale="{axis.scale:.6g}"'
    )
    return f"<g {facts}>{''.join(pieces)}</g>"


def centre_line(axis: DrawnAxis) -> str:
    """
    Return the centre line of an axis, drawn over its parts.

    The two halves of a half-section meet in a centre line and not in an edge, so the edge is
    painted out first.
    """
    cover = "".join(
        polyline([(axis.x, part.y + 0.2), (axis.x, part.y + part.figure.height - 0.2)])
        for part in axis.parts
        if part.profile.shape not in ("bolts", "lever")
    )
    pieces = [path(cover, width=MEDIUM, ink="#fff")] if cover else []
    line = polyline([(axis.x, axis.top), (axis.x, axis.bottom)])
    return "".join([*pieces, path(line, width=0.22, dash="5 0.9 0.9 0.9")])


def soft_badge(x: float, y: float, letter: str) -> str:
    """Return the mark of a soft part: a white letter in a black square, its left top at x, y."""
    return f'<rect x="{num(x)}" y="{num(y)}" width="4" height="4" fill="#000"/>' + text(
        x + 2, y + 3.35, letter, anchor="middle", bold=True, ink="#fff"
    )


def tick(x: float, y: float) -> str:
    """Return a tick whose foot stands at x, y."""
    return path(polyline([(x - 1.3, y - 1.4), (x, y), (x + 2.6, y - 3.6)]), width=0.7)


def marker(x: float, y: float, side: int) -> str:
    """Return the solid arrowhead that points at a highlighted part, its tip at x, y."""
    return (
        f'<path d="{polygon([(x, y), (x + side * 4, y - 2), (x + side * 4, y + 2)])}" '
        f'fill="#000" stroke="none"/>'
    )


def label_group(placed: PlacedLabel, words: Mapping[str, str]) -> str:
    """Return one label: circle with number, soft mark, name, count and size, state."""
    label, side = placed.label, placed.side
    top = placed.middle - label.height / 2
    edge = COLUMN if side < 0 else WIDTH - COLUMN
    left = 0.0 if side < 0 else edge
    centre = edge + side * BADGE
    start = edge + side * (2 * BADGE + 1.2)
    anchor = "end" if side < 0 else "start"
    facts = (
        f'id="label-{label.part}" data-part={quoteattr(label.part)} data-x="{num(left)}" '
        f'data-y="{num(top)}" data-width="{num(COLUMN)}" data-height="{num(label.height)}"'
    )
    is_marked = label.state == "highlight"
    pieces = []
    if is_marked:
        near, far = start - side * 0.7, edge + side * (COLUMN - 0.3)
        frame = box(min(near, far), top, max(near, far), top + label.height)
        pieces.append(path(frame, width=0.6))
    ring = THICK if is_marked else MEDIUM
    pieces.append(path(circle(centre, placed.middle, BADGE - 0.4), width=ring, fill="#fff"))
    pieces.append(text(centre, placed.middle + 1.3, label.number, anchor="middle", bold=True))
    lines = len(label.name) + len(label.further)
    first = placed.middle - lines * LINE / 2 + 3.2
    if label.is_soft:
        badge = start if side > 0 else start - 4
        pieces.append(soft_badge(badge, first - 3.35, words["soft_letter"]))
    for number, line in enumerate((*label.name, *label.further)):
        shift = side * 5.2 if label.is_soft and number == 0 else 0.0
        pieces.append(
            text(
                start + shift,
                first + number * LINE,
                line,
                anchor=anchor,
                bold=number < len(label.name),
            )
        )
    if label.state == "done":
        word = columns(label.further[-1]) * CELL
        pieces.append(tick(start + side * (word + 3.6), first + (lines - 1) * LINE))
    return f"<g {facts}>{''.join(pieces)}</g>"


def leader_group(placed: PlacedLabel) -> str:
    """Return the leader of a label, an arrowhead where it touches its part."""
    (x, y), side = placed.leader[0], placed.side
    head = polygon([(x, y), (x + side * 1.8, y - 0.55), (x + side * 1.8, y + 0.55)])
    points = " ".join(f"{num(a)},{num(b)}" for a, b in placed.leader)
    line = (
        f'<polyline points="{points}" fill="none" stroke="#000" '
        f'stroke-width="{num(0.5 if placed.label.state == "highlight" else 0.2)}"/>'
    )
    extra = marker(x, y, side) if placed.label.state == "highlight" else ""
    facts = f'id="leader-{placed.label.part}" data-part={quoteattr(placed.label.part)}'
    return f'<g {facts}>{line}<path d="{head}" fill="#000" stroke="none"/>{extra}</g>'


def used(materials: Collection[str], order: Sequence[str]) -> list[str]:
    """Return the materials used, in the legend's order, those without a pattern last."""
    return [name for name in order if name in materials] + sorted(set(materials) - set(order))
