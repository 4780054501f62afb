"""
The tables of ``owner.toml``, made from the rules so that no figure is named twice.

A figure is written as its text (``share_of_proof = "70 %"``), or as a table that also says why.
"""

from __future__ import annotations

import datetime
import tomllib
from functools import cache
from importlib import resources
from typing import Annotated, Any, Literal

import msgspec

from springcase.formats import ID_PATTERN, register_format
from springcase.owner.rules import RULES

Text = Annotated[str, msgspec.Meta(min_length=1, max_length=60)]
Words = Annotated[str, msgspec.Meta(max_length=300)]


class FigureTable(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """One figure with its reason: `value` as text with unit, `words`, `source`, `standing`."""

    value: Text
    words: Words = ""
    source: Words = ""
    standing: Literal["", "owner", "published", "computed", "memory", "common-practice"] = ""


class HeadTable(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """`[owner]`: whose figures these are."""

    name: Words = ""


class ToolTable(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """`[[torque_tool]]`: one torque tool of the kit."""

    id: Annotated[str, msgspec.Meta(pattern=ID_PATTERN, max_length=60)]
    words: Annotated[str, msgspec.Meta(min_length=1, max_length=300)]
    low: Text
    high: Text
    accuracy: Text
    calibration_due: datetime.date | None = None


def read_defaults() -> bytes:
    """Return the shipped ``owner.toml``."""
    return resources.files("springcase.owner").joinpath("defaults.toml").read_bytes()


@cache
def _shipped() -> dict[str, Any]:
    return tomllib.loads(read_defaults().decode())


def _make_struct(name: str, prefix: str, below: dict[str, Any]) -> type[msgspec.Struct]:
    """Return the struct of one table of figures and of the tables below it."""
    fields: list[tuple[str, Any, Any]] = []
    spelled: dict[str, str] = {}
    keys = dict.fromkeys(
        rule[len(prefix) :].split(".")[0] for rule in RULES if rule.startswith(prefix)
    )
    for key in keys:
        field = key.replace("-", "_")
        spelled[field] = key
        path = prefix + key
        if path in RULES:
            about = msgspec.Meta(description=below[key]["words"])
            kind: Any = Annotated[Text | FigureTable | msgspec.UnsetType, about]
        else:
            kind = (
                _make_struct(f"{name}{field.title()}", path + ".", below[key]) | msgspec.UnsetType
            )
        fields.append((field, kind, msgspec.UNSET))
    return msgspec.defstruct(
        name, fields, rename=spelled, frozen=True, kw_only=True, forbid_unknown_fields=True
    )


def _make_owner_struct() -> type[msgspec.Struct]:
    figures = _make_struct("Figures", "", _shipped())
    return msgspec.defstruct(
        "OwnerFile",
        [("owner", HeadTable, HeadTable()), ("torque_tool", tuple[ToolTable, ...], ())],
        bases=(figures,),
        module=__name__,
        frozen=True,
        kw_only=True,
        forbid_unknown_fields=True,
    )


OWNER_FORMAT = register_format(
    "springcase/owner",
    _make_owner_struct(),
    1,
    title="Owner's figures",
    words="Every figure an owner may choose; what is left out keeps the shipped figure.",
)
