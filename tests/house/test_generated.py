"""Generated pages are current, and every command is documented."""

from __future__ import annotations

import pytest
from tools.docs import GENERATED

from house.tree import ROOT
from springcase.cli.registry import COMMANDS


@pytest.mark.parametrize("name", GENERATED)
def test_a_generated_file_is_current(name: str) -> None:
    """A generated file is byte for byte what the generator writes now (else: make docs)."""
    assert GENERATED[name]() == (ROOT / name).read_text(encoding="utf-8")


@pytest.mark.parametrize("command", COMMANDS, ids=lambda command: command.name)
def test_a_command_is_documented(command: object) -> None:
    """Each command has its section, with its usage line, on the reference page."""
    page = (ROOT / "docs" / "reference" / "cli.md").read_text(encoding="utf-8")
    name = getattr(command, "name", "")

    assert f"\n## springcase {name}\n" in page
    assert f"usage: springcase {name} " in page
