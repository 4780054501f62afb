"""Springs, levers, diaphragms and tanks: what must hold for any of them."""

from __future__ import annotations

import math

from hypothesis import assume, given
from hypothesis import strategies as st

from springcase.regulator import diaphragm, lever, setting, spring
from springcase.regulator.setting import SpringIdentity
from springcase.station import tank

WIRES = st.floats(0.3e-3, 12e-3)
INDICES = st.floats(2.5, 20.0)
COILS = st.floats(2.0, 30.0)
MODULI = st.floats(60e9, 90e9)
RATES = st.floats(100.0, 1e6)
AREAS = st.floats(1e-4, 0.5)
RATIOS = st.floats(0.2, 10.0)


@given(WIRES, INDICES, COILS, MODULI)
def test_one_per_cent_more_wire_is_four_more_rate(
    wire: float, index: float, coils: float, modulus: float
) -> None:
    """Wire thicker by 1 per cent makes any spring stiffer by 4.060 per cent."""
    mean = wire * index
    before = float(spring.spring_rate(wire, mean, coils, modulus))
    after = float(spring.spring_rate(1.01 * wire, mean, coils, modulus))

    assert math.isclose(1.04060401, after / before, rel_tol=1e-9)


@given(WIRES, INDICES, COILS, MODULI)
def test_a_spring_stores_what_its_wire_stores(
    wire: float, index: float, coils: float, modulus: float
) -> None:
    """The energy k x^2 / 2 is that of the wire twisted by F D / 2, an independent reckoning."""
    mean, force = wire * index, 10.0
    rate = float(spring.spring_rate(wire, mean, coils, modulus))
    torque, polar = force * mean / 2, math.pi * wire**4 / 32
    twisted = torque * torque * math.pi * mean * coils / (2 * modulus * polar)

    assert math.isclose(force * force / (2 * rate), twisted, rel_tol=1e-9)


@given(INDICES)
def test_every_correction_is_over_one_and_falls(index: float) -> None:
    """Each stress factor exceeds 1, falls with the index, and the curvature ones exceed Ks."""
    values = {kind: float(spring.stress_factor(index, kind)) for kind in spring.STRESS_FACTORS}
    wider = {
        kind: float(spring.stress_factor(1.01 * index, kind)) for kind in spring.STRESS_FACTORS
    }

    assert all(1 < wider[kind] < values[kind] for kind in values)
    assert values["shear"] < min(values["wahl"], values["bergstraesser"])


@given(st.floats(-500, 500), st.floats(-0.05, 0.05), RATIOS)
def test_a_lever_conserves_work(force: float, travel: float, ratio: float) -> None:
    """Force times travel is the same at the valve and at the diaphragm."""
    at_valve = float(lever.valve_force(force, ratio)) * travel
    at_diaphragm = force * float(lever.diaphragm_travel(travel, ratio))

    assert math.isclose(at_valve, at_diaphragm, rel_tol=1e-12, abs_tol=1e-300)


@given(RATES, st.floats(0.5e-3, 4e-3), AREAS, RATIOS)
def test_rate_and_pressure_of_a_turn_are_inverse(
    rate: float, pitch: float, area: float, ratio: float
) -> None:
    """The rate read from a turn is the rate that gives that turn, and its spring is the carded."""
    turn = float(setting.pressure_per_turn_diff(rate, pitch, area, ratio))
    back = float(setting.rate_from_turn(turn, pitch, area, ratio))
    seen = setting.identify_spring(
        measured_pressure_per_turn_diff=turn,
        pitch=pitch,
        effective_area=area,
        carded_rate=rate,
        lever_ratio=ratio,
    )

    assert math.isclose(rate, back, rel_tol=1e-12)
    assert SpringIdentity.CARDED is seen.verdict


@given(st.floats(0.3, 3.0), st.floats(0.0, 0.9), st.floats(0.0, 0.9))
def test_more_doubt_never_decides(share: float, less: float, more: float) -> None:
    """A wider uncertainty makes a verdict inconclusive or leaves it, and never turns it round."""
    less, more = sorted((less, more))
    verdicts = [
        setting.identify_spring(
            measured_pressure_per_turn_diff=share * 500.0,
            pitch=2e-3,
            effective_area=0.02,
            carded_rate=5e3,
            uncertainty=doubt,
        ).verdict
        for doubt in (less, more)
    ]

    assert verdicts[1] in (verdicts[0], SpringIdentity.INCONCLUSIVE)


@given(st.floats(0.05, 0.6), st.floats(0.1, 0.98))
def test_a_diaphragm_lies_between_plate_and_bore(bore: float, share: float) -> None:
    """Both effective areas lie between plate and bore, the flat one above the convoluted."""
    plate = bore * share
    flat, mean = (
        float(diaphragm.effective_area(kind, bore, plate)) for kind in ("flat", "convoluted")
    )

    assert math.pi / 4 * plate**2 < mean < flat < math.pi / 4 * bore**2


@given(st.floats(0.2, 1.5), st.floats(0.1, 0.9), st.sampled_from([-1.0, 1.0]))
def test_the_hanging_web_does_the_work_of_its_pressure(
    half_angle: float, part: float, side: float
) -> None:
    """The crown is where the space swept under the web, by its stroke, says that it must be."""
    web = 0.030
    width = web * math.sin(half_angle) / half_angle * part

    def stroke(angle: float) -> float:
        return side * math.sqrt((web * math.sin(angle) / angle) ** 2 - width**2)

    def swept(angle: float) -> float:
        segment = web * web / (8 * angle * angle) * (2 * angle - math.sin(2 * angle))
        return width * stroke(angle) / 2 + segment

    step = 1e-5
    rise = swept(half_angle + step) - swept(half_angle - step)
    by_work = rise / (stroke(half_angle + step) - stroke(half_angle - step))
    assume(0 < by_work < width)
    plate = 0.5
    area = float(diaphragm.area_over_stroke(plate + 2 * width, plate, web, stroke(half_angle)))

    assert math.isclose(by_work, math.sqrt(area / math.pi) - plate / 2, abs_tol=1e-5 * web)


@given(st.sampled_from(lever.FLOW_DIRECTIONS), st.floats(1e-6, 1e-3), st.floats(2e-3, 0.5), RATIOS)
def test_the_two_directions_differ_in_sign(
    direction: str, orifice: float, area: float, ratio: float
) -> None:
    """Turning the flow turns the sign of the inlet effect; a larger diaphragm lessens it."""
    other = next(one for one in lever.FLOW_DIRECTIONS if one != direction)
    ratio = max(ratio, 1.0)
    effect = float(lever.inlet_effect(direction, orifice, area, ratio))

    assert effect * float(lever.inlet_effect(other, orifice, area, ratio)) < 0
    assert abs(float(lever.inlet_effect(direction, orifice, 2 * area, ratio))) < abs(effect)


@given(st.floats(10, 20000), st.floats(1.001, 2.0), st.floats(0.05, 1.0))
def test_a_larger_tank_breathes_more_but_less_for_its_size(
    volume: float, larger: float, insulation: float
) -> None:
    """Both weather flows rise with the volume, by less than the volume does."""
    for flow, factor in ((tank.cooling_flow_base, 4.0), (tank.heating_flow_base, 0.32)):
        rise = float(flow(larger * volume, factor, insulation)) / float(
            flow(volume, factor, insulation)
        )

        assert 1 < rise < larger


@given(st.floats(0.0, 0.5), st.floats(0.02, 0.2), st.floats(0.0, 1.0))
def test_insulation_never_adds(thickness: float, conductivity: float, share: float) -> None:
    """The insulation factor is over 0, at most 1, and falls with the insulated share."""
    part = float(tank.insulation_factor(thickness, conductivity, share))
    whole = float(tank.insulation_factor(thickness, conductivity))

    assert 0 < whole <= part + 1e-15 <= 1 + 1e-12
