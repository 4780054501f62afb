"""A state is the equation's own, one at a time or many, and refused where it does not hold."""

from __future__ import annotations

import math

import numpy as np
import pytest

from springcase.errors import BadInput, OutsideValidity
from springcase.gas.composition import read_gas
from springcase.gas.phase import condensing
from springcase.gas.properties import (
    AGA8_DETAIL,
    GERG_2008,
    RANGES,
    model_molar_mass,
    state,
    states_of_gases,
)
from springcase.gas.tabulated import LARGEST_ERROR, build_table, table_state
from springcase.wording import explain

FIELDS = [
    *("z", "density", "sound_speed", "isentropic_exponent", "heat_capacity"),
    *("heat_capacity_volume", "joule_thomson", "viscosity", "enthalpy"),
]


def test_one_state_is_floats_and_many_are_arrays() -> None:
    """A scalar question has floats for an answer, and broadcasting gives one row a state."""
    gas = read_gas("amarillo")
    one = state(gas, 50e5, 288.15)
    many = state(gas, [[20e5], [50e5]], [280.0, 288.15, 300.0])

    assert all(isinstance(getattr(one, name), float) for name in FIELDS)
    assert all(getattr(many, name).shape == (2, 3) for name in FIELDS)
    assert [getattr(one, name) for name in FIELDS] == [
        pytest.approx(getattr(many, name)[1, 1], rel=1e-15) for name in FIELDS
    ]


def test_density_is_that_of_its_z() -> None:
    """Pressure over z, gas constant and temperature is the density, with each equation's own."""
    for model, constant in ((GERG_2008, 8.314472), (AGA8_DETAIL, 8.31451)):
        found = state(read_gas("ekofisk"), 60e5, 280.0, model=model)
        wanted = 60e5 * found.molar_mass / (found.z * constant * 280.0)

        assert pytest.approx(wanted, rel=1e-9) == found.density


def test_heat_and_sound_keep_thermodynamics() -> None:
    """Sound speed squared times density over pressure is the isentropic exponent."""
    found = state(read_gas("gulf-coast"), 50e5, 288.15)

    assert pytest.approx(found.sound_speed**2 * found.density / 50e5) == found.isentropic_exponent
    assert found.heat_capacity > found.heat_capacity_volume


def test_the_coefficient_is_the_slope_of_the_temperature_at_one_enthalpy() -> None:
    """Joule-Thomson times heat capacity is minus the slope of enthalpy with pressure."""
    gas = read_gas("methane")
    near = state(gas, [50e5 - 100.0, 50e5 + 100.0], 288.15)
    slope = (near.enthalpy[1] - near.enthalpy[0]) / 200.0
    found = state(gas, 50e5, 288.15)

    assert pytest.approx(-slope, rel=1e-6) == found.joule_thomson * found.heat_capacity


@pytest.mark.parametrize(
    ("pressure", "temperature", "code"),
    [
        (0.0, 288.15, "gas-range"),
        (-1e5, 288.15, "gas-range"),
        (71e6, 288.15, "gas-range"),
        (1e5, 59.0, "gas-range"),
        (1e5, 701.0, "gas-range"),
        (math.nan, 288.15, "gas-not-finite"),
        (1e5, math.inf, "gas-not-finite"),
    ],
)
def test_a_state_outside_the_equation_is_refused(
    pressure: float, temperature: float, code: str
) -> None:
    """Each equation is asked only inside its range, and only for finite states."""
    with pytest.raises(OutsideValidity, match=rf"\[{code}\]") as caught:
        state(read_gas("nitrogen"), pressure, temperature)

    assert explain(caught.value).endswith(".")


def test_one_bad_state_among_many_is_found() -> None:
    """A single NaN among many states is refused by its value."""
    with pytest.raises(OutsideValidity, match=r"\[gas-not-finite\] temperature: 'nan K'"):
        state(read_gas("nitrogen"), 1e5, [288.15, math.nan, 290.0])


def test_an_unknown_equation_and_no_states_are_refused() -> None:
    """A slip in the model's name, and an empty list of states, are refused by name."""
    with pytest.raises(BadInput, match=r"\[gas-model-unknown\] model: 'gerg'"):
        state(read_gas("nitrogen"), 1e5, 288.15, model="gerg")
    with pytest.raises(BadInput, match=r"\[gas-no-states\]"):
        state(read_gas("nitrogen"), [], 288.15)


def test_a_gas_below_its_dew_line_is_refused() -> None:
    """Propane at 10 bar and 15 degC is a liquid: refused in one sentence, given when asked."""
    propane = read_gas("propane")
    with pytest.raises(OutsideValidity, match=r"\[gas-below-dew\]") as caught:
        state(propane, 10e5, 288.15)

    assert explain(caught.value) == (
        'propane "at 1e+06 Pa absolute and 288.15 K" lies below its dew line by the '
        "Peng-Robinson equation: it would condense; right would be a higher temperature or a "
        "lower pressure."
    )
    assert state(propane, 7.8e5, 288.15, allow_condensing=True).z < 0.9


def test_a_state_without_gas_root_is_refused() -> None:
    """Where an equation has no gas density at all the refusal names it."""
    with pytest.raises(OutsideValidity, match=r"\[gas-no-root\]"):
        state(read_gas("propane"), 20e5, 288.15, model=AGA8_DETAIL, allow_condensing=True)


def test_a_cold_rich_gas_condenses_and_a_warm_one_does_not() -> None:
    """The dew check of a rich gas answers by state, few or many, the same."""
    gas = read_gas("ekofisk")
    pressures = np.full(200, 30e5)
    kelvins = np.linspace(200.0, 320.0, 200)
    many = condensing(gas, pressures, kelvins)
    few = np.concatenate([condensing(gas, pressures[i : i + 40], kelvins[i : i + 40])
                          for i in range(0, 200, 40)])  # fmt: skip

    assert many[0] and not many[-1]
    assert np.count_nonzero(many != few) <= 1


def test_many_gases_are_the_gases_one_by_one() -> None:
    """A row of gases at their own states has the properties each has alone."""
    gases = [read_gas(name) for name in ("methane", "air", "ekofisk")]
    pressures, kelvins = [10e5, 20e5, 30e5], [280.0, 300.0, 320.0]
    found = states_of_gases(gases, pressures, kelvins)
    alone = [state(gas, p, t) for gas, p, t in zip(gases, pressures, kelvins, strict=True)]

    for name in set(FIELDS) - {"viscosity"}:
        assert [getattr(one, name) for one in alone] == found[name].tolist()


def test_many_gases_want_a_state_each() -> None:
    """Numbers of gases and states that differ are refused."""
    with pytest.raises(BadInput, match=r"\[gas-no-states\]"):
        states_of_gases([read_gas("air")], [1e5, 2e5], [280.0, 290.0])


def test_the_molar_mass_is_the_equation_s_own() -> None:
    """The two equations have their own atomic masses, and both are inside their ranges."""
    gas = read_gas("amarillo")

    assert model_molar_mass(gas, GERG_2008) == gas.molar_mass
    assert model_molar_mass(gas, AGA8_DETAIL) != gas.molar_mass
    assert RANGES[GERG_2008].temperature_low < RANGES[AGA8_DETAIL].temperature_low


@pytest.mark.parametrize("model", [GERG_2008, AGA8_DETAIL])
@pytest.mark.parametrize("name", ["gulf-coast", "nitrogen", "gulf-coast + 20 % hydrogen"])
def test_a_table_is_the_equation_to_one_in_a_million(name: str, model: str) -> None:
    """z and density of a table agree with the equation at states it was not made from."""
    gas = read_gas(name)
    table = build_table(gas, (1e4, 10e6), (263.15, 333.15), model=model)
    rng = np.random.default_rng(28)
    pressures, kelvins = rng.uniform(1e4, 10e6, 3000), rng.uniform(263.15, 333.15, 3000)
    z, density = table_state(table, pressures, kelvins)
    wanted = state(gas, pressures, kelvins, model=model)

    assert np.abs(z / wanted.z - 1).max() < LARGEST_ERROR
    assert np.abs(density / wanted.density - 1).max() < LARGEST_ERROR
    assert table.error < LARGEST_ERROR


def test_a_table_answers_inside_its_box_only() -> None:
    """A table gives its corners, broadcasts, and refuses what lies outside or is no number."""
    table = build_table(read_gas("methane"), (1e5, 5e6), (280.0, 300.0))
    z, _ = table_state(table, [1e5, 5e6], 300.0)

    assert z == pytest.approx(state(read_gas("methane"), [1e5, 5e6], 300.0).z, rel=1e-6)
    for pressure, kelvin in ((0.9e5, 290.0), (1e6, 301.0), (math.nan, 290.0), (1e6, math.nan)):
        with pytest.raises(OutsideValidity, match=r"\[table-outside\]"):
            table_state(table, pressure, kelvin)


def test_a_box_without_room_or_across_the_dew_line_is_refused() -> None:
    """A table is not made over an empty box or one with liquid in it."""
    with pytest.raises(OutsideValidity, match=r"\[table-outside\] temperatures"):
        build_table(read_gas("methane"), (1e5, 5e6), (300.0, 300.0))
    with pytest.raises(OutsideValidity, match=r"\[gas-below-dew\]"):
        build_table(read_gas("propane"), (1e5, 5e6), (280.0, 300.0))


def test_a_box_too_bent_for_a_table_is_refused() -> None:
    """Close to the critical point no table keeps the bound, and none is given."""
    with pytest.raises(OutsideValidity, match=r"\[table-too-coarse\]"):
        build_table(read_gas("methane"), (1e5, 20e6), (191.0, 330.0))
