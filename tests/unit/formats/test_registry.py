"""Formats and their upgrades are known by name, and their schemas say what a file may hold."""

from __future__ import annotations

from typing import Annotated

import msgspec
import pytest

from springcase.errors import UnknownName, UnreadableFile
from springcase.formats import (
    find_format,
    read_document,
    register_format,
    register_upgrade,
    schema,
    upgrade,
)
from springcase.formats.registry import Tables


class Cup(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A table for these tests."""

    size: Annotated[str, msgspec.Meta(description="how much it holds")]
    colour: str = "white"


CUP = register_format("springcase/test-cup", Cup, 3, title="A cup", words="For tests.")


def rename_volume(tables: Tables) -> Tables:
    """Version 1 called the size a volume."""
    return {"size": tables["volume"], **{k: v for k, v in tables.items() if k != "volume"}}


def colour_in_words(tables: Tables) -> Tables:
    """Version 2 numbered its colours."""
    return {**tables, "colour": {1: "red"}[tables["colour"]]}


register_upgrade("springcase/test-cup", 1, rename_volume)
register_upgrade("springcase/test-cup", 2, colour_in_words)


def test_older_version_is_upgraded_step_by_step() -> None:
    """A version 1 file arrives as version 3 tables, and says which version it had."""
    text = b'format = "springcase/test-cup"\nversion = 1\nvolume = "1 L"\ncolour = 1\n'
    document = read_document(text, "springcase/test-cup")

    assert {"size": "1 L", "colour": "red"} == document.tables
    assert 1 == document.version


def test_newest_version_is_left_alone() -> None:
    """A file of the newest version meets no upgrade."""
    text = b'format = "springcase/test-cup"\nversion = 3\nvolume = "1 L"\n'

    assert {"volume": "1 L"} == read_document(text, "springcase/test-cup").tables


def test_newer_version_is_refused() -> None:
    """A file of a version to come is refused with the newest this one reads."""
    text = b'format = "springcase/test-cup"\nversion = 4\n'
    with pytest.raises(UnreadableFile, match=r"\[version-newer\] input: 4 \(right: 3\)"):
        read_document(text, "springcase/test-cup")


def test_missing_upgrade_is_our_fault() -> None:
    """A format whose history has a gap fails loudly instead of reading wrong tables."""
    register_format("springcase/test-gap", Cup, 2, title="A gap", words="For tests.")
    with pytest.raises(RuntimeError, match="springcase/test-gap version 1 has no upgrade"):
        upgrade("springcase/test-gap", 1, {})


def test_two_formats_of_one_name_are_refused() -> None:
    """A second format of the same name, and a second upgrade of one step, are our fault."""
    with pytest.raises(RuntimeError, match="two formats are called springcase/test-cup"):
        register_format("springcase/test-cup", Cup, 2, title="Another", words="For tests.")
    with pytest.raises(RuntimeError, match="begin at version 1"):
        register_upgrade("springcase/test-cup", 1, colour_in_words)


def test_registering_the_same_format_again_changes_nothing() -> None:
    """A module that is imported twice may register its format twice."""
    again = register_format("springcase/test-cup", Cup, 3, title="A cup", words="For tests.")

    assert again == find_format("springcase/test-cup")


def test_schema_has_head_title_and_descriptions() -> None:
    """The JSON Schema names the format, wants its head, and carries our words."""
    made = schema("springcase/test-cup")

    assert ("A cup", "For tests.") == (made["title"], made["description"])
    assert ["format", "version", "size"] == made["required"]
    assert {"const": "springcase/test-cup"} == made["properties"]["format"]
    assert {"const": 3} == made["properties"]["version"]
    assert "how much it holds" == made["properties"]["size"]["description"]
    assert made["additionalProperties"] is False


def test_unknown_format_has_no_schema() -> None:
    """A schema of a format nobody registered is refused by name."""
    with pytest.raises(UnknownName, match=r"\[format-unknown\] format: 'springcase/test-jug'"):
        schema("springcase/test-jug")
