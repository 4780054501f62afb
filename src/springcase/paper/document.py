"""
The bench sheet as data: pages of blocks, lines of cells, pictures by id.

Every door (terminal, HTML, PDF) renders these values and adds no word of its own: each text
here was made from the catalogue, and each tick, torque and reading box stands in its own cell.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Final

LINES_PER_PAGE: Final = 25
LONGEST_TEXT: Final = 320
# Left-to-right and right-to-left overrides and isolates: they can reorder the words around them.
_REORDERING: Final = frozenset(
    "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
)


class LineKind(StrEnum):
    """What a line is: an act to tick, a caution before an act, or a note that leads on."""

    ACT = "act"
    CAUTION = "caution"
    NOTE = "note"


@dataclass(frozen=True, slots=True, kw_only=True)
class Torque:
    """A torque as the wrench shows it, large, and the other two units once."""

    large: str
    unit: str
    others: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """A box to write in: what goes in it, and its unit."""

    label: str = ""
    unit: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """
    One line of the sheet.

    `step` is the id of the plan's step (empty for a line the sheet adds), `parts` the stack-up
    numbers, `condition` dry or lubricated, `ticks` the number of boxes, `choices` boxes of which
    one is ticked.
    """

    kind: LineKind = LineKind.ACT
    number: str = ""
    step: str = ""
    verb: str = ""
    words: str = ""
    parts: str = ""
    tool: str = ""
    condition: str = ""
    details: tuple[str, ...] = ()
    torque: Torque | None = None
    ticks: int = 0
    choices: tuple[str, ...] = ()
    readings: tuple[Reading, ...] = ()
    picture: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Heading:
    """A heading on a page; `continued` where its lines began on the page before."""

    text: str
    continued: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Fact:
    """A label and its value; an empty value is a rule to write on."""

    label: str
    value: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """Facts in columns, in a heavy box where `boxed`."""

    rows: tuple[Fact, ...]
    heading: str = ""
    boxed: bool = False
    columns: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Ticks:
    """Short lines with one tick each, in two columns."""

    lines: tuple[Line, ...]
    heading: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """Lines that are worked with one picture beside them, and the words under it."""

    picture: str
    caption: str
    lines: tuple[Line, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Figure:
    """A picture that fills the page."""

    picture: str
    caption: str


Block = Line | Heading | Facts | Ticks | Group | Figure


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """A drawing as SVG text, and the words that stand for it where it cannot be drawn."""

    svg: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Page:
    """One page: which sheet it belongs to, its blocks, and what its footer says of its number."""

    number: int
    title: str
    blocks: tuple[Block, ...]
    label: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetDocument:
    """The whole bench sheet, ready for any door."""

    language: str
    title: str
    footer: tuple[str, ...]
    words: Mapping[str, str]
    pages: tuple[Page, ...]
    pictures: Mapping[str, Picture]


def lines_of(block: Block) -> tuple[Line, ...]:
    """Return the lines a block holds."""
    if isinstance(block, Line):
        return (block,)
    if isinstance(block, Ticks | Group):
        return block.lines
    return ()


def all_lines(document: SheetDocument) -> Iterator[Line]:
    """Yield every line of the sheet in the order of the pages."""
    for page in document.pages:
        for block in page.blocks:
            yield from lines_of(block)


def rows_of(block: Block) -> int:
    """Return how many of a page's lines a block takes; headings are none. [-]"""
    if isinstance(block, Heading):
        return 0
    if isinstance(block, Ticks):
        return -(-len(block.lines) // 2)
    if isinstance(block, Facts):
        return -(-len(block.rows) // block.columns)
    return max(1, len(lines_of(block)))


def clean(text: str) -> str:
    """
    Return a text fit to stand in one cell: no control or reordering marks, one line, bounded.

    A text longer than a cell may hold ends in an ellipsis, so that the cut can be seen.
    """
    kept = "".join(
        " " if unicodedata.category(mark) in ("Cc", "Cs", "Co", "Cn", "Zl", "Zp") else mark
        for mark in unicodedata.normalize("NFC", text[: 4 * LONGEST_TEXT])
        if mark not in _REORDERING
    )
    joined = " ".join(kept.split())
    return joined if len(joined) <= LONGEST_TEXT else joined[: LONGEST_TEXT - 1].rstrip() + "…"
