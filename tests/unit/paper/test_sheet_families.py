"""The bench sheets of the five demo families, with their stack-up pictures."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime
from functools import cache

import pypdfium2
import pytest

from springcase.assembly.expand import build_structure
from springcase.assembly.family_file import read_family
from springcase.assembly.model import Plan, Structure
from springcase.paper.document import LINES_PER_PAGE, Picture, SheetDocument, all_lines, rows_of
from springcase.paper.given import Drawings
from springcase.paper.html import write_html
from springcase.paper.numbering import stack_numbers
from springcase.paper.pdf import write_pdf
from springcase.paper.stackup import draw_stack_up
from springcase.paper.terminal import write_terminal
from springcase.scenario import family_path
from unit.paper.sheet_unit import draw_sheet, plan_unit

FAMILIES = ("alder", "birch", "cedar", "dogwood", "elm")
SCOPES = ("change-spring", "soft-parts", "overhaul")
STAMP = datetime(2026, 11, 25, tzinfo=UTC)


@cache
def make(family: str, scope: str) -> tuple[Structure, Plan, SheetDocument]:
    """Return a family's plain build, the plan of a scope and its sheet."""
    structure = build_structure(read_family(family_path(family)))
    plan = plan_unit(structure, scope)
    svgs = draw_stack_up(structure, stack_numbers(structure, plan))
    pictures = tuple(Picture(svg=svg, words="stack-up") for svg in svgs)
    document = draw_sheet(structure, plan, drawings=Drawings(stack_up={"": pictures}))
    return structure, plan, document


@pytest.mark.parametrize("scope", SCOPES)
@pytest.mark.parametrize("family", FAMILIES)
def test_a_family_sheet_is_whole(family: str, scope: str) -> None:
    """Every step stands once, no page is crowded, and the PDF has the pages counted."""
    _, plan, document = make(family, scope)
    counted = Counter(line.step for line in all_lines(document) if line.step)
    pages = pypdfium2.PdfDocument(write_pdf(document, timestamp=STAMP))

    assert counted == Counter(step.id for step in plan.steps)
    assert max(sum(map(rows_of, page.blocks)) for page in document.pages) <= LINES_PER_PAGE
    assert len(pages) == len(document.pages)


@pytest.mark.parametrize("family", FAMILIES)
def test_a_family_sheet_reads_the_same_at_every_door(family: str) -> None:
    """Web page and terminal hold every line number and verb of the document."""
    _, _, document = make(family, "soft-parts")
    html = write_html(document)
    text = write_terminal(document)
    wanted = [line for line in all_lines(document) if line.verb]

    assert [line.number for line in wanted if f'"number">{line.number}<' not in html] == []
    assert [line.number for line in wanted if f"{line.number} " not in text] == []
    assert [line.verb for line in wanted if line.verb not in text or line.verb not in html] == []


def test_a_pilot_operated_family_has_two_sheets() -> None:
    """Dogwood's pilot is worked on pages of its own; the other families have one sheet each."""
    sheets = {
        family: {page.title.rsplit(" · ", 1)[1] for page in make(family, "overhaul")[2].pages}
        for family in FAMILIES
    }

    assert sheets.pop("dogwood") == {"main valve", "Pilot"}
    assert set(map(frozenset, sheets.values())) == {frozenset({"whole unit"})}
