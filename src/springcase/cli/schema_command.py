"""`springcase schema NAME`: the JSON Schema of a file format, as editors and programs read it."""

from __future__ import annotations

import argparse
import importlib
import json
from typing import Any, Final

from springcase.errors import UnknownName

NAME: Final = "schema"
HELP: Final = "the JSON Schema of a file format"
FORMAT: Final = "springcase/schema"
OWNERS: Final = {
    "family": "springcase.assembly.family_file",
    "owner": "springcase.owner",
    "plan": "springcase.job_file.plan_table",
}
"""The module that registers each format when it is imported, by the format's short name."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the name of the format."""
    parser.add_argument("name", metavar="NAME", help=", ".join(OWNERS))


def document(arguments: argparse.Namespace) -> tuple[dict[str, Any], int]:
    """
    Return the schema of the format asked for.

    Raises
    ------
    UnknownName
        If there is no such format.
    """
    from springcase.formats import schema

    short = arguments.name.removeprefix("springcase/")
    if short not in OWNERS:
        raise UnknownName("schema-unknown", field="NAME", value=short, right=list(OWNERS))
    importlib.import_module(OWNERS[short])
    return {"name": f"springcase/{short}", "schema": schema(f"springcase/{short}")}, 0


def text(document: dict[str, Any]) -> str:
    """Return the schema itself, ready to be saved."""
    return json.dumps(document["schema"], ensure_ascii=False, indent=2)
