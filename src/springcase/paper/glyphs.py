"""
Which characters the fonts on the sheet can draw.

The PDF is made with the fonts its typesetter carries and no other, so that it is the same on
every machine. A character none of them holds is written as its code point, never dropped.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Final

# Ranges drawn by the serif or by the monospaced sans, in regular and bold; a test sets them all.
DRAWABLE: Final = (
    (0x0020, 0x007E),
    (0x00A0, 0x00AC),
    (0x00AE, 0x017F),
    (0x0384, 0x038A),
    (0x038E, 0x03A1),
    (0x03A3, 0x03CE),
    (0x0400, 0x045F),
    (0x05D0, 0x05EA),
    (0x0621, 0x063A),
    (0x0641, 0x064A),
    (0x0660, 0x0669),
    (0x1E80, 0x1E85),
    (0x2010, 0x2015),
    (0x2018, 0x201E),
    (0x2020, 0x2022),
    (0x2026, 0x2026),
    (0x2030, 0x2030),
    (0x2032, 0x2033),
    (0x2039, 0x203A),
    (0x2070, 0x2070),
    (0x2074, 0x207E),
    (0x2080, 0x208E),
    (0x20AC, 0x20AC),
    (0x2190, 0x2195),
    (0x2200, 0x2220),
    (0x2234, 0x223D),
    (0x2241, 0x2265),
    (0x25A0, 0x25CF),
)


def is_drawable(mark: str) -> bool:
    """Whether the fonts on the sheet hold a character."""
    code = ord(mark)
    return any(low <= code <= high for low, high in DRAWABLE)


@lru_cache(maxsize=4096)
def printable(text: str) -> str:
    """
    Return a text with every character that cannot be drawn written as its code point.

    Examples
    --------
    >>> printable("Höhe 3 ≤ 4 中")
    'Höhe 3 ≤ 4 [U+4E2D]'
    """
    if text.isascii():
        return text
    return "".join(mark if is_drawable(mark) else f"[U+{ord(mark):04X}]" for mark in text)
