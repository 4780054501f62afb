"""The bench sheet as PDF, A4: set from the same document, byte for byte the same each time."""

from __future__ import annotations

import json
import re
from datetime import datetime
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any, Final

import msgspec

from springcase.errors import MissingExtra, SpringcaseError
from springcase.paper.document import Block, Group, Line, SheetDocument, lines_of
from springcase.paper.glyphs import printable
from springcase.paper.pages import MEASURES, below_rows, has_tick_row

if TYPE_CHECKING:
    from typst import Compiler

# Archivable and tagged: the document itself rides along as data in no way that needs a viewer.
STANDARDS: Final = ("a-3a",)
_LONGEST_WORD: Final = 24
_PAGE_COUNT: Final = re.compile(rb"/Type/Pages\s*/Count (\d+)")
_LONG_RUN: Final = re.compile(rf"[^\s\u200b]{{{_LONGEST_WORD}}}")


def write_pdf(document: SheetDocument, *, timestamp: datetime) -> bytes:
    """
    Return the sheet as PDF/A.

    `timestamp` is written into the file; the same document and timestamp give the same bytes.

    Raises MissingExtra where the typesetter is not installed, SpringcaseError if it refuses or
    warns of our own template.
    """
    typst = _load()
    try:
        answer, warnings = _compiler().compile_with_warnings(
            _template(),
            format="pdf",
            sys_inputs={"document": json.dumps(as_data(document), ensure_ascii=False)},
            pdf_standards=list(STANDARDS),
            timestamp=timestamp,
        )
    except typst.TypstError as error:
        raise SpringcaseError("sheet-not-set", field="pdf", value=str(error)) from error
    if warnings:
        said = "; ".join(str(warning) for warning in warnings)
        raise SpringcaseError("sheet-not-set", field="pdf", value=said)
    made: bytes = bytes(answer)  # type: ignore[arg-type]
    found = _PAGE_COUNT.search(made)
    if found is None or int(found.group(1)) != len(document.pages):
        # What the pages were filled by was too small a guess: our own fault, never shown as whole.
        raise SpringcaseError("sheet-not-set", field="pdf", value="longer than its pages")
    return made


def as_data(document: SheetDocument) -> dict[str, Any]:
    """Return a document as plain data for the template, every text in characters it can draw."""
    pages = [
        {
            "title": page.title,
            "label": page.label,
            "blocks": [_block_data(block) for block in page.blocks],
        }
        for page in document.pages
    ]
    data: dict[str, Any] = _drawable(
        {
            "language": document.language,
            "title": document.title,
            "words": dict(document.words),
            "pages": pages,
        }
    )
    # A digest is copied from the page: nothing is put into it.
    data["footer"] = [printable(text) for text in document.footer]
    data["measures"] = dict(MEASURES)
    data["pictures"] = {
        key: {"svg": picture.svg, "words": printable(picture.words)}
        for key, picture in document.pictures.items()
    }
    return data


def _block_data(block: Block) -> dict[str, Any]:
    data: dict[str, Any] = msgspec.to_builtins(block)
    data["type"] = type(block).__name__.lower()
    if isinstance(block, Line):
        data |= _line_data(block)
    elif "lines" in data:
        beside = isinstance(block, Group)
        for line, cells in zip(lines_of(block), data["lines"], strict=True):
            cells |= _line_data(line, beside_picture=beside)
    return data


def _line_data(line: Line, *, beside_picture: bool = False) -> dict[str, Any]:
    """Return how a line is laid out, as its height was counted."""
    return {
        "own_row": has_tick_row(line),
        "below": below_rows(line, beside_picture=beside_picture),
    }


def _drawable(value: Any) -> Any:
    """Return data with every text drawable and breakable, whatever a person typed."""
    if isinstance(value, str):
        return breakable(printable(value))
    if isinstance(value, dict):
        return {key: _drawable(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_drawable(item) for item in value]
    return value


def breakable(text: str) -> str:
    """Return a text whose long unbroken runs may be broken, so that none leaves its column."""
    return _LONG_RUN.sub(lambda run: run.group() + "\u200b", text)


def _load() -> Any:
    """Return the typesetter, or say what to install."""
    try:
        import typst
    except ImportError as error:
        raise MissingExtra(
            "extra-missing",
            field="pdf",
            value="typst",
            right='pip install "springcase[paper]"',
        ) from error
    return typst


@cache
def _template() -> bytes:
    return resources.files("springcase.paper").joinpath("template.typ").read_bytes()


@cache
def _compiler() -> Compiler:
    """Return a typesetter kept warm; no font of this machine is used."""
    # Made from bytes a compiler forgets its input after one use: it is handed in every time.
    compiler: Compiler = _load().Compiler(_template(), ignore_system_fonts=True)
    return compiler
