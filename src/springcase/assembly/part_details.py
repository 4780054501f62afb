"""Details of a family's parts a typo would pass in silence: O-rings, springs, ages, checks."""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping
from typing import Final

from springcase.assembly.family import Family, PartTable, PartVariant
from springcase.errors import SpringcaseError
from springcase.formats import Problem
from springcase.standards.o_rings import o_ring
from springcase.units import parse_quantity

SPRING_KINDS: Final[Mapping[str, str]] = {
    "wire": "length",
    "mean_diameter": "length",
    "free_length": "length",
    "active": "",
    "rate": "stiffness",
    "range": "",
    "colour": "",
}
"""What a part's `spring` may say, and the kind of quantity; no kind: a number or words."""


def find_detail_problems(family: Family) -> Iterator[Problem]:
    """Yield O-rings of no table, spring keys and units, ages without life, checks not there."""
    for id, part in family.part.items():
        path = f"part.{id}"
        tables: list[PartTable | PartVariant] = [part, *part.variant]
        for table in tables:
            where = path if table is part else f"{path}.variant"
            if isinstance(table.o_ring, str) and table.o_ring:
                yield from _o_ring(f"{where}.o_ring", id, table.o_ring)
            if isinstance(table.spring, dict):
                yield from _spring(f"{where}.spring", id, table.spring)
        ages = part.renew == "age" or any(variant.renew == "age" for variant in part.variant)
        lives = part.life or any(isinstance(each.life, str) for each in part.variant)
        if ages and not lives:
            yield Problem(code="age-without-life", path=f"{path}.life", id=id, right="10 years")
    for id, scope in family.scope.items():
        for name in scope.inspect:
            part_id, slash, check = name.partition("/")
            known = family.part[part_id].check if part_id in family.part else {}
            if slash and part_id in family.part and check not in known:
                yield Problem(
                    code="check-named-unknown",
                    path=f"scope.{id}.inspect",
                    id=id,
                    value=name,
                    right=sorted(known),
                )


def _o_ring(path: str, id: str, dash: str) -> Iterator[Problem]:
    try:
        o_ring(dash, field=path)
    except SpringcaseError as error:
        yield Problem(
            code=error.code, path=path, id=id, value=dash, right=error.right, facts=error.facts
        )


def _spring(path: str, id: str, spring: Mapping[str, str]) -> Iterator[Problem]:
    for key, text in spring.items():
        below = f"{path}.{key}"
        if key not in SPRING_KINDS:
            near = difflib.get_close_matches(key, list(SPRING_KINDS), n=1)
            yield Problem(
                code="key-unknown",
                path=below,
                id=id,
                value=key,
                right=sorted(SPRING_KINDS),
                facts={"near": near[0] if near else ""},
            )
            continue
        try:
            if SPRING_KINDS[key]:
                parse_quantity(text, SPRING_KINDS[key], field=below)
        except SpringcaseError as error:
            yield Problem(
                code=error.code, path=below, id=id, value=text, right=error.right, facts=error.facts
            )
