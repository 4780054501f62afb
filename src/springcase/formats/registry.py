"""
The formats of ours: name, newest version, tables, and the upgrades from older versions.

The room that owns a format registers it when it is imported, so that this room knows none of
them by name and imports nothing above itself.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Final

import msgspec

from springcase.errors import UnknownName

Tables = dict[str, Any]
Upgrade = Callable[[Tables], Tables]

ID_PATTERN: Final = r"^[a-z0-9]+(-[a-z0-9]+)*$"
"""The form of an id: plain words of small letters and figures, joined by hyphens."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Format:
    """One format: its name, newest version, the struct of its tables, and what it is for."""

    name: str
    version: int
    struct: type[msgspec.Struct]
    title: str
    words: str


_FORMATS: Final[dict[str, Format]] = {}
_UPGRADES: Final[dict[tuple[str, int], Upgrade]] = {}


def register_format(
    name: str, struct: type[msgspec.Struct], version: int, *, title: str, words: str
) -> Format:
    """
    Register a format of ours and return it.

    Parameters
    ----------
    name : str
        ``springcase/…``, as the first line of its files says.
    struct : type of msgspec.Struct
        The tables of the newest version, without `format` and `version`.
    version : int
        The newest version. [-]
    title, words : str
        What the schema calls it and says of it.

    Raises
    ------
    RuntimeError
        If another format of that name is registered already (our own fault).
    """
    made = Format(name=name, version=version, struct=struct, title=title, words=words)
    if _FORMATS.setdefault(name, made) != made:
        raise RuntimeError(f"two formats are called {name}")
    return made


def register_upgrade(name: str, from_version: int, function: Upgrade) -> None:
    """
    Register the pure function that turns one version's tables into the next version's.

    Raises
    ------
    RuntimeError
        If that step has an upgrade already (our own fault).
    """
    if _UPGRADES.setdefault((name, from_version), function) is not function:
        raise RuntimeError(f"two upgrades of {name} begin at version {from_version}")


def known_formats() -> Mapping[str, Format]:
    """Return the formats registered so far, by name."""
    return dict(_FORMATS)


def find_format(name: str) -> Format:
    """
    Return a registered format.

    Raises
    ------
    UnknownName
        If no format of that name is registered.
    """
    try:
        return _FORMATS[name]
    except KeyError:
        raise UnknownName(
            "format-unknown", field="format", value=name, right=sorted(_FORMATS)
        ) from None


def upgrade(name: str, version: int, tables: Tables) -> Tables:
    """
    Return tables of an older version as the newest version has them.

    Raises
    ------
    RuntimeError
        If a step between the two versions has no upgrade (our own fault).
    """
    for step in range(version, find_format(name).version):
        function = _UPGRADES.get((name, step))
        if function is None:
            raise RuntimeError(f"{name} version {step} has no upgrade")
        tables = function(tables)
    return tables


def schema(name: str) -> dict[str, Any]:
    """
    Return the JSON Schema of a registered format, `format` and `version` included.

    Raises
    ------
    UnknownName
        If no format of that name is registered.
    """
    known = find_format(name)
    (reference,), components = msgspec.json.schema_components(
        [known.struct], ref_template="#/$defs/{name}"
    )
    definitions = dict(components)
    whole = definitions.pop(str(reference["$ref"]).rsplit("/", 1)[-1])
    head = {"format": {"const": known.name}, "version": {"const": known.version}}
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        **whole,
        "title": known.title,
        "description": known.words,
        "properties": {**head, **whole.get("properties", {})},
        "required": ["format", "version", *whole.get("required", [])],
        "$defs": definitions,
    }
