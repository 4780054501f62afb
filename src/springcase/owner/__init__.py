"""The owner's figures: every number an owner may choose, passed as a value."""

from __future__ import annotations

from springcase.owner.model import (
    Bolting,
    Figure,
    Holds,
    Lifting,
    Origin,
    Owner,
    Planning,
    Proving,
    TorqueTool,
    Units,
)
from springcase.owner.read import owner_digest, read_owner
from springcase.owner.table import OWNER_FORMAT

__all__ = [
    "OWNER_FORMAT",
    "Bolting",
    "Figure",
    "Holds",
    "Lifting",
    "Origin",
    "Owner",
    "Planning",
    "Proving",
    "TorqueTool",
    "Units",
    "owner_digest",
    "read_owner",
]
