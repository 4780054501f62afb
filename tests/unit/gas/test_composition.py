"""A gas is what its composition says: by name, as typed, blended, and never renormalised."""

from __future__ import annotations

import math

import pytest

from springcase.errors import BadInput, OutsideValidity, SpringcaseError, UnknownName
from springcase.gas.composition import (
    blend_gases,
    components,
    gas_names,
    heating_values,
    make_gas,
    read_gas,
)
from springcase.standards.register import register
from springcase.wording import explain

REFUSED = [
    ("methane=0.9,nitrogen=0.2", "gas-sum"),
    ("methane=0.9999", "gas-sum"),
    ("methane=1.1,nitrogen=-0.1", "gas-fraction"),
    ("methane=0.5,methane=0.5", "gas-component-twice"),
    ("methane=0.5,ch4=0.5", "gas-component-twice"),
    ("methane=0.5,neon=0.5", "name-not-in-table"),
    ("methane=", "quantity-empty"),
    ("methane=nan", "number-unreadable"),
    ("methane=0.5,nitrogen", "gas-composition-unreadable"),
    ("=1", "gas-composition-unreadable"),
    ("town gas", "name-not-in-table"),
    ("methane + 120 % hydrogen", "gas-fraction"),
    ("methane + hydrogen", "number-unreadable"),
]


@pytest.mark.parametrize("name", gas_names())
def test_a_named_gas_sums_to_one_and_has_a_source(name: str) -> None:
    """Every gas known by name sums to one exactly enough, and its source is registered."""
    gas = read_gas(name)

    assert math.isclose(1.0, math.fsum(x for _, x in gas.fractions), abs_tol=1e-9)
    assert gas.source in register()


@pytest.mark.parametrize(("text", "code"), REFUSED)
def test_a_wrong_composition_is_refused_in_one_sentence(text: str, code: str) -> None:
    """What is no composition is refused with its own code, naming field and value."""
    with pytest.raises(SpringcaseError, match=rf"\[{code}\]") as caught:
        read_gas(text, field="--composition")

    assert explain(caught.value).endswith(".")


def test_a_sum_that_is_off_is_never_renormalised() -> None:
    """Fractions that sum to 1.1 are refused with the sum and what is right."""
    with pytest.raises(BadInput, match=r"\[gas-sum\]") as caught:
        read_gas("methane=0.9,nitrogen=0.2", field="--composition")

    assert explain(caught.value) == (
        '--composition sums to "1.1", not to 1 within 1e-05; correct the fractions, they are '
        "never renormalised."
    )


def test_shares_and_percent_say_the_same() -> None:
    """A composition in percent is the one in shares, whatever the names' spelling and order."""
    assert read_gas("N2=10 %, CH4=90 %") == read_gas("methane=0.9,nitrogen=0.1")


def test_a_name_is_known_by_its_other_spellings() -> None:
    """Names are found whatever their case, and by the aliases of the table."""
    assert read_gas("Gulf Coast") == read_gas("gulf-coast") == read_gas("gulf")


def test_a_hydrogen_blend_holds_its_share() -> None:
    """A blend of a fifth hydrogen has a fifth of it and four fifths of the rest."""
    blend = read_gas("amarillo + 20 % hydrogen")
    amarillo = read_gas("amarillo")

    assert pytest.approx(0.2) == blend.fraction("hydrogen")
    assert pytest.approx(0.8 * amarillo.fraction("methane")) == blend.fraction("methane")
    assert pytest.approx(0.8 * amarillo.molar_mass + 0.2 * 2.01588e-3) == blend.molar_mass


def test_blending_nothing_changes_nothing() -> None:
    """A blend with none of the other gas has the fractions of the first."""
    gas = read_gas("ekofisk")

    assert blend_gases(gas, read_gas("hydrogen"), 0.0).fractions == gas.fractions


@pytest.mark.parametrize("share", [-0.1, 1.1, math.nan])
def test_a_share_no_blend_has_is_refused(share: float) -> None:
    """Only shares from nought to one blend."""
    with pytest.raises(OutsideValidity, match=r"\[gas-fraction\]"):
        blend_gases(read_gas("methane"), read_gas("hydrogen"), share)


@pytest.mark.parametrize("fraction", [math.nan, math.inf, -1.0])
def test_a_fraction_that_is_no_number_is_refused(fraction: float) -> None:
    """NaN, infinity and negative fractions are refused by name."""
    with pytest.raises(OutsideValidity, match=r"\[gas-fraction\] composition"):
        make_gas("x", {"methane": fraction})


def test_an_unknown_gas_is_answered_with_the_nearest() -> None:
    """A slip in a name is answered with the name it is near."""
    with pytest.raises(UnknownName, match="amarillo"):
        read_gas("amarilo")


def test_the_components_are_those_of_the_equations() -> None:
    """There are 21 components in the order of the equations, and fuels alone have heat."""
    names = list(components())

    assert (21, "methane", "argon") == (len(names), names[0], names[-1])
    assert heating_values()["nitrogen"] == 0.0 < heating_values()["hydrogen"]
