"""The invented families do what their cards say."""

from __future__ import annotations

import pytest

from springcase.assembly.expand import build_structure
from springcase.assembly.family_file import read_family
from springcase.assembly.soundness import every_build
from springcase.job.physics import make_regulator
from springcase.regulator.model import Action, Place, Regulator
from springcase.regulator.performance import settle
from springcase.scenario import FAMILIES, family_path
from unit.regulator.made_regulators import AIR, METHANE

PHYSICAL = ("spring", "pilot-spring", "orifice", "trim", "diaphragm", "sensing", "relief", "boost")


def builds(name: str) -> list[Regulator]:
    """Return the regulators that differ in physics among the builds of a family."""
    family = read_family(family_path(name))
    seen: dict[str, Regulator] = {}
    for options in every_build(family):
        key = repr([options.get(option) for option in PHYSICAL])
        if key not in seen:
            seen[key] = make_regulator(build_structure(family, options))
    return list(seen.values())


@pytest.mark.parametrize("name", FAMILIES)
def test_every_spring_sets_the_range_on_its_card(name: str) -> None:
    """In every build both ends of the card's range are reached with the spring in its limits."""
    for regulator in builds(name):
        spring = regulator.control_spring
        assert spring.low_gauge is not None and spring.high_gauge is not None
        reducing = regulator.action is Action.REDUCING
        limit = regulator.inlet_limit_gauge
        assert limit is not None
        place = Place(other_abs=AIR + (0.5 * limit if reducing else 0.0))
        for set_point in (spring.low_gauge, spring.high_gauge):
            setting = settle(regulator, METHANE, place, set_point_gauge=set_point)

            length = spring.free_length - setting.compression

            assert spring.shortest <= length <= spring.free_length
