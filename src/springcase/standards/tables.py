"""Reading the tables beside this file, once each, and naming the nearest known name."""

from __future__ import annotations

import tomllib
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Any

from springcase.errors import UnknownName

_FOLDER = Path(__file__).parent


@cache
def read_table(name: str) -> dict[str, Any]:
    """Return one of the tables that ship with this room."""
    with (_FOLDER / f"{name}.toml").open("rb") as stream:
        return tomllib.load(stream)


def unknown_name(field: str, value: str, known: Iterable[str]) -> UnknownName:
    """Return the error for a name that is not known, with the nearest known ones."""
    import difflib

    names = list(known)
    nearest = difflib.get_close_matches(value, names, n=3, cutoff=0.5) or names[:12]
    return UnknownName("name-not-in-table", field=field, value=value, right=", ".join(nearest))
