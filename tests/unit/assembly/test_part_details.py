"""Typos in a part's details are named, never passed in silence."""

from __future__ import annotations

import msgspec
import pytest

from springcase.assembly.family import Family
from springcase.assembly.family_file import read_family
from springcase.assembly.part_details import find_detail_problems
from springcase.scenario import family_path


def spoil(**details: object) -> Family:
    """Return Alder with details of its control spring, or of its scopes, spoilt."""
    family = read_family(family_path("alder"))
    parts = dict(family.part)
    parts["control-spring"] = msgspec.structs.replace(parts["control-spring"], **details)
    return msgspec.structs.replace(family, part=parts)


@pytest.mark.parametrize(
    ("details", "code", "path"),
    [
        ({"o_ring": "999"}, "name-not-in-table", "part.control-spring.o_ring"),
        ({"spring": {"wyre": "3 mm"}}, "key-unknown", "part.control-spring.spring.wyre"),
        ({"spring": {"rate": "3"}}, "unit-missing", "part.control-spring.spring.rate"),
        ({"renew": "age", "life": ""}, "age-without-life", "part.control-spring.life"),
    ],
)
def test_each_typo_is_named_with_its_path(details: dict[str, object], code: str, path: str) -> None:
    """A detail that means nothing is a problem with the path of its key."""
    found = {(problem.code, problem.path) for problem in find_detail_problems(spoil(**details))}

    assert (code, path) in found


def test_a_scope_names_only_checks_that_are_there() -> None:
    """A check named by a scope but missing from its part is a problem of the file."""
    family = read_family(family_path("alder"))
    seat = msgspec.structs.replace(family.scope["seat"], inspect=["orifice/gloss"])
    spoilt = msgspec.structs.replace(family, scope={**family.scope, "seat": seat})

    found = [(problem.code, problem.value) for problem in find_detail_problems(spoilt)]

    assert [("check-named-unknown", "orifice/gloss")] == found


def test_the_families_have_no_problem_of_detail() -> None:
    """The scenario's families pass."""
    families = ("alder", "birch", "cedar", "dogwood", "elm")

    found = {name: list(find_detail_problems(read_family(family_path(name)))) for name in families}

    assert {name: [] for name in families} == found
