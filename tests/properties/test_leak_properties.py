"""What must hold of every leak, whatever the readings."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from springcase.gas.leak import HoldReadings, hold_leak
from springcase.gas.leak_verdict import LeakVerdict, judge_leak
from springcase.standards.seat_leakage import soft_seat_flow
from springcase.units import NORMAL

PRESSURES = st.floats(1e4, 1e7)
KELVINS = st.floats(250.0, 330.0)
READINGS = st.builds(
    HoldReadings,
    volume=st.floats(1e-4, 1e3),
    start_pressure_abs=PRESSURES,
    end_pressure_abs=PRESSURES,
    start_temperature=KELVINS,
    end_temperature=KELVINS,
    seconds=st.floats(1.0, 1e6),
    pressure_deviation=st.floats(0.0, 1e3),
    temperature_deviation=st.floats(0.0, 1.0),
    volume_deviation=st.floats(0.0, 1.0),
)


@given(readings=READINGS)
def test_a_hold_read_backwards_gains_what_it_lost(readings: HoldReadings) -> None:
    """Start and end exchanged turn the sign of the leak and nothing else."""
    back = dataclasses.replace(
        readings,
        start_pressure_abs=readings.end_pressure_abs,
        end_pressure_abs=readings.start_pressure_abs,
        start_temperature=readings.end_temperature,
        end_temperature=readings.start_temperature,
    )
    one, other = hold_leak(readings), hold_leak(back)

    assert one.flow_base == -other.flow_base
    assert one.detectable_base == pytest.approx(other.detectable_base)


@given(pressure=PRESSURES, start=KELVINS, end=KELVINS)
def test_a_tight_volume_leaks_nothing_however_warm(
    pressure: float, start: float, end: float
) -> None:
    """A closed volume that only warmed or cooled has no leak, within rounding."""
    leak = hold_leak(
        HoldReadings(
            volume=1.0,
            start_pressure_abs=pressure,
            end_pressure_abs=pressure / start * end,
            start_temperature=start,
            end_temperature=end,
            seconds=1.0,
        )
    )

    assert abs(leak.flow_base) <= 1e-14 * pressure


@given(readings=READINGS, times=st.floats(1.0, 100.0))
def test_a_longer_hold_sees_less(readings: HoldReadings, times: float) -> None:
    """The least leak a hold sees falls in proportion to its time."""
    longer = dataclasses.replace(readings, seconds=readings.seconds * times)
    short_reach = hold_leak(readings).detectable_base

    assert hold_leak(longer).detectable_base == pytest.approx(short_reach / times)


@given(readings=READINGS)
def test_the_base_is_one_factor(readings: HoldReadings) -> None:
    """Another base changes leak, uncertainty and reach by the same factor."""
    here, there = hold_leak(readings), hold_leak(readings, NORMAL)
    factor = 273.15 / 288.15

    assert there.flow_base == pytest.approx(factor * here.flow_base)
    assert there.expanded_base == pytest.approx(factor * here.expanded_base)


@given(readings=READINGS, limit=st.floats(1e-9, 1.0), is_inward=st.booleans())
def test_no_verdict_against_the_evidence(
    readings: HoldReadings, limit: float, is_inward: bool
) -> None:
    """PASS never stands for a leak beyond the limit or unseen, FAIL never for one within it."""
    leak = hold_leak(readings)
    judged = judge_leak(leak, limit, is_inward=is_inward)
    flow = -leak.flow_base if is_inward else leak.flow_base

    assert judged.verdict is not LeakVerdict.PASS or (
        flow + leak.expanded_base <= limit and leak.detectable_base <= limit
    )
    assert judged.verdict is not LeakVerdict.FAIL or flow - leak.expanded_base > limit


@given(small=st.floats(1e-3, 0.4), large=st.floats(1e-3, 0.4))
def test_a_larger_seat_may_leak_no_less(small: float, large: float) -> None:
    """The leak allowed never falls as the seat grows."""
    small, large = sorted((small, large))

    assert soft_seat_flow(small) <= soft_seat_flow(large)
