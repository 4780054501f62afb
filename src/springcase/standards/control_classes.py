"""Accuracy and lock-up classes of regulators: which class a measured share falls in."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from springcase.errors import BadInput
from springcase.standards.tables import read_table, unknown_name

KINDS: Final = ("accuracy", "lock-up", "lock-up-zone")
_ROUNDING: Final = 1e-12


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlClass:
    """A class by its name, the share of the gauge set point it allows [-], and its source."""

    name: str
    share: float
    source: str


def control_classes(kind: str) -> tuple[ControlClass, ...]:
    """
    Return the classes of one kind: accuracy, lock-up or lock-up-zone, the finest first.

    Raises
    ------
    UnknownName
        If there is no such kind.
    """
    table = read_table("control_classes")
    if kind not in table:
        raise unknown_name("class", kind, table)
    row = table[kind]
    return tuple(
        ControlClass(
            name=f"{row['letters']}{per_cent:g}", share=per_cent / 100, source=row["source"]
        )
        for per_cent in row["classes"]
    )


def class_of(kind: str, share: float) -> ControlClass | None:
    """
    Return the finest class that allows a share of the set point [-]; None where none does.

    The sign does not matter: a class bounds the size of the departure.

    Raises
    ------
    BadInput
        If the share is no finite number.
    UnknownName
        If there is no such kind.
    """
    if not math.isfinite(share):
        raise BadInput("class-share", field=kind, value=share, right="a finite share such as 0.07")
    fitting = (each for each in control_classes(kind) if abs(share) <= each.share + _ROUNDING)
    return next(fitting, None)


def find_class(name: str, *, field: str = "class") -> ControlClass:
    """
    Return a class by its name, such as AC10 or SG20.

    Raises
    ------
    UnknownName
        If there is none.
    """
    known = {each.name: each for kind in KINDS for each in control_classes(kind)}
    found = known.get(name.strip().upper().replace(" ", ""))
    if found is None:
        raise unknown_name(field, name, known)
    return found
