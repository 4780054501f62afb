"""Springs and orifices are ranked for a service, each with its reasons."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from springcase.assembly.family_file import read_family
from springcase.errors import OutsideValidity
from springcase.gas.orifice import mass_flow_of_base
from springcase.job.physics import candidates
from springcase.regulator.choose import (
    Candidate,
    Choice,
    Reason,
    Service,
    Standing,
    accepted,
    rank,
)
from springcase.regulator.model import Action, ControlSpring, GasState
from springcase.scenario import family_path
from springcase.units import parse_quantity
from unit.regulator.made_regulators import make_regulator

AIR = 14.73 * 6894.757293168361
GAS = GasState(molar_mass=0.6 * 0.0289647, isentropic_exponent=1.27, temperature=288.7055555555556)
INCH = 0.0254


def scfh(flow: float) -> float:
    """Return a flow in scf/h at 14.73 psi and 60 degF as a mass flow."""
    base = parse_quantity(f"{flow} scf/h @ 14.73 psi, 60 degF", "base-flow", field="flow").value
    return float(mass_flow_of_base(base, molar_mass=GAS.molar_mass))


def psi(value: float) -> float:
    """Return psi as pascal."""
    return value * 6894.757293168361


def make_spring(rate: float, low: float, high: float) -> ControlSpring:
    """Make a spring of a rate in N/m and a range in psi."""
    return ControlSpring(
        name=f"{rate:g}",
        rate=rate,
        free_length=0.2,
        solid_length=0.02,
        shortest=0.05,
        low_gauge=psi(low),
        high_gauge=psi(high),
    )


def make_candidate(bore: float, spring: ControlSpring, **changes: Any) -> Candidate:
    """Make a candidate with a bore in inches."""
    regulator = make_regulator(
        bore=bore * INCH,
        travel=bore * INCH / 4,
        plug_area=0.0,
        effective_area=0.02,
        lever_ratio=1.0,
        discharge=0.8,
        discharge_open=0.85,
        control_spring=spring,
        **changes,
    )
    return Candidate(spring=spring.name, orifice=f"{bore} in", regulator=regulator)


# The field case: 100 psig to 25 psig MAOP, limit 31 psig, relief 21 000 scfh there.
SERVICE = Service(
    gas=GAS,
    highest_inlet_abs=psi(100) + AIR,
    lowest_inlet_abs=psi(60) + AIR,
    set_point_gauge=psi(20),
    reference_flow=scfh(500),
    peak_flow=scfh(6000),
    allowed_droop=0.10,
    allowed_lock_up=0.20,
    limit_gauge=psi(31),
    protection_flow=scfh(21_000),
    atmosphere_abs=AIR,
)
MIDDLE = make_spring(40_000, 10, 30)


def reason(choice: Choice, code: str) -> Reason:
    """Return the one reason of a code."""
    [found] = [each for each in choice.reasons if each.code == code]
    return found


def test_the_larger_orifice_from_the_van_is_refused() -> None:
    """The half-inch orifice passes more than the relief and is refused; the other is taken."""
    choices = rank(SERVICE, [make_candidate(bore, MIDDLE) for bore in (0.5, 0.375)])
    flows = [float(reason(each, "choose-protection").facts["flow"]) for each in choices]

    assert ["0.375 in", "0.5 in"] == [each.candidate.orifice for each in choices]
    assert [True, False] == [each.accepted for each in choices]
    assert flows == pytest.approx([scfh(14_700), scfh(26_200)], rel=0.03)
    assert reason(choices[1], "choose-protection").standing is Standing.REFUSED


def test_the_smallest_orifice_that_carries_the_peak_comes_first() -> None:
    """An orifice too small for the peak at the lowest inlet is refused for its capacity."""
    choices = rank(SERVICE, [make_candidate(bore, MIDDLE) for bore in (0.375, 0.1875, 0.3125)])

    assert ["0.3125 in", "0.375 in"] == [each.candidate.orifice for each in accepted(choices)]
    assert reason(choices[-1], "choose-capacity").standing is Standing.REFUSED


def test_the_lightest_spring_whose_middle_covers_the_set_comes_first() -> None:
    """A light spring at the end of its range comes after a heavier one in its middle."""
    light, middle = make_spring(20_000, 5, 20.5), make_spring(30_000, 10, 30)
    heavy, short = make_spring(50_000, 10, 30), make_spring(15_000, 2, 15)

    choices = rank(SERVICE, [make_candidate(0.375, each) for each in (short, heavy, light, middle)])

    assert ["30000", "50000", "20000", "15000"] == [each.candidate.spring for each in choices]
    assert not choices[-1].accepted
    assert reason(choices[2], "choose-spring-range").standing is Standing.CAUTION


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"allowed_droop": 0.001}, "choose-droop"),
        ({"allowed_lock_up": 0.0001}, "choose-lock-up"),
        ({"protection_flow": None}, "choose-no-protection"),
        ({"outlet_bore": 0.005}, "choose-outlet-speed"),
        ({"lowest_inlet_abs": psi(15) + AIR}, "choose-capacity"),
        ({"set_point_gauge": psi(45), "limit_gauge": psi(50)}, "choose-spring-range"),
    ],
)
def test_each_question_can_refuse(changes: dict[str, Any], code: str) -> None:
    """A service the candidate does not meet is refused under the name of what fails."""
    candidate = make_candidate(0.375, MIDDLE, seat_load=1000.0)
    [choice] = rank(replace(SERVICE, **changes), [candidate])

    assert reason(choice, code).standing is Standing.REFUSED
    assert not choice.accepted


def test_an_inlet_over_the_limit_of_its_orifice_is_refused() -> None:
    """The highest inlet is held against the limit of that orifice."""
    [choice] = rank(SERVICE, [make_candidate(0.375, MIDDLE, inlet_limit_gauge=psi(90))])

    assert reason(choice, "choose-inlet-limit").standing is Standing.REFUSED


@pytest.mark.parametrize(
    ("temperature", "hydrate", "code", "standing"),
    [
        (285.0, 278.0, "choose-cooling", Standing.HOLDS),
        (270.0, None, "choose-cooling", Standing.CAUTION),
        (276.0, 280.0, "choose-hydrate", Standing.CAUTION),
    ],
)
def test_cold_gas_is_a_caution_never_a_refusal(
    temperature: float, hydrate: float | None, code: str, standing: Standing
) -> None:
    """Cooling and hydrates are said and refuse nothing: they depend on water nobody typed."""
    service = replace(SERVICE, outlet_temperature=temperature, hydrate_temperature=hydrate)
    [choice] = rank(service, [make_candidate(0.375, MIDDLE)])

    assert reason(choice, code).standing is standing
    assert choice.accepted


def test_a_lock_up_names_its_inlet() -> None:
    """The lock-up judged is that of the inlet at which it is worst, and says which."""
    to_open = make_candidate(0.375, MIDDLE, seat_load=500.0)
    unbalanced = replace(to_open, regulator=replace(to_open.regulator, plug_area=71e-6))
    [choice] = rank(SERVICE, [unbalanced])

    assert reason(choice, "choose-lock-up").facts["inlet"] == pytest.approx(psi(100))


@pytest.mark.parametrize(
    ("changes", "code"),
    [
        ({"peak_flow": 0.0}, "choose-not-positive"),
        ({"peak_flow": float("nan")}, "choose-not-positive"),
        ({"lowest_inlet_abs": psi(200)}, "choose-inlets"),
        ({"limit_gauge": psi(10)}, "choose-limit"),
    ],
)
def test_a_service_that_contradicts_itself_is_refused(changes: dict[str, Any], code: str) -> None:
    """A service with a flow of nothing or its pressures the wrong way round is refused."""
    with pytest.raises(OutsideValidity, match=code):
        rank(replace(SERVICE, **changes), [make_candidate(0.375, MIDDLE)])


def test_a_back_pressure_regulator_is_no_candidate() -> None:
    """Only reducers are chosen so far."""
    candidate = make_candidate(0.375, MIDDLE, action=Action.BACK_PRESSURE)

    with pytest.raises(OutsideValidity, match="performance-reducers-only"):
        rank(SERVICE, [candidate])


@pytest.mark.parametrize(("name", "count"), [("alder", 12), ("birch", 8), ("elm", 9)])
def test_the_builds_of_a_family_are_its_candidates(name: str, count: int) -> None:
    """Every spring with every orifice is a candidate, but for what is never built."""
    found = candidates(read_family(family_path(name)), {})

    assert count == len({(each.spring, each.orifice) for each in found}) == len(found)


def test_an_option_given_is_kept() -> None:
    """A spring that is given is not chosen again."""
    found = candidates(read_family(family_path("birch")), {"spring": "green"})

    assert ["8 mm", "11 mm", "16 mm"] == [each.orifice for each in found]
    assert {29_200.0} == {each.regulator.control_spring.rate for each in found}
