"""
Where figures come from: sources with their edition, and how far each may be trusted.

Every constant, table row and formula of Springcase names a source by key. A figure from memory
or from common practice is shown with that mark and never decides a safety verdict by itself.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from springcase.errors import UnknownName


class Standing(StrEnum):
    """How far a figure may be trusted."""

    PUBLISHED = "published"
    COMPUTED = "computed"
    MEMORY = "memory"
    COMMON_PRACTICE = "common-practice"


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """One source: its key holds the edition wherever an edition is known."""

    key: str
    title: str
    edition: str
    locator: str
    standing: Standing


@dataclass(frozen=True, slots=True, kw_only=True)
class Sourced:
    """A figure in SI with the key of its source and its standing. [SI]"""

    value: float
    source: str
    standing: Standing


def parse_sources(text: str) -> dict[str, Source]:
    """
    Return the sources a register holds, by key.

    Raises KeyError or ValueError for a register that lacks a field: the register is our own
    file, so that is our fault and not the reader's.
    """
    return {
        key: Source(
            key=key,
            title=row["title"],
            edition=row["edition"],
            locator=row["locator"],
            standing=Standing(row["standing"]),
        )
        for key, row in tomllib.loads(text).items()
    }


def find_source(register: Mapping[str, Source], key: str) -> Source:
    """
    Return one source of a register.

    Raises UnknownName for a key that is not in it.
    """
    if key not in register:
        raise UnknownName("source-unknown", field="source", value=key, right="a registered key")
    return register[key]


_STANDING_WORDS = {
    Standing.PUBLISHED: "read in the source or in a public copy of it",
    Standing.COMPUTED: "computed from first principles",
    Standing.MEMORY: "from memory, needs confirmation",
    Standing.COMMON_PRACTICE: "common practice, no source",
}


def render_sources(register: Mapping[str, Source]) -> str:
    """Return the page that lists every source with its edition and standing."""
    lines = [
        "# Sources",
        "",
        "Every figure of Springcase names its source by one of these keys. This page is made from",
        "`src/springcase/standards/sources.toml`; a house test keeps it current.",
        "",
    ]
    for standing in Standing:
        rows = [source for source in register.values() if source.standing is standing]
        if not rows:
            continue
        lines += [
            f"## {standing.value}: {_STANDING_WORDS[standing]}",
            "",
            "| key | title | edition | where |",
            "|---|---|---|---|",
        ]
        lines += [
            f"| `{row.key}` | {row.title} | {row.edition} | {row.locator} |"
            for row in sorted(rows, key=lambda row: row.key)
        ]
        lines.append("")
    return "\n".join(lines).rstrip() + "\n"
