"""
Which axes stand on which page.

The main axis comes first, with every side axis that fits beside it; what does not fit goes on
the next page, led by its longest axis. An axis too long for a page is cut into equal lots.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

from springcase.assembly.model import Part, Structure
from springcase.assembly.profile import Profile, read_profile
from springcase.paper.stackup.labels import CELL, Label
from springcase.paper.stackup.layout import SIDE_ZONE, PageLayout, Run, lay_page
from springcase.paper.stackup.pen import wrap

MAIN_CELLS: Final = 20
SIDE_CELLS: Final = int(SIDE_ZONE / CELL)
# The least share of the scale the width allows: below it an axis is cut, or goes to another page.
FAIR_ALONE: Final = 0.5
FAIR_WITH_OTHERS: Final = 0.4


@dataclass(frozen=True, slots=True, kw_only=True)
class _Lot:
    """What is left to place of one axis: its parts, and whether some are on an earlier page."""

    axis: str
    parts: tuple[Profile, ...]
    direction: str
    is_continued: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """All a picture needs from the build: axes in order, labels, words, the room on a page."""

    structure: Structure
    labels: Mapping[str, Label]
    words: Mapping[str, str]


def axes_in_order(structure: Structure) -> dict[str, tuple[Profile, ...]]:
    """
    Return the profiles of every axis that has parts, by order along it; main axes first.

    Raises BadInput naming the part and the key where a profile cannot be read.
    """
    profiles = [
        read_profile(part, structure.axes) for part in structure.parts.values() if part.profile
    ]
    axes = sorted(structure.axes, key=lambda axis: bool(structure.axes[axis].get("branch_of")))
    found = {
        axis: tuple(
            sorted(
                (profile for profile in profiles if profile.axis == axis),
                key=lambda profile: (profile.order, profile.part),
            )
        )
        for axis in axes
    }
    return {axis: parts for axis, parts in found.items() if parts}


def not_drawn(structure: Structure) -> list[Part]:
    """Return the parts of the build that have no profile."""
    return [part for part in structure.parts.values() if not part.profile]


def _run(picture: Picture, lot: _Lot, *, is_main: bool) -> Run:
    axis = picture.structure.axes[lot.axis]
    words = picture.words
    name = axis.get("words", lot.axis)
    text = words["axis_continued"].format(words=name) if lot.is_continued else name
    cells = MAIN_CELLS if is_main else SIDE_CELLS
    caption = wrap(text, cells, most=3)
    place: tuple[str, ...] = ()
    at = axis.get("at_part", "")
    if at in picture.structure.parts and not lot.is_continued:
        part = picture.structure.parts[at]
        number = picture.labels[at].number if at in picture.labels else "–"
        key = "axis_at_plain" if number == "–" else "axis_at"
        place = wrap(words[key].format(number=number, words=part.words), cells, most=3)
    return Run(
        axis=lot.axis,
        parts=lot.parts,
        caption=caption,
        place=place,
        direction=lot.direction or "right",
        at_part=at,
    )


def _lay(
    picture: Picture, lots: Sequence[_Lot], top: float, bottom: float, quality: float
) -> PageLayout | None:
    main = _run(picture, lots[0], is_main=True)
    beside = [_run(picture, lot, is_main=False) for lot in lots[1:]]
    return lay_page(main, beside, picture.labels, top=top, bottom=bottom, least_quality=quality)


def _cut(lot: _Lot, pieces: int) -> tuple[_Lot, list[_Lot]]:
    """Return the first of so many equal pieces of a lot, and what is left of it, if anything."""
    size = math.ceil(len(lot.parts) / pieces)
    left = [replace(lot, parts=lot.parts[size:], is_continued=True)]
    return replace(lot, parts=lot.parts[:size]), left if left[0].parts else []


def _leader(waiting: Sequence[_Lot]) -> _Lot:
    """Return who leads the next page: what is left of a cut axis, else the longest axis."""
    cut = [lot for lot in waiting if lot.is_continued]
    return cut[0] if cut else max(waiting, key=lambda lot: len(lot.parts))


def _waits(picture: Picture, lot: _Lot, taken: Sequence[_Lot], later: Sequence[_Lot]) -> bool:
    """Return whether the part an axis springs from is still to be drawn, and not on this page."""
    at = picture.structure.axes[lot.axis].get("at_part", "")
    here = any(profile.part == at for each in taken for profile in each.parts)
    return not here and any(profile.part == at for each in later for profile in each.parts)


def _open_page(
    picture: Picture, lot: _Lot, top: float, bottom: float
) -> tuple[PageLayout, _Lot, list[_Lot]]:
    """Return a page with as much of an axis as it holds, that much, and what is left of it."""
    for pieces in range(1, len(lot.parts) + 1):
        first, left = _cut(lot, pieces)
        page = _lay(picture, [first], top, bottom, FAIR_ALONE)
        if page is not None:
            return page, first, left
    # One part that is poor at any scale is still drawn, as large as the page allows.
    first, left = _cut(lot, len(lot.parts))
    page = _lay(picture, [first], top, bottom, 0.0)
    if page is None:
        raise AssertionError(f"one part does not fit a page: {first.parts[0].part}")
    return page, first, left


def paginate(picture: Picture, *, top: float, bottom: float) -> list[PageLayout]:
    """Return the pages of a picture, every part on exactly one of them."""
    waiting = [
        _Lot(axis=axis, parts=parts, direction=picture.structure.axes[axis].get("direction", ""))
        for axis, parts in axes_in_order(picture.structure).items()
    ]
    pages: list[PageLayout] = []
    while waiting:
        leader = _leader(waiting) if pages else waiting[0]
        page, first, left = _open_page(picture, leader, top, bottom)
        taken = [first]
        for lot in (lot for lot in waiting if lot is not leader):
            larger = None
            if not _waits(picture, lot, taken, [*left, *waiting]):
                larger = _beside(picture, taken, lot, top, bottom)
            if larger is None:
                left.append(lot)
            else:
                page, taken = larger
        pages.append(page)
        waiting = left
    return pages


def _beside(
    picture: Picture, taken: list[_Lot], lot: _Lot, top: float, bottom: float
) -> tuple[PageLayout, list[_Lot]] | None:
    """Return the page with one more axis: on the side it asks for, else on the other."""
    asked = lot.direction or "right"
    for direction in (asked, "left" if asked == "right" else "right"):
        lots = [*taken, replace(lot, direction=direction)]
        page = _lay(picture, lots, top, bottom, FAIR_WITH_OTHERS)
        if page is not None:
            return page, lots
    return None
