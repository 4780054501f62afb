"""Draws the stack-up picture of a build, one SVG a page."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import replace
from typing import Final
from xml.sax.saxutils import escape

from springcase.assembly.model import PartKind, Structure
from springcase.errors import UnknownName
from springcase.paper.stackup.figure import LEAST_HEIGHT
from springcase.paper.stackup.hatch import MATERIALS
from springcase.paper.stackup.labels import CELL, LETTER, LINE, Label, make_label
from springcase.paper.stackup.layout import HEIGHT, WIDTH, PageLayout
from springcase.paper.stackup.legend import Legend, legend_group, make_legend
from springcase.paper.stackup.pages import Picture, axes_in_order, not_drawn, paginate
from springcase.paper.stackup.pen import num, polyline, printable, wrap
from springcase.paper.stackup.svg import (
    FONT,
    THIN,
    axis_group,
    centre_line,
    label_group,
    leader_group,
    part_group,
    path,
    patterns,
    text,
    used,
)
from springcase.paper.stackup.words import load_words

TITLE: Final = 4.6
TITLE_CELL: Final = 0.602 * TITLE


def draw_stack_up(
    structure: Structure,
    numbers: Mapping[str, int],
    *,
    highlight: Collection[str] = (),
    done: Collection[str] = (),
    language: str = "en",
) -> tuple[str, ...]:
    """
    Return the stack-up picture of a build: one stand-alone SVG a page, 180 by 247 mm.

    `numbers` are the rebuild numbers by part id; a part without one gets a dash. A part both
    highlighted and done is shown highlighted. A build without profiles gives no page.

    Raises BadInput naming part and key for a profile that cannot be drawn, UnknownName for a
    number, highlight or done mark of a part the build lacks.
    """
    words = load_words(language)
    _check_parts(structure, {"numbers": numbers, "highlight": highlight, "done": done})
    axes = axes_in_order(structure)
    states = dict.fromkeys(done, "done") | dict.fromkeys(highlight, "highlight")
    labels = {
        profile.part: make_label(
            structure.parts[profile.part],
            numbers.get(profile.part),
            state=states.get(profile.part, ""),
            words=words,
        )
        for parts in axes.values()
        for profile in parts
    }
    picture = Picture(structure=structure, labels=labels, words=words)
    heading = _heading(picture)
    legend = _legend(picture, numbers)
    layouts = paginate(picture, top=_heading_height(heading), bottom=HEIGHT - legend.height)
    drawn = [part for page in layouts for axis in page.axes for part in axis.parts]
    if not any(part.figure.shortened for part in drawn):
        legend = replace(legend, marks=tuple(mark for mark in legend.marks if mark != "shortened"))
    return tuple(_page(picture, layouts, index, heading, legend) for index in range(len(layouts)))


def _check_parts(structure: Structure, named: Mapping[str, Collection[str]]) -> None:
    for field, parts in named.items():
        for part in sorted(parts):
            if part not in structure.parts:
                raise UnknownName(
                    "picture-part-unknown",
                    field=field,
                    value=part,
                    right=", ".join(sorted(structure.parts)),
                )


def _heading(picture: Picture) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the title lines and the lines that say which build is drawn."""
    structure, words = picture.structure, picture.words
    title = words["title"].format(name=structure.name, words=structure.words)
    unusual = [
        f"{structure.option_words.get(option, option)} "
        f"{structure.value_words.get(option, structure.options.get(option, ''))}"
        for option in structure.unusual
    ]
    what = "; ".join(unusual)
    build = words["unusual_build"].format(what=what) if unusual else words["plain_build"]
    room = int((WIDTH - 50) / TITLE_CELL)
    return (
        wrap(title, room, most=2),
        (*wrap(build, int(WIDTH / CELL), most=3), words["number_text"]),
    )


def _heading_height(heading: tuple[tuple[str, ...], tuple[str, ...]]) -> float:
    return len(heading[0]) * 6.4 + len(heading[1]) * LINE + 2.5


def _legend(picture: Picture, numbers: Mapping[str, int]) -> Legend:
    """Return the legend of the whole picture; every page carries the same one."""
    structure, words = picture.structure, picture.words
    drawn = [structure.parts[part] for part in picture.labels]
    marks = {"soft"} if any(part.kind is PartKind.SOFT for part in drawn) else set()
    marks |= {label.state for label in picture.labels.values() if label.state}
    if any(part.profile["shape"] == "spring" for part in drawn):
        marks.add("wire")
    # Room is kept for this mark before it is known whether any part is drawn shorter.
    marks.add("shortened")
    notes = [words["note_half"], words["note_least"].format(least=num(LEAST_HEIGHT))]
    absent = [
        f"{numbers[part.id]} {part.words}" if part.id in numbers else part.words
        for part in not_drawn(structure)
    ]
    if absent:
        notes.append(words["note_not_drawn"].format(parts=", ".join(absent)))
    materials = {part.material for part in drawn if part.profile["shape"] != "spring"}
    return make_legend(materials=used(materials, MATERIALS), marks=marks, notes=notes)


def _page(
    picture: Picture,
    layouts: list[PageLayout],
    index: int,
    heading: tuple[tuple[str, ...], tuple[str, ...]],
    legend: Legend,
) -> str:
    layout, page = layouts[index], index + 1
    structure, words = picture.structure, picture.words
    parts = [part for axis in layout.axes for part in axis.parts]
    pieces = [
        axis_group(axis, words, _goes_on(picture, layouts, index, axis.run.axis))
        for axis in layout.axes
    ]
    pieces += [leader_group(placed) for placed in layout.labels]
    pieces += [
        part_group(
            drawn,
            structure.parts[drawn.profile.part],
            state=picture.labels[drawn.profile.part].state,
            number=picture.labels[drawn.profile.part].number,
            page=page,
        )
        for drawn in parts
    ]
    pieces += [centre_line(axis) for axis in layout.axes]
    pieces += [label_group(placed, words) for placed in layout.labels]
    pieces.append(legend_group(legend, HEIGHT - legend.height, page, words))
    title = words["title"].format(name=structure.name, words=structure.words)
    listed = ", ".join(
        _listed(picture.labels[drawn.profile.part], structure.parts[drawn.profile.part].words)
        for drawn in parts
    )
    return _document(
        page,
        title=f"{title}, {words['kind']}",
        description=words["description"].format(parts=listed),
        definitions=patterns(page, legend.materials),
        inside=_head(heading, words, page, len(layouts)) + "".join(pieces),
    )


def _listed(label: Label, words: str) -> str:
    return f"{label.number} {words}"


def _goes_on(picture: Picture, layouts: list[PageLayout], index: int, axis: str) -> str:
    """Return the words under an axis that goes on at a later page, else nothing."""
    for later in range(index + 1, len(layouts)):
        if any(drawn.run.axis == axis for drawn in layouts[later].axes):
            return picture.words["axis_goes_on"].format(page=later + 1)
    return ""


def _head(
    heading: tuple[tuple[str, ...], tuple[str, ...]],
    words: Mapping[str, str],
    page: int,
    pages: int,
) -> str:
    title, build = heading
    pieces = [
        text(0, 4.6 + number * 6.4, line, bold=True, size=TITLE)
        for number, line in enumerate(title)
    ]
    corner = words["kind"] if pages == 1 else words["page"].format(page=page, pages=pages)
    pieces.append(text(WIDTH, 4.6, corner, anchor="end", bold=True))
    base = len(title) * 6.4 + 2.8
    pieces += [text(0, base + number * LINE, line) for number, line in enumerate(build)]
    bottom = _heading_height(heading) - 1.0
    pieces.append(path(polyline([(0, bottom), (WIDTH, bottom)]), width=THIN))
    return "".join(pieces)


def _document(page: int, *, title: str, description: str, definitions: str, inside: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{num(WIDTH)}mm" '
        f'height="{num(HEIGHT)}mm" viewBox="0 0 {num(WIDTH)} {num(HEIGHT)}" role="img" '
        f'aria-labelledby="p{page}-title p{page}-desc" font-family="{FONT}" '
        f'font-size="{num(LETTER)}" fill="#000">'
        f'<title id="p{page}-title">{escape(printable(title))}</title>'
        f'<desc id="p{page}-desc">{escape(printable(description))}</desc>'
        f"<defs>{definitions}</defs>"
        f'<rect width="{num(WIDTH)}" height="{num(HEIGHT)}" fill="#fff"/>{inside}</svg>\n'
    )
