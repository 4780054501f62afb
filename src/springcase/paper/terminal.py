"""
The bench sheet as plain text, a hundred columns wide: no colour, boxes drawn with signs.

With `ascii` every sign is one a bare terminal has, so that it can be mailed or piped anywhere.
"""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from typing import Any, Final

from springcase.paper.document import (
    Block,
    Facts,
    Figure,
    Group,
    Heading,
    Line,
    LineKind,
    Page,
    Reading,
    SheetDocument,
    Ticks,
)

WIDTH: Final = 100
_NUMBER: Final = 6
_FILL: Final = 36
_BLANK: Final = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class _Signs:
    """The signs a terminal draws with."""

    tick: str
    rule: str
    thick: str
    side: str
    corners: tuple[str, str, str, str]
    onward: str
    stack: tuple[str, str]
    between: str


_UNICODE: Final = _Signs(
    tick="☐",
    rule="─",
    thick="━",
    side="┃",
    corners=("┏", "┓", "┗", "┛"),
    onward="▶",
    stack=("⟦", "⟧"),
    between=" · ",
)
_ASCII: Final = _Signs(
    tick="[ ]",
    rule="-",
    thick="=",
    side="|",
    corners=("+", "+", "+", "+"),
    onward=">",
    stack=("[", "]"),
    between=", ",
)
_PLAIN: Final = str.maketrans(
    {
        "·": ".",
        "–": "-",
        "—": "-",
        "×": "x",
        "…": "...",
        "°": " deg",
        "≤": "<=",
        "≥": ">=",
        "±": "+/-",
        "“": '"',
        "”": '"',
        "’": "'",
        "‘": "'",
        "½": "1/2",
        "¼": "1/4",
        "¾": "3/4",
        "²": "2",
        "³": "3",
    }
)


def write_terminal(document: SheetDocument, *, ascii: bool = False) -> str:
    """Return the sheet as text of at most a hundred columns; `ascii` draws with bare signs."""
    writer = _Writer(_in_ascii(document) if ascii else document, _ASCII if ascii else _UNICODE)
    rows = [row for page in writer.document.pages for row in writer.page(page)]
    return "\n".join(row.rstrip() for row in rows) + "\n"


def _in_ascii(value: Any) -> Any:
    """Return a document with every text in ASCII, before rows are measured."""
    if isinstance(value, str):
        return value if value.isascii() else _to_ascii(value)
    if isinstance(value, tuple):
        return tuple(_in_ascii(item) for item in value)
    if isinstance(value, Mapping):
        return {key: _in_ascii(item) for key, item in value.items()}
    if is_dataclass(value) and not isinstance(value, type):
        changed = {part.name: _in_ascii(getattr(value, part.name)) for part in fields(value)}
        return replace(value, **changed)
    return value


def _to_ascii(text: str) -> str:
    """Return a text in ASCII: the nearest sign, or the code point of a letter without one."""
    folded = []
    for mark in text.translate(_PLAIN):
        if mark.isascii():
            folded.append(mark)
            continue
        base = "".join(part for part in unicodedata.normalize("NFKD", mark) if part.isascii())
        folded.append(base or f"\\u{ord(mark):04x}")
    return "".join(folded)


def _cells(text: str) -> int:
    """Return how many columns a text takes: wide letters two, marks that combine none."""
    return sum(
        0 if unicodedata.combining(mark) else 2 if unicodedata.east_asian_width(mark) in "WF" else 1
        for mark in text
    )


def _fit(text: str, width: int) -> str:
    return text + " " * max(0, width - _cells(text))


def _wrap(text: str, width: int) -> list[str]:
    rows: list[str] = []
    for row in textwrap.wrap(text, width, break_on_hyphens=False) or [""]:
        # Wide letters count double; a row of them is cut again by its columns.
        while _cells(row) > width:
            cut = next(end for end in range(len(row), 0, -1) if _cells(row[:end]) <= width)
            rows.append(row[:cut])
            row = row[cut:]
        rows.append(row)
    return rows


class _Writer:
    """Writes blocks as rows of text."""

    def __init__(self, document: SheetDocument, signs: _Signs) -> None:
        self.document = document
        self.signs = signs

    def page(self, page: Page) -> list[str]:
        thick = self.signs.thick * WIDTH
        head = _wrap(page.title, WIDTH - _cells(page.label) - 2)
        head[0] = _fit(head[0], WIDTH - _cells(page.label)) + page.label
        rows = [thick, *head, thick]
        for block in page.blocks:
            rows += self.block(block)
        footer = [row for text in reversed(self.document.footer) for row in _wrap(text, WIDTH)]
        return [*rows, thick, *footer, page.label.rjust(WIDTH), ""]

    def block(self, block: Block) -> list[str]:
        if isinstance(block, Heading):
            more = f" ({block.continued})" if block.continued else ""
            return ["", f"{block.text.upper()}{more}", self.signs.rule * WIDTH]
        if isinstance(block, Facts):
            return self._facts(block)
        if isinstance(block, Ticks):
            heading = ["", block.heading] if block.heading else []
            return [*heading, *(row for line in block.lines for row in self.line(line))]
        if isinstance(block, Group):
            drawn = [" " * _NUMBER + row for row in _wrap(block.caption, WIDTH - _NUMBER)]
            return [*drawn, *(row for line in block.lines for row in self.line(line))]
        if isinstance(block, Figure):
            words = self.document.pictures[block.picture].words
            return ["", *_wrap(block.caption, WIDTH), *_wrap(words, WIDTH)]
        return self.line(block)

    def _facts(self, block: Facts) -> list[str]:
        label = max((_cells(fact.label) for fact in block.rows), default=0)
        label = min(label, 32)
        room = WIDTH - label - 2 - (4 if block.boxed else 0)
        rows: list[str] = []
        for fact in block.rows:
            values = _wrap(fact.value, room) if fact.value else ["_" * min(40, room)]
            labels = _wrap(fact.label, label)
            for index in range(max(len(values), len(labels))):
                left = labels[index] if index < len(labels) else ""
                right = values[index] if index < len(values) else ""
                rows.append(f"{_fit(left, label)}  {right}")
        heading = ["", block.heading] if block.heading else []
        return [*heading, *(self._boxed(rows) if block.boxed else rows)]

    def _boxed(self, rows: Sequence[str], width: int = WIDTH) -> list[str]:
        signs = self.signs
        first, second, third, last = signs.corners
        bar = signs.thick * (width - 2)
        middle = [f"{signs.side} {_fit(row, width - 4)} {signs.side}" for row in rows]
        return [first + bar + second, *middle, third + bar + last]

    def line(self, line: Line) -> list[str]:
        """Return one line of the sheet: number, words and tool, what to fill in at the right."""
        if line.kind is LineKind.CAUTION:
            room = WIDTH - _NUMBER - 4
            words = f"{self.document.words['caution']}  {line.words}"
            rows = self._boxed(_wrap(words, room), WIDTH - _NUMBER)
            indented = [" " * _NUMBER + row for row in rows]
            indented[1] = _fit(line.number, _NUMBER) + rows[1]
            return indented
        if line.kind is LineKind.NOTE:
            words = f"{self.signs.onward} {line.verb} {line.words}"
            return self._beside(line.number, _wrap(words, WIDTH - _NUMBER), [])
        fill = self._fill(line)
        room = WIDTH - _NUMBER - (max(map(_cells, fill)) + 2 if fill else 0)
        opened, closed = self.signs.stack
        parts = f" {opened}{line.parts}{closed}" if line.parts else ""
        words = f"{line.verb} {line.words}{parts}".strip()
        left = _wrap(words, room)
        under = self.signs.between.join(text for text in (line.tool, line.condition) if text)
        for text in (under, *line.details):
            left += [f"  {row}" for row in _wrap(text, room - 2)] if text else []
        return self._beside(line.number, left, fill)

    @staticmethod
    def _beside(number: str, left: Sequence[str], right: Sequence[str]) -> list[str]:
        rows = []
        for index in range(max(len(left), len(right))):
            row = _fit(number if index == 0 else "", _NUMBER)
            row += left[index] if index < len(left) else ""
            if index < len(right):
                row = _fit(row, WIDTH - _cells(right[index])) + right[index]
            rows.append(row)
        return rows

    def _fill(self, line: Line) -> list[str]:
        """Return the rows at the right: torque, reading boxes, choices, ticks."""
        rows: list[str] = []
        if line.torque is not None:
            rows.append(f"{line.torque.large} {line.torque.unit}")
            rows.append("= " + " = ".join(line.torque.others))
        rows += [row for reading in line.readings for row in self._reading(reading)]
        if line.choices:
            rows.append("  ".join(f"{self.signs.tick} {choice}" for choice in line.choices))
        if line.ticks:
            ticks = [self.signs.tick] * line.ticks
            a_row = max(1, (_FILL + 1) // (len(self.signs.tick) + 1))
            tick_rows = [" ".join(ticks[i : i + a_row]) for i in range(0, line.ticks, a_row)]
            # One tick stands at the end of the last reading, where the hand is.
            if line.ticks == 1 and rows and _cells(rows[-1]) + 4 <= _FILL:
                rows[-1] = f"{rows[-1]} {tick_rows[0]}"
            else:
                rows += tick_rows
        return rows

    @staticmethod
    def _reading(reading: Reading) -> list[str]:
        row = " ".join(text for text in (reading.label, "_" * _BLANK, reading.unit) if text)
        return [row] if _cells(row) <= _FILL else _wrap(row, _FILL)
