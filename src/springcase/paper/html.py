"""
The bench sheet as one web page: no script, nothing fetched, readable in the dark and on paper.

Ticks are check boxes and readings are text fields, so that it can be filled in on a tablet and
printed; nothing is sent anywhere.
"""

from __future__ import annotations

import base64
from collections.abc import Iterable
from html import escape
from typing import Final

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
from springcase.paper.style import STYLE

# Nothing may be loaded, run or sent; only our own style and the drawings inside the page.
_POLICY: Final = (
    "default-src 'none'; style-src 'unsafe-inline'; img-src data:; form-action 'none'; "
    "base-uri 'none'"
)


def write_html(document: SheetDocument) -> str:
    """Return the sheet as one self-contained web page."""
    writer = _Writer(document)
    pages = "\n".join(writer.page(page) for page in document.pages)
    contents = "".join(
        f'<li><a href="#page-{page.number}">{escape(page.label)}: {escape(_about(page))}</a></li>'
        for page in document.pages
    )
    words = document.words
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(document.language)}">\n<head>\n'
        '<meta charset="utf-8">\n'
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        '<meta name="color-scheme" content="light dark">\n'
        f"<title>{escape(document.title)}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n"
        f"<header><h1>{_text(document.title)}</h1></header>\n"
        f'<nav aria-label="{escape(words["page-list"])}"><ol>{contents}</ol></nav>\n'
        f"<main>\n{pages}\n</main>\n</body>\n</html>\n"
    )


def _about(page: Page) -> str:
    """Return what a page is about: its title and its headings."""
    headings = [block.text for block in page.blocks if isinstance(block, Heading)]
    captions = [block.caption.split(".")[0] for block in page.blocks if isinstance(block, Figure)]
    return ", ".join(dict.fromkeys([page.title.rsplit(" · ", 1)[-1], *headings, *captions]))


def _text(text: str) -> str:
    # A person's text keeps its own direction and cannot turn the words around it.
    return f"<bdi>{escape(text)}</bdi>"


class _Writer:
    """Writes blocks; every field gets an id of its own."""

    def __init__(self, document: SheetDocument) -> None:
        self.document = document
        self.words = document.words
        self.fields = 0

    def page(self, page: Page) -> str:
        body = []
        lines: list[Line] = []
        for block in page.blocks:
            if isinstance(block, Line):
                lines.append(block)
                continue
            body.append(self._list(lines))
            lines = []
            body.append(self.block(block))
        body.append(self._list(lines))
        footer = "".join(f"<p>{_text(text)}</p>" for text in reversed(self.document.footer))
        return (
            f'<section class="page" id="page-{page.number}" '
            f'aria-label="{escape(page.title)}, {escape(page.label)}">\n'
            f'<p class="head"><b>{_text(page.title)}</b> <span>{escape(page.label)}</span></p>\n'
            + "\n".join(part for part in body if part)
            + f'\n<footer>{footer}<p class="label">{escape(page.label)}</p></footer>\n</section>'
        )

    def block(self, block: Block) -> str:
        if isinstance(block, Heading):
            more = f" <small>({escape(block.continued)})</small>" if block.continued else ""
            return f"<h2>{_text(block.text)}{more}</h2>"
        if isinstance(block, Facts):
            return self._facts(block)
        if isinstance(block, Ticks):
            heading = f"<h3>{_text(block.heading)}</h3>" if block.heading else ""
            return heading + self._list(block.lines, "pairs")
        if isinstance(block, Group):
            return (
                f'<div class="group">{self._picture(block.picture, block.caption)}'
                f"{self._list(block.lines)}</div>"
            )
        if isinstance(block, Figure):
            picture = self.document.pictures[block.picture]
            return (
                f'<figure class="whole"><figcaption>{_text(block.caption)}</figcaption>'
                f"{_image(picture.svg, picture.words)}</figure>"
            )
        return self._list([block])

    def _picture(self, key: str, caption: str = "") -> str:
        picture = self.document.pictures[key]
        below = f"<figcaption>{_text(caption)}</figcaption>" if caption else ""
        return f"<figure>{_image(picture.svg, picture.words)}{below}</figure>"

    def _list(self, lines: Iterable[Line], kind: str = "lines") -> str:
        items = "\n".join(self._line(line) for line in lines)
        # The number is part of the line, not a marker that a reader may skip.
        return f'<ul class="{kind}" role="list">\n{items}\n</ul>' if items else ""

    def _facts(self, block: Facts) -> str:
        heading = f"<h3>{_text(block.heading)}</h3>" if block.heading else ""
        rows = []
        for fact in block.rows:
            if fact.value:
                rows.append(f"<div><dt>{_text(fact.label)}</dt><dd>{_text(fact.value)}</dd></div>")
            else:
                key = self._key()
                rows.append(
                    f'<div><dt><label for="{key}">{_text(fact.label)}</label></dt>'
                    f'<dd><input type="text" id="{key}" autocomplete="off"></dd></div>'
                )
        boxed = " boxed" if block.boxed else ""
        return f'{heading}<dl class="facts columns-{block.columns}{boxed}">{"".join(rows)}</dl>'

    def _key(self) -> str:
        self.fields += 1
        return f"f{self.fields}"

    def _line(self, line: Line) -> str:
        number = f'<span class="number">{escape(line.number)}</span>'
        named = f' id="step-{escape(line.step, quote=True)}"' if line.step else ""
        if line.kind is LineKind.CAUTION:
            return (
                f'<li class="caution"{named}>{number}<p><strong>{escape(self.words["caution"])}'
                f"</strong> {_text(line.words)}</p></li>"
            )
        verb = f"<b>{escape(line.verb)}</b> " if line.verb else ""
        if line.kind is LineKind.NOTE:
            return f'<li class="note"{named}>{number}<p>{verb}{_text(line.words)}</p></li>'
        parts = ""
        if line.parts:
            parts = (
                f' <span class="stack"><span class="unseen">{escape(self.words["stack-number"])} '
                f"</span>{escape(line.parts)}</span>"
            )
        rows = [f"<strong>{_text(line.condition)}</strong>"] if line.condition else []
        rows += [_text(detail) for detail in line.details]
        details = "".join(f'<p class="detail">{row}</p>' for row in rows)
        tool = f'<p class="tool">{_text(line.tool)}</p>' if line.tool else ""
        picture = self._picture(line.picture) if line.picture and not line.torque else ""
        return (
            f'<li class="act"{named}>{number}<div class="do">'
            f"<p>{verb}{_text(line.words)}{parts}</p>"
            f'{details}</div>{tool}{picture}<div class="fill">{self._fill(line)}</div></li>'
        )

    def _fill(self, line: Line) -> str:
        """Return torque, reading fields, choices and ticks of a line."""
        parts = []
        if line.torque is not None:
            torque = line.torque
            others = " = ".join(escape(other) for other in torque.others)
            parts.append(
                f'<p class="torque"><span class="unseen">{escape(self.words["torque"])} </span>'
                f"<b>{escape(torque.large)}</b> <b class=unit>{escape(torque.unit)}</b>"
                f"<span>= {others}</span></p>"
            )
        parts += [self._reading(reading, line) for reading in line.readings]
        if line.choices:
            parts.append(self._choices(line))
        if line.ticks:
            parts.append(self._ticks(line))
        return "".join(parts)

    def _name(self, line: Line, *more: str) -> str:
        """Return what a field is called when it is read aloud: its line first."""
        texts = [self.words["line"], line.number, *more, line.verb, line.words]
        return escape(" ".join(text for text in texts if text), quote=True)

    def _reading(self, reading: Reading, line: Line) -> str:
        key = self._key()
        label = reading.label or self.words["open-box"]
        unseen = "" if reading.label else ' class="unseen"'
        unit = f'<span class="unit">{_text(reading.unit)}</span>' if reading.unit else ""
        name = self._name(line, label, reading.unit)
        return (
            f'<p class="reading"><label for="{key}"{unseen}>{_text(label)}</label>'
            f'<input type="text" id="{key}" aria-label="{name}" autocomplete="off">{unit}</p>'
        )

    def _choices(self, line: Line) -> str:
        group = self._key()
        boxes = "".join(
            f'<label><input type="radio" name="{group}">{_text(choice)}</label>'
            for choice in line.choices
        )
        return f'<fieldset><legend class="unseen">{self._name(line)}</legend>{boxes}</fieldset>'

    def _ticks(self, line: Line) -> str:
        boxes = "".join(
            f'<input type="checkbox" aria-label="{self._name(line, self.words["tick"], place)}">'
            for place in self._places(line.ticks)
        )
        return f'<p class="ticks">{boxes}</p>'

    @staticmethod
    def _places(ticks: int) -> list[str]:
        return [""] if ticks == 1 else [f"{place}/{ticks}" for place in range(1, ticks + 1)]


def _image(svg: str, words: str) -> str:
    data = base64.b64encode(svg.encode()).decode()
    return f'<img src="data:image/svg+xml;base64,{data}" alt="{escape(words, quote=True)}">'
