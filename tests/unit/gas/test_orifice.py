"""Orifice and nozzle flow: choked and not, opening, base volumes, and what is refused."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from springcase.errors import BadInput, OutsideValidity
from springcase.gas import orifice
from springcase.wording import explain

AIR = {"temperature": 288.15, "molar_mass": 0.0289647, "isentropic_exponent": 1.4}
TEN_MILLIMETRES = {"area": np.pi / 4 * 0.01**2, "discharge": 1.0}


def flow(inlet: Any, outlet: Any, **other: Any) -> Any:
    """Return the mass flow of air through a 10 mm nozzle."""
    given = {**AIR, **TEN_MILLIMETRES, **other}
    return orifice.orifice_mass_flow(inlet_pressure_abs=inlet, outlet_pressure_abs=outlet, **given)  # type: ignore[arg-type]


def test_the_flow_is_continuous_at_the_choke_point() -> None:
    """Just above and just below the critical ratio the flow differs by nothing that counts."""
    critical = 7e5 * np.asarray(orifice.critical_pressure_ratio(1.4))
    below, at, above = flow(7e5, critical * np.array([1 - 1e-9, 1.0, 1 + 1e-9]))

    assert at == pytest.approx(below, rel=1e-14)
    assert at == pytest.approx(above, rel=1e-14)


def test_a_choked_flow_does_not_know_its_outlet() -> None:
    """Below the critical ratio the outlet pressure changes nothing, down to a vacuum."""
    found = flow(7e5, np.array([3e5, 1e5, 0.0]))

    assert found[0] == found[1] == found[2]


def test_equal_pressures_give_no_flow_and_a_little_drop_keeps_its_digits() -> None:
    """At equal pressures nothing flows; at a drop of a millionth the incompressible law holds."""
    drop = 7e5 * 1e-6
    density = 7e5 * 0.0289647 / (8.31446261815324 * 288.15)
    incompressible = TEN_MILLIMETRES["area"] * np.sqrt(2 * density * drop)

    assert 0.0 == flow(7e5, 7e5)
    assert incompressible == pytest.approx(flow(7e5, 7e5 - drop), rel=2e-6)


def test_arrays_and_numbers_agree() -> None:
    """A table of duties gives what its rows give one by one, and a number gives a float."""
    inlets = np.linspace(2e5, 9e5, 7)
    outlets = np.linspace(1e5, 2e5, 7)
    one_by_one = [flow(a, b) for a, b in zip(inlets, outlets, strict=True)]

    assert one_by_one == flow(inlets, outlets).tolist()
    assert float is type(flow(7e5, 1e5))


def test_the_curtain_governs_up_to_a_quarter_bore() -> None:
    """The opening is the curtain until the lift is a quarter of the bore, then the bore."""
    lifts = np.array([0.0, 0.001, 0.0025, 0.004])
    found = np.asarray(orifice.opening_area(0.01, lifts))

    assert found[1] == orifice.curtain_area(0.01, 0.001)
    assert [0.0, found[2]] == pytest.approx([found[0], np.pi / 4 * 1e-4])
    assert found[2] == found[3]


def test_base_volume_goes_there_and_back() -> None:
    """A mass flow as base volume and back is itself; a mole at 0 degC is 22.413970 L."""
    there = orifice.base_volume_flow(0.13, molar_mass=0.0289647)

    assert 0.13 == pytest.approx(orifice.mass_flow_of_base(there, molar_mass=0.0289647))
    assert 0.022413970 == round(float(orifice.base_volume_flow(1.0, molar_mass=1.0)), 9)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"inlet": -1e5}, 'inlet_pressure_abs "-100000" is outside'),
        ({"outlet": 8e5}, 'outlet_pressure_abs "800000" is above the inlet pressure'),
        ({"outlet": -1.0}, 'outlet_pressure_abs "-1" is outside'),
        ({"area": -1.0}, 'area "-1" is outside'),
        ({"discharge": 1.2}, 'discharge "1.2" is outside'),
        ({"isentropic_exponent": 1.0}, 'isentropic_exponent "1" is outside'),
        ({"isentropic_exponent": [1.3, 2.5]}, 'isentropic_exponent "2.5" is outside'),
        ({"temperature": 0.0}, 'temperature "0" is outside'),
        ({"compressibility": -0.1}, 'compressibility "-0.1" is outside'),
    ],
)
def test_what_cannot_be_is_refused(change: dict[str, Any], words: str) -> None:
    """A value outside what the formula is stated for is named in one sentence."""
    given: dict[str, Any] = {"inlet": 7e5, "outlet": 1e5, **change}
    with pytest.raises(OutsideValidity, match="flow-out") as caught:
        flow(given.pop("inlet"), given.pop("outlet"), **given)

    assert words in explain(caught.value)


@pytest.mark.parametrize("wrong", [float("nan"), float("inf"), [1e5, float("nan")], "five"])
def test_what_is_no_number_is_refused(wrong: object) -> None:
    """NaN, infinity and words are refused by the name of the field."""
    with pytest.raises(BadInput, match="flow-no-number") as caught:
        flow(7e5, wrong)

    assert "outlet_pressure_abs" in explain(caught.value)
