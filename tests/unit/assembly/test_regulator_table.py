"""The table `[regulator]`: read, varied by options, and refused where a build lacks something."""

from __future__ import annotations

from typing import Any

import pytest

from springcase.assembly.expand import build_structure
from springcase.assembly.family import Family
from springcase.assembly.family_file import examine_family, family_digest, read_family
from springcase.assembly.regulator_table import find_regulator_problems
from springcase.assembly.soundness import every_build
from springcase.formats import Problem
from springcase.scenario import FAMILIES, family_path

ELM = family_path("elm").read_text(encoding="utf-8")


def examined(text: str) -> tuple[Family, list[Problem]]:
    """Read a family and return it with the problems of its regulator table."""
    family, problems = examine_family(text.encode())
    assert family is not None, problems
    return family, problems


def found(old: str, new: str) -> list[tuple[str, str]]:
    """Return code and path of what is wrong with Elm's plain build once a text is replaced."""
    assert old in ELM
    family, problems = examined(ELM.replace(old, new, 1))
    problems = problems or list(find_regulator_problems(build_structure(family)))
    return [(problem.code, problem.path) for problem in problems]


@pytest.mark.parametrize("name", FAMILIES)
def test_every_build_of_every_family_is_described(name: str) -> None:
    """No build of a family of the scenario lacks a figure of its physics."""
    family = read_family(family_path(name))
    problems = [
        (options, problem.code, problem.path)
        for options in every_build(family)
        for problem in find_regulator_problems(build_structure(family, options))
    ]

    assert [] == problems


def test_a_variant_replaces_what_it_names() -> None:
    """The bore follows the orifice chosen; what the variant leaves alone stays."""
    family, _ = examined(ELM)

    plain = build_structure(family).regulator
    small = build_structure(family, {"orifice": "5"}).regulator

    assert ("7 mm", "5 mm") == (plain["bore"], small["bore"])
    assert plain["discharge"] == small["discharge"]


@pytest.mark.parametrize(
    ("old", "new", "code", "path"),
    [
        ('travel = "2.5 mm"\n', "", "regulator-key-missing", "regulator.travel"),
        ('travel = "2.5 mm"\n', 'travel = "2.5"\n', "unit-missing", "regulator.travel"),
        ('bore = "5 mm"', 'bore = "5 bar"', "unit-kind", "regulator.variant[0].bore"),
        (
            '"4 bar gauge"\noutlet',
            '"4 bar"\noutlet',
            "pressure-reference-missing",
            "regulator.inlet_limit",
        ),
        (
            'spring = "control-spring"\nspring_s',
            'spring = "screw"\nspring_s',
            "name-unknown",
            "regulator.spring",
        ),
        (
            'spring_shortest = "36 mm"',
            'spring_shortest = "20 mm"',
            "regulator-spring-length",
            "regulator.spring",
        ),
        ('outlet_bore = "20 mm"\n', "", "regulator-key-missing", "regulator.outlet_bore"),
        ('relief_vent = "20 mm"\n', "", "regulator-key-missing", "regulator.relief_vent"),
        (
            'spring = "control-spring"\nspring_s',
            'spring = "relief-nut"\nspring_s',
            "regulator-spring-bare",
            "regulator.spring",
        ),
        (
            'when = { relief = ["internal"] }\nrelief_spring =',
            'when = { relief = ["none"] }\nrelief_spring =',
            "",
            "",
        ),
    ],
)
def test_what_is_wrong_with_the_table_is_named(old: str, new: str, code: str, path: str) -> None:
    """A figure left out, of another kind or out of place is named by its key."""
    expected: list[Any] = [(code, path)] if code else []

    assert expected == found(old, new)


def test_a_part_the_build_lacks_is_named() -> None:
    """A relief spring named where the option leaves it out is refused for that build."""
    family, _ = examined(
        ELM.replace(
            'when = { relief = ["internal"] }\nrelief_spring =',
            'when = { relief = ["none"] }\nrelief_spring =',
        )
    )
    options = {"relief": "none", "vent": "screened"}

    codes = [each.code for each in find_regulator_problems(build_structure(family, options))]

    assert ["regulator-part-absent"] == codes


def test_a_family_without_the_table_keeps_its_digest() -> None:
    """A family that says nothing of its physics has the digest it had before the table was."""
    text = ELM[: ELM.index("[regulator]")]
    family, _ = examined(text)

    assert family.regulator is None
    assert family_digest(family) != family_digest(examined(ELM)[0])
    assert {} == build_structure(family).regulator
