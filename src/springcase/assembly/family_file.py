"""Reading a family file: the tables of `springcase/family`, every problem named in one run."""

from __future__ import annotations

import os
from typing import Any

import msgspec

from springcase.assembly.family import Family
from springcase.assembly.references import find_reference_problems
from springcase.assembly.regulator_table import find_table_problems
from springcase.digest import digest
from springcase.formats import (
    Problem,
    convert_table,
    raise_problems,
    read_document,
    register_format,
)

FAMILY_FORMAT = "springcase/family"

register_format(
    FAMILY_FORMAT,
    Family,
    1,
    title="A family of regulators",
    words="Options, parts, joints, access, checks and scopes of one type of regulator.",
)


def read_family(path: str | os.PathLike[str] | bytes) -> Family:
    """
    Return a family from its file.

    Raises
    ------
    UnreadableFile
        If the file cannot be read, or with every problem of its tables and names.
    """
    family, problems = examine_family(path)
    raise_problems(problems, "input" if isinstance(path, bytes) else os.fspath(path))
    if family is None:
        raise RuntimeError("a family without problems must convert")
    return family


def examine_family(
    path: str | os.PathLike[str] | bytes,
) -> tuple[Family | None, list[Problem]]:
    """
    Return a family and every problem of its tables and names; None where tables do not convert.

    Raises
    ------
    UnreadableFile
        If the file cannot be read as a family file at all.
    """
    document = read_document(path, FAMILY_FORMAT)
    family, problems = convert_table(document.tables, Family, "")
    if family is None:
        return None, problems
    physics = find_table_problems(family.regulator, family.option, family.part)
    return family, [*find_reference_problems(family), *physics]


def family_digest(family: Family) -> str:
    """Return the digest of a family: of its tables, numbers as decimal text."""
    tables = msgspec.to_builtins(family)
    if tables["regulator"] is None:
        # A family written before this table existed keeps the digest it had.
        del tables["regulator"]
    return digest(_as_text(tables))


def _as_text(value: Any) -> Any:
    """Return a value with every float as text: a digest is never taken over floats."""
    if isinstance(value, dict):
        return {key: _as_text(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_as_text(item) for item in value]
    if isinstance(value, float):
        return f"{value:g}"
    return value
