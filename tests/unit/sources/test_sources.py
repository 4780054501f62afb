"""The register of sources, and every key that is used."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from springcase import sources
from springcase.errors import UnknownName
from springcase.sources import Standing
from springcase.standards import register
from springcase.standards.tables import read_table

ROOT = Path(__file__).resolve().parents[3]
PACKAGE = ROOT / "src" / "springcase"
TABLES = ("threads", "strength", "hexagons", "o_rings", "glands", "rubbers")


def named_sources(value: Any) -> set[str]:
    """Return every source key a table names."""
    if isinstance(value, dict):
        own = {value["source"]} if isinstance(value.get("source"), str) else set()
        return own.union(*(named_sources(inner) for inner in value.values()))
    if isinstance(value, list):
        last = value[-1] if value else None
        own = {last} if isinstance(last, str) and last in register.register() else set()
        return own.union(*(named_sources(inner) for inner in value))
    return set()


def keys_in_docstrings() -> set[str]:
    """Return what looks like a source key in the formula rooms."""
    found: set[str] = set()
    for room in ("bolting", "standards"):
        for file in (PACKAGE / room).glob("*.py"):
            found |= set(re.findall(r"\(`([a-z0-9_]+)`", file.read_text(encoding="utf-8")))
    return found


@pytest.mark.parametrize("name", TABLES)
def test_every_table_names_registered_sources(name: str) -> None:
    """Each source a table names is in the register, and each table names one."""
    named = named_sources(read_table(name))

    assert named != set()
    assert set() == named - set(register.register())


def test_formulas_name_registered_sources() -> None:
    """Each key in the docstring of a formula is in the register."""
    assert set() == keys_in_docstrings() - set(register.register())


def test_the_page_of_sources_is_current() -> None:
    """The committed page is what the register renders."""
    page = (ROOT / "docs" / "sources.md").read_text(encoding="utf-8")

    assert page == register.render_sources()


def test_the_page_groups_by_standing() -> None:
    """The page tells figures from memory and common practice apart from published ones."""
    headings = re.findall(r"^## ([a-z-]+):", register.render_sources(), re.M)

    assert [standing.value for standing in Standing] == headings


def test_an_unknown_source_is_refused() -> None:
    """A key that is not registered is refused."""
    with pytest.raises(UnknownName, match=r"\[source-unknown\] source: 'hearsay'"):
        register.source("hearsay")


def test_a_register_is_read_row_by_row() -> None:
    """A row of the register becomes a source with its standing."""
    text = '[a_1]\ntitle = "T"\nedition = "1"\nlocator = "p. 1"\nstanding = "memory"\n'

    assert Standing.MEMORY is sources.parse_sources(text)["a_1"].standing
