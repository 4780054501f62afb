"""The pages are linked, numbered and current."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from house.tree import ROOT, name_of, texts, tracked_files

DECISIONS = sorted((ROOT / "docs" / "decisions").glob("*.md"))
SECTIONS = ("## Context", "## Choice", "## Alternatives", "## What would change our mind")


def broken_links(name: str, text: str) -> list[str]:
    """List the relative links of a page that lead nowhere."""
    links = re.findall(r"\]\(([^)\s]+)\)", text)
    local = [link.split("#")[0] for link in links if not re.match(r"[a-z]+:", link)]
    return [
        f"{name}: {link}"
        for link in local
        if link and not (ROOT / name).parent.joinpath(link).exists()
    ]


def test_every_link_resolves() -> None:
    """Each relative link of each page leads to a file of this checkout."""
    broken = [link for name, text in texts(".md") for link in broken_links(name, text)]

    assert [] == broken


def test_a_planted_broken_link_is_found() -> None:
    """A link that leads nowhere is found."""
    assert ["docs/a.md: none.md"] == broken_links("docs/a.md", "[x](none.md) [y](index.md)")


def test_decisions_are_numbered_without_gaps() -> None:
    """Decisions are numbered 0001 onwards, none left out and none doubled."""
    numbers = [int(path.name[:4]) for path in DECISIONS]

    assert list(range(1, len(numbers) + 1)) == numbers


@pytest.mark.parametrize("path", DECISIONS, ids=lambda path: path.stem)
def test_a_decision_has_its_sections(path: Path) -> None:
    """A decision bears its number, status and the four sections, in at most 80 lines."""
    text = path.read_text(encoding="utf-8")

    assert text.startswith(f"# {int(path.name[:4])}. ")
    assert re.search(r"^Status: (accepted|replaced by \d{4})\.$", text, re.M)
    assert [text.count(section) for section in SECTIONS] == [1, 1, 1, 1]
    assert text.count("\n") <= 80


def test_every_page_can_be_reached_from_the_index() -> None:
    """Every page below docs is linked from the index, or is one of the decisions."""
    index = (ROOT / "docs" / "index.md").read_text(encoding="utf-8")
    linked = {(ROOT / "docs" / link).resolve() for link in re.findall(r"\]\(([^)#]+)\)", index)}
    pages = {p for p in tracked_files() if p.suffix == ".md" and ROOT / "docs" in p.parents}
    lost = {p for p in pages if p not in linked and p.parent.name != "decisions"}

    assert set() == {name_of(p) for p in lost if p.name != "index.md"}
