"""The invented families and places of the demo."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path

from springcase.errors import UnknownName

FAMILIES = ("alder", "birch", "cedar", "dogwood", "elm")


def family_path(name: str) -> Path:
    """
    Return the file of one of the scenario's families.

    Raises
    ------
    UnknownName
        If there is no such family.
    """
    if name not in FAMILIES:
        raise UnknownName("family-unknown", field="--family", value=name, right=list(FAMILIES))
    return Path(str(files("springcase.scenario") / "families" / f"{name}.toml"))
