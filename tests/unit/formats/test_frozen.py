"""A frozen example of every released version of every format reads for ever."""

from __future__ import annotations

import importlib
import tomllib
from pathlib import Path

import pytest

from springcase.cli import schema_command
from springcase.formats import convert_table, find_format, known_formats, read_document

FOLDER = Path(__file__).parents[2] / "frozen" / "formats"
# Each room registers its format when it is imported.
OWNERS = [importlib.import_module(name) for name in schema_command.OWNERS.values()]
EXAMPLES = sorted(FOLDER.glob("*.toml"))


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_frozen_example_reads(path: Path) -> None:
    """A frozen example reads, and converts to the newest tables without a problem."""
    name = tomllib.loads(path.read_text("utf-8"))["format"]
    document = read_document(path, name)
    value, problems = convert_table(document.tables, find_format(name).struct, "")

    assert [] == problems
    assert value is not None
    assert path.stem == f"{name.removeprefix('springcase/')}-v{document.version}"


def test_owner_has_an_example_of_every_version() -> None:
    """Each version of the owner's format, the newest included, has its frozen example."""
    newest = known_formats()["springcase/owner"].version
    expected = {f"owner-v{version}" for version in range(1, newest + 1)}

    assert expected <= {path.stem for path in EXAMPLES}
