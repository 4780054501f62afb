"""
Sections become pages of at most twenty-five lines that fit one side of A4.

Heights are estimated here, generously, so that every door shows the same pages; the PDF
template is handed the same measures and refuses a sheet that came out longer than counted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final

from springcase.paper.document import (
    LINES_PER_PAGE,
    Block,
    Fact,
    Facts,
    Figure,
    Group,
    Heading,
    Line,
    LineKind,
    Ticks,
    rows_of,
)
from springcase.paper.glyphs import printable

# Millimetres on A4 with 10 mm edges, and points of type; read at arm's length in bad light.
MEASURES: Final = {
    "page_top": 19.0,
    "page_bottom": 18.0,
    "page_side": 10.0,
    "width": 190.0,
    "number": 10.5,
    "tool": 36.0,
    "right": 64.0,
    "torque": 47.0,
    "picture": 60.0,
    "clock": 21.0,
    "label": 38.0,
    "tick": 6.4,
    "tick_pitch": 8.0,
    "tick_gap": 1.8,
    "box": 8.0,
    "cell_box": 33.0,
    "pad": 1.3,
    "detail_gap": 1.7,
    "gutter": 2.0,
    "verb_size": 12.5,
    "body_size": 11.5,
    "large_size": 23.0,
    "heading": 9.5,
    "sub_heading": 6.8,
    "fact_gap": 1.7,
    "box_inset": 1.5,
    "block_gap": 1.6,
}
_MM: Final = 25.4 / 72
# From baseline to cap height, and from one row's baseline to the next, in ems.
_CAP: Final = 0.67
_PITCH: Final = 1.17
_LARGE_ROW: Final = MEASURES["large_size"] * 0.8 * _MM
# Letters of tool, condition and detail that share one row of the narrowest column.
_SHARED_ROW: Final = 40
# A page with no more than this on it is the end of what came before: it is filled on.
_SPILL: Final = 4
BODY_HEIGHT: Final = 297.0 - MEASURES["page_top"] - MEASURES["page_bottom"]
GUTTER: Final = MEASURES["gutter"]
# Advance widths of the serif in ems, each class by its widest letter; measured once with the
# typesetter. Letters of no class count as the widest capital but W.
_WIDTHS: Final = {
    mark: ems
    for marks, ems in (
        (" ',.:;|", 0.25),
        ('fijlt/IJ!()[]{}-"·', 0.36),
        ("abcegkorsvxyz0123456789?*#$_^~", 0.49),
        ("dhnpqu+<=>–", 0.55),
        ("wmMW@%&—", 0.98),
    )
    for mark in marks
}
_OTHER_WIDTH: Final = 0.75


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Blocks under one heading; `starts_page` where it must begin on a fresh page."""

    heading: str
    blocks: tuple[Block, ...]
    starts_page: bool = False
    together: bool = False


def text_width(text: str, size: float) -> float:
    """Return about how wide a text runs in the serif of the sheet, never too little. [mm]"""
    return sum(_WIDTHS.get(mark, _OTHER_WIDTH) for mark in text) * size * _MM


# A page is filled by trying: the same text is measured again and again.
@lru_cache(maxsize=4096)
def row_count(text: str, width: float, size: float) -> int:
    """Return how many rows a text takes in a column. [-]"""
    rows, used = 1, 0.0
    space = text_width(" ", size)
    for word in printable(text).split():
        length = text_width(word, size)
        if used and used + space + length > width:
            rows, used = rows + 1, 0.0
        used += (space if used else 0.0) + length
        # A word wider than its column is broken; see `breakable` in the PDF door.
        while used > width:
            rows, used = rows + 1, used - width
    return rows


def text_height(text: str, width: float, size: float) -> float:
    """Return the height of a text in a column. [mm]"""
    return ((row_count(text, width, size) - 1) * _PITCH + _CAP) * size * _MM


def _body_height(text: str, width: float) -> float:
    return text_height(text, width, MEASURES["body_size"])


def _details_height(texts: Sequence[str], width: float) -> float:
    return sum(MEASURES["detail_gap"] + _body_height(text, width) for text in texts)


def _tick_rows(ticks: int, width: float) -> int:
    return -(-ticks // max(1, int(width / MEASURES["tick_pitch"])))


def has_tick_row(line: Line) -> bool:
    """Whether a line's ticks stand in a row of their own under its text."""
    aside = bool(line.torque or line.readings or line.choices)
    return line.ticks > (1 if aside else int(MEASURES["right"] / MEASURES["tick_pitch"]))


def below_rows(line: Line, *, beside_picture: bool = False) -> tuple[tuple[str, str, str], ...]:
    """
    Return the rows under a line's sentence, each as plain, bold and plain text.

    The tool has no column beside a picture; a short first detail shares the row of the
    condition.
    """
    tool = line.tool if beside_picture else ""
    details = line.details
    if not (tool or line.condition):
        return tuple(("", "", detail) for detail in details)
    is_short = details and len(tool) + len(line.condition) + len(details[0]) <= _SHARED_ROW
    first = (tool, line.condition, details[0] if is_short else "")
    return (first, *(("", "", detail) for detail in (details[1:] if is_short else details)))


def line_height(line: Line, *, beside_picture: bool = False) -> float:
    """Return the height one line takes. [mm]"""
    whole = MEASURES["width"] - (MEASURES["picture"] + GUTTER if beside_picture else 0.0)
    inner = whole - MEASURES["number"] - GUTTER
    pad = 2 * MEASURES["pad"]
    if line.kind is not LineKind.ACT:
        # The mark of a caution or a note, and the frame, take their share of the row.
        words = f"{line.verb} {line.words} CAUTION"
        return text_height(words, inner - 6.0, MEASURES["verb_size"]) + 3 * pad
    right = _right_height(line)
    side = MEASURES["torque"] if beside_picture else MEASURES["right"]
    # A line with a tool keeps the right column free, so that tools stand under each other.
    has_side = right or (line.tool and not beside_picture)
    room = inner - (side + GUTTER if has_side else 0.0)
    tool_room = MEASURES["tool"] + GUTTER if line.tool and not beside_picture else 0.0
    sentence = f"{line.verb} {line.words} {line.parts} 00"
    left = text_height(sentence, room - tool_room, MEASURES["verb_size"])
    if tool_room:
        left = max(left, _body_height(line.tool, MEASURES["tool"]))
    rows = [" · ".join(row) for row in below_rows(line, beside_picture=beside_picture)]
    left += _details_height(rows, room)
    ticks = 0.0
    if has_tick_row(line):
        ticks = MEASURES["tick_gap"] + _tick_rows(line.ticks, inner) * MEASURES["tick_pitch"]
    return max(MEASURES["tick"], left, right) + ticks + pad


def _right_height(line: Line) -> float:
    height = len(line.readings) * (MEASURES["box"] + 1.0)
    if line.choices:
        height += MEASURES["tick"] + 1.0
    if line.torque is not None:
        height += _LARGE_ROW + MEASURES["body_size"] * _MM
    if line.ticks and not has_tick_row(line):
        height = max(height, MEASURES["tick"])
    return height


def cell_height(line: Line) -> float:
    """Return the height of a short line in one of two columns. [mm]"""
    room = (MEASURES["width"] - GUTTER) / 2 - MEASURES["number"] - 3.0
    room -= MEASURES["tick_pitch"] * line.ticks
    under = 0.0
    if line.picture:
        room -= MEASURES["clock"]
        under = len(line.readings) * (MEASURES["box"] + 1.0)
    elif line.readings:
        room -= MEASURES["cell_box"]
    text = f"{line.verb} {line.words} {line.tool}"
    height = _body_height(text, room) + under + _details_height(line.details, room)
    boxes = 0.0 if line.picture else len(line.readings) * (MEASURES["box"] + 1.0)
    picture = MEASURES["clock"] if line.picture else 0.0
    return max(height, boxes, picture, MEASURES["tick"]) + 2 * MEASURES["pad"]


def _fact_height(fact: Fact, width: float, *, boxed: bool) -> float:
    if not fact.value:
        return 8.0 if boxed else 6.5
    room = width - MEASURES["label"] - GUTTER - (4.0 if boxed else 0.0)
    label = _body_height(fact.label, MEASURES["label"])
    # A value is set in bold, which runs wider.
    return max(_body_height(fact.value, room / 1.12), label)


def block_height(block: Block) -> float:
    """Return the height a block takes on the page. [mm]"""
    gap = MEASURES["block_gap"]
    if isinstance(block, Line):
        return line_height(block)
    if isinstance(block, Heading):
        return MEASURES["heading"]
    if isinstance(block, Group):
        lines = sum(line_height(line, beside_picture=True) for line in block.lines)
        # The caption is set in bold, which runs wider.
        caption = _body_height(block.caption, MEASURES["picture"] / 1.12)
        return max(lines, MEASURES["picture"] + caption + 4.0)
    if isinstance(block, Figure):
        return BODY_HEIGHT
    heading = MEASURES["sub_heading"] if block.heading else 0.0
    if isinstance(block, Ticks):
        rows = zip(block.lines[::2], [*block.lines[1::2], None], strict=False)
        return heading + gap + sum(_pair_height(left, right) for left, right in rows)
    width = MEASURES["width"] / block.columns
    groups = [
        block.rows[start : start + block.columns]
        for start in range(0, len(block.rows), block.columns)
    ]
    rows_height = sum(
        max(_fact_height(fact, width, boxed=block.boxed) for fact in group) for group in groups
    )
    gaps = gap + MEASURES["fact_gap"] * len(groups)
    return heading + gaps + rows_height + (2 * MEASURES["box_inset"] if block.boxed else 0.0)


def _pair_height(left: Line, right: Line | None) -> float:
    return max(cell_height(left), cell_height(right) if right is not None else 0.0)


def split_block(block: Block) -> list[Block]:
    """Return a block in pieces that may stand on different pages: facts and ticks row by row."""
    if isinstance(block, Ticks):
        return [
            replace(block, lines=block.lines[i : i + 2], heading="" if i else block.heading)
            for i in range(0, len(block.lines), 2)
        ]
    if isinstance(block, Facts):
        step = block.columns
        return [
            replace(block, rows=block.rows[i : i + step], heading="" if i else block.heading)
            for i in range(0, len(block.rows), step)
        ]
    if isinstance(block, Group):
        # Alone with their picture as far as they fit, then line by line.
        return [block] if block_height(block) <= BODY_HEIGHT else list(block.lines)
    return [block]


def _clusters(blocks: Sequence[Block]) -> list[list[Block]]:
    """Return blocks with every heading, caution or note joined to what it stands before."""
    clusters: list[list[Block]] = []
    is_open = False
    for block in blocks:
        if is_open:
            clusters[-1].append(block)
        else:
            clusters.append([block])
        is_open = isinstance(block, Heading) or (
            isinstance(block, Line) and block.kind is not LineKind.ACT
        )
    return clusters


class _Filler:
    """Fills page after page; a heading never stands last on its page."""

    def __init__(self, continued: str) -> None:
        self.continued = continued
        self.pages: list[list[Block]] = [[]]
        self.height = 0.0
        self.rows = 0

    def fits(self, blocks: Sequence[Block]) -> bool:
        height = self.height + sum(block_height(block) for block in blocks)
        rows = self.rows + sum(rows_of(block) for block in blocks)
        return height <= BODY_HEIGHT and rows <= LINES_PER_PAGE

    def put(self, block: Block) -> None:
        self.pages[-1].append(block)
        self.height += block_height(block)
        self.rows += rows_of(block)

    def turn(self) -> None:
        if self.pages[-1]:
            self.pages.append([])
        self.height, self.rows = 0.0, 0

    def add(self, section: Section) -> None:
        """Place a section: its heading with the first of its blocks, the rest as it fits."""
        clusters = _clusters(section.blocks)
        head: list[Block] = [Heading(text=section.heading)] if section.heading else []
        first = clusters[0] if clusters else []
        start = first if len(first) > 1 else [piece for b in first for piece in split_block(b)[:1]]
        wanted = [*head, *section.blocks] if section.together else [*head, *start]
        is_begun = self.rows > _SPILL
        if (section.starts_page and is_begun) or not self.fits(wanted):
            self.turn()
        for block in head:
            self.put(block)
        for cluster in clusters:
            self._place(cluster, section)

    def _place(self, cluster: list[Block], section: Section) -> None:
        if self.fits(cluster):
            pieces = [cluster]
        else:
            # Only a block that stands alone may be split; a caution goes with its act.
            whole = len(cluster) > 1 and isinstance(cluster[-1], Line)
            pieces = [cluster] if whole else [[p] for block in cluster for p in split_block(block)]
        for piece in pieces:
            if not self.fits(piece) and self.pages[-1]:
                self.turn()
                if section.heading:
                    self.put(Heading(text=section.heading, continued=self.continued))
            for block in piece:
                self.put(block)


def fill_pages(sections: Sequence[Section], continued: str) -> list[tuple[Block, ...]]:
    """Return the blocks of each page, in order."""
    filler = _Filler(continued)
    for section in sections:
        filler.add(section)
    return [tuple(page) for page in filler.pages if page]
