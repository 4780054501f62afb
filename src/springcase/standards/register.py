"""The register of sources that ships with Springcase, and its printed page."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from springcase import sources
from springcase.sources import Source, Standing

_FILE = Path(__file__).with_name("sources.toml")


@cache
def register() -> dict[str, Source]:
    """Return every registered source by key."""
    return sources.parse_sources(_FILE.read_text(encoding="utf-8"))


def source(key: str) -> Source:
    """
    Return one registered source.

    Raises UnknownName for a key that is not registered.
    """
    return sources.find_source(register(), key)


def standing(key: str) -> Standing:
    """
    Return how far figures of one source may be trusted.

    Raises UnknownName for a key that is not registered.
    """
    return source(key).standing


def render_sources() -> str:
    """Return the text of `docs/sources.md`."""
    return sources.render_sources(register())
