"""Together the families of the scenario show the whole format, and no two are alike."""

from __future__ import annotations

from itertools import combinations

import pytest

from springcase.assembly.expand import build_structure
from springcase.assembly.family import Family
from springcase.assembly.family_file import read_family
from springcase.assembly.model import OperationKind
from springcase.scenario import FAMILIES, family_path
from unit.assembly.constructs import PAGE, every_construct, render, shown

NOT_SHOWN = {
    "family.action = relief",
    "family.on_loss (answer) = holds",
    "part.material = epdm",
}
"""
What no family of the scenario can honestly be: none is a plain relief valve, none has an actuator
that locks in place, and all serve natural gas, which attacks ethylene propylene rubber.
"""
READ = {name: read_family(family_path(name)) for name in FAMILIES}


def test_which_family_shows_which_construct() -> None:
    """Every key and listed value is shown by a family, but for the few named above."""
    table = shown()

    assert NOT_SHOWN == {construct for construct, names in table.items() if not names}
    assert set() == NOT_SHOWN - set(every_construct())


def test_the_page_of_constructs_is_current() -> None:
    """The page is what the families show now (else: run `unit.assembly.constructs`)."""
    assert render(shown()) == PAGE.read_text(encoding="utf-8")


def access_of(family: Family) -> set[tuple[str, str]]:
    """Return what comes off after what, every alternative taken together."""
    pairs = set()
    for id, part in family.part.items():
        for table in (part.off, part.split):
            after = table.after if table is not None else []
            pairs |= {(id, other) for way in after for other in way}
    for id, lump in family.lump.items():
        pairs |= {(id, other) for way in lump.after for other in way}
    return pairs


@pytest.mark.parametrize(("one", "other"), list(combinations(FAMILIES, 2)))
def test_no_two_families_are_alike(one: str, other: str) -> None:
    """No two families share a part list, an access graph or a set of options."""
    first, second = READ[one], READ[other]

    assert set(first.part) != set(second.part)
    assert access_of(first) != access_of(second)
    assert len(access_of(first) & access_of(second)) < len(access_of(first)) / 2
    assert {id: tuple(each.values) for id, each in first.option.items()} != {
        id: tuple(each.values) for id, each in second.option.items()
    }


def test_the_benchmark_family_is_large() -> None:
    """Dogwood has more than sixty parts, at least ten alternatives in access and five lumps."""
    structure = build_structure(READ["dogwood"])
    operations = structure.operations.values()
    several = [each for each in operations if len(each.needs) > 1]
    lumps = [each for each in operations if each.kind is OperationKind.LUMP]

    assert len(structure.parts) > 60
    assert len(several) >= 10
    assert len(lumps) >= 5


@pytest.mark.parametrize("name", FAMILIES)
def test_a_family_has_several_options_and_the_scopes(name: str) -> None:
    """Each family has several options, each with a default among its values, and four scopes."""
    family = READ[name]

    assert len(family.option) >= 3
    assert all(option.default in option.values for option in family.option.values())
    assert {"change-spring", "soft-parts", "seat", "overhaul"} <= set(family.scope)


def test_elm_is_exchanged_whole() -> None:
    """Only the service regulator has the scope exchange."""
    assert ["elm"] == [name for name in FAMILIES if "exchange" in READ[name].scope]
