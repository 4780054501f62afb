"""Problems of what touches what: lubricant on elastomer, lubricant and elastomer in the gas."""

from __future__ import annotations

from collections.abc import Iterator

from springcase.assembly.model import Lubricant, Part, Structure
from springcase.formats import Problem
from springcase.standards.rubbers import (
    compatibility,
    elastomers,
    lubricant_attacks,
    media,
    rubber_of_material,
)

WORST_RATING = 4


def find_material_problems(structure: Structure) -> Iterator[Problem]:
    """Yield every lubricant that attacks or is not named for the gas, every rubber it attacks."""
    for id, part in structure.parts.items():
        if part.lubricant:
            lubricant = structure.lubricants[part.lubricant]
            path = f"part.{id}.lubricant"
            if not part.lubricate_where:
                yield Problem(code="lubricant-without-where", path=path, id=id, value=lubricant.id)
            yield from _unnamed(structure, lubricant, path, id)
            yield from _attack(lubricant, part, path)
        yield from _rubber_in_gas(structure, part)
    for id, joint in structure.joints.items():
        if joint.lubricated:
            lubricant = structure.lubricants[joint.lubricated]
            path = f"joint.{id}.lubricated"
            yield from _unnamed(structure, lubricant, path, id)
            for seal in joint.seals:
                yield from _attack(lubricant, structure.parts[seal], path)


def _unnamed(structure: Structure, lubricant: Lubricant, path: str, id: str) -> Iterator[Problem]:
    missing = [gas for gas in structure.services if gas not in lubricant.services]
    if missing:
        yield Problem(
            code="lubricant-not-named",
            path=path,
            id=id,
            value=lubricant.id,
            right=list(lubricant.services),
            facts={"gases": missing},
        )


def _attack(lubricant: Lubricant, part: Part, path: str) -> Iterator[Problem]:
    rubber = rubber_of_material(part.material)
    if lubricant_attacks(lubricant.base, rubber):
        yield Problem(
            code="lubricant-attacks", path=path, id=part.id, value=lubricant.base, right=rubber
        )


def _rubber_in_gas(structure: Structure, part: Part) -> Iterator[Problem]:
    rubber = rubber_of_material(part.material)
    if rubber not in elastomers():
        return
    known = media()
    for gas in structure.services:
        if gas in known and compatibility(gas, rubber).best >= WORST_RATING:
            yield Problem(
                code="gas-attacks",
                path=f"part.{part.id}.material",
                id=part.id,
                value=gas,
                right=rubber,
            )
