"""Path text and number text of the drawing. Lengths in millimetres on paper."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from functools import lru_cache
from typing import Final

_BEFORE_UNIT: Final = re.compile(r"(?<=\d) (?=(?:mm|m|in|kg|mbar|bar)\b)")
_SPACES: Final = re.compile(r"[ \t\r\n]+")

Point = tuple[float, float]


# The same coordinates come back on every trial of a layout.
@lru_cache(maxsize=1 << 15)
def num(value: float) -> str:
    """Return a length rounded to 0.01 mm, without trailing zeros or a negative zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def polygon(points: Sequence[Point]) -> str:
    """Return the path of a closed polygon."""
    return polyline(points) + "Z"


def polyline(points: Sequence[Point]) -> str:
    """Return the path of an open line through the points."""
    return "M" + "L".join(f"{num(x)} {num(y)}" for x, y in points)


def box(x0: float, y0: float, x1: float, y1: float) -> str:
    """Return the path of an upright rectangle."""
    return polygon([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def circle(x: float, y: float, radius: float) -> str:
    """Return the path of a circle."""
    r = num(radius)
    return (
        f"M{num(x - radius)} {num(y)}A{r} {r} 0 1 1 {num(x + radius)} {num(y)}"
        f"A{r} {r} 0 1 1 {num(x - radius)} {num(y)}Z"
    )


def columns(text: str) -> int:
    """Return how many character cells a text takes in the drawing's even-width lettering."""
    cells = 0
    for character in text:
        if unicodedata.combining(character):
            continue
        cells += 2 if unicodedata.east_asian_width(character) in "WF" else 1
    return cells


def wrap(text: str, width: int, *, first: int | None = None, most: int = 99) -> tuple[str, ...]:
    """
    Return the text in lines of at most `width` cells, the first of at most `first`.

    A word longer than a line is cut; text beyond `most` lines ends in an ellipsis.
    """
    lines: list[str] = []
    line = ""
    room = width if first is None else first
    # A figure keeps its unit: "10 mm" is one word.
    glued = _BEFORE_UNIT.sub("\u00a0", text)
    for word in _SPACES.split(glued.strip(" \t\r\n")):
        while word:
            joined = f"{line} {word}" if line else word
            if columns(joined) <= room:
                line, word = joined, ""
            elif line:
                lines.append(line)
                line, room = "", width
            else:
                head = _head(word, room)
                lines.append(head)
                word, room = word[len(head) :], width
    if line:
        lines.append(line)
    if len(lines) > most:
        lines = [*lines[: most - 1], _head(lines[most - 1], width - 1) + "…"]
    return tuple(lines)


def _head(word: str, room: int) -> str:
    end = 1
    while end < len(word) and columns(word[: end + 1]) <= room:
        end += 1
    return word[:end]


def segments_cross(a: Point, b: Point, c: Point, d: Point) -> bool:
    """Return whether the segments ab and cd have a point in common."""

    def turn(p: Point, q: Point, r: Point) -> float:
        return (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])

    def within(p: Point, q: Point, r: Point) -> bool:
        return all(min(p[i], q[i]) <= r[i] <= max(p[i], q[i]) for i in (0, 1))

    one, two, three, four = turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b)
    if (
        ((one > 0) != (two > 0))
        and ((three > 0) != (four > 0))
        and 0 not in (one, two, three, four)
    ):
        return True
    return (
        (one == 0 and within(a, b, c))
        or (two == 0 and within(a, b, d))
        or (three == 0 and within(c, d, a))
        or (four == 0 and within(c, d, b))
    )


def printable(text: str) -> str:
    """Return the text with every character that XML cannot hold replaced."""
    return "".join(
        character
        if character in "\t\n\r"
        or "\x20" <= character <= "\ud7ff"
        or "\ue000" <= character <= "\ufffd"
        or character >= "\U00010000"
        else "\ufffd"
        for character in text
    )
