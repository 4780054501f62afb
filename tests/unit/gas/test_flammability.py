"""Flammable limits: by edition, mixed by Le Chatelier, refused where nothing burns."""

from __future__ import annotations

import pytest

from springcase.errors import BadInput, OutsideValidity, UnknownName
from springcase.gas.composition import components, read_gas
from springcase.gas.flammability import (
    BUMINES_627,
    EDITIONS,
    IEC_60079_20_1,
    flammable_limits,
    substance_limits,
)
from springcase.standards.register import register

FUELS = set(components()) - {"nitrogen", "carbon_dioxide", "water", "helium", "argon", "oxygen"}


@pytest.mark.parametrize("edition", EDITIONS)
def test_a_table_has_every_fuel_with_a_source(edition: str) -> None:
    """Each edition has limits for every fuel of the equations, in order and with a source."""
    for fuel in sorted(FUELS):
        limits = substance_limits(fuel, edition=edition)

        assert 0 < limits.low < limits.high <= 1
        assert set(limits.sources) <= set(register())


def test_one_fuel_alone_has_its_own_limits() -> None:
    """A pure gas has the limits of the table, by the edition asked."""
    methane = read_gas("methane")
    old = flammable_limits(methane)
    new = flammable_limits(methane, edition=IEC_60079_20_1)

    assert (pytest.approx(0.05), pytest.approx(0.15)) == (old.low, old.high)
    assert (pytest.approx(0.044), pytest.approx(0.17)) == (new.low, new.high)
    assert BUMINES_627 == old.edition


def test_a_mixture_lies_between_its_fuels() -> None:
    """Half methane and half propane burns between the limits of both, as Le Chatelier says."""
    limits = flammable_limits(read_gas("methane=0.5,propane=0.5"))

    assert pytest.approx(1 / (0.5 / 0.05 + 0.5 / 0.021)) == limits.low
    assert pytest.approx(1 / (0.5 / 0.15 + 0.5 / 0.095)) == limits.high


def test_inert_parts_thin_the_fuel() -> None:
    """Biogas wants more of itself in air than methane does, by its share of methane."""
    assert pytest.approx(0.05 / 0.6) == flammable_limits(read_gas("biogas")).low


@pytest.mark.parametrize(
    ("gas", "lacks"),
    [
        ("nitrogen", "a fuel"),
        ("air", "oxygen"),
        ("methane=0.5,oxygen=0.5", "oxygen"),
        ("methane=0.02,nitrogen=0.98", "enough of a fuel"),
    ],
)
def test_what_does_not_burn_has_no_limits(gas: str, lacks: str) -> None:
    """A gas without fuel, with oxygen of its own, or too thin to burn has no limits in air."""
    with pytest.raises(OutsideValidity, match=rf"\[flammability-none\].*{lacks}"):
        flammable_limits(read_gas(gas))


def test_an_unknown_table_or_substance_is_refused() -> None:
    """A slip in the edition or the substance is refused by name."""
    with pytest.raises(BadInput, match=r"\[flammability-edition-unknown\] edition: 'iec'"):
        flammable_limits(read_gas("methane"), edition="iec")
    with pytest.raises(UnknownName, match="methanol"):
        substance_limits("methanool")
