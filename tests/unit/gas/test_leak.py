"""Leaks by hold, bubbles and meter come on one basis, with what each could have seen."""

from __future__ import annotations

import dataclasses
import math

import numpy as np
import pytest

from springcase.errors import BadInput, OutsideValidity
from springcase.gas.leak import (
    HoldReadings,
    Leak,
    actual_flow_base,
    bubble_leak,
    hold_flow_base,
    hold_leak,
    lost_share,
    meter_leak,
)
from springcase.gas.leak_verdict import LeakReason, LeakVerdict, better_test, judge_leak
from springcase.standards.seat_leakage import bubble_tube
from springcase.units import PSI

ML_MIN = 1e-6 / 60
HOLD = HoldReadings(
    volume=0.25,
    start_pressure_abs=9.01325e5,
    end_pressure_abs=8.91325e5,
    start_temperature=293.15,
    end_temperature=292.15,
    seconds=3600.0,
)
# Field case V2: after lock-up 62.4 psig the outlet rose to 63.0 while the pipe warmed by 4 K.
WARMED = HoldReadings(
    volume=2.65 * 0.3048**3,
    start_pressure_abs=(62.4 + 14.7) * PSI,
    end_pressure_abs=(63.0 + 14.7) * PSI,
    start_temperature=283.15,
    end_temperature=287.15,
    seconds=560.0,
    pressure_deviation=0.1 * PSI / math.sqrt(12),
    temperature_deviation=1 / math.sqrt(12),
)


def leak_of(flow: float, expanded: float = 0.0, detectable: float = 0.0) -> Leak:
    """Return a leak of a meter in mL/min."""
    return Leak(
        method="flow meter",
        flow_base=flow * ML_MIN,
        uncorrected_base=flow * ML_MIN,
        expanded_base=expanded * ML_MIN,
        detectable_base=detectable * ML_MIN,
        temperature_share=None,
    )


def test_arrays_and_numbers_agree() -> None:
    """An array of end pressures gives what each gives alone; a number gives a float."""
    given = {"volume": 0.1, "start_pressure_abs": 8e5, "start_temperature": 293.0}
    given |= {"end_temperature": 293.0, "seconds": 900.0}
    many = hold_flow_base(end_pressure_abs=np.array([8e5, 7.9e5]), **given)
    one = hold_flow_base(end_pressure_abs=7.9e5, **given)

    assert isinstance(one, float)
    assert [0.0, one] == np.asarray(many).tolist()


def test_uncertainty_is_what_a_simulation_gives() -> None:
    """Twice the spread of 200,000 simulated holds is the expanded uncertainty within 1 %."""
    read = dataclasses.replace(
        HOLD, pressure_deviation=200.0, temperature_deviation=0.1, volume_deviation=0.01
    )
    noise = np.random.default_rng(4)
    size = 200_000
    spread = np.std(
        hold_flow_base(
            volume=noise.normal(read.volume, 0.01, size),
            start_pressure_abs=noise.normal(read.start_pressure_abs, 200.0, size),
            end_pressure_abs=noise.normal(read.end_pressure_abs, 200.0, size),
            start_temperature=noise.normal(read.start_temperature, 0.1, size),
            end_temperature=noise.normal(read.end_temperature, 0.1, size),
            seconds=read.seconds,
        )
    )

    assert hold_leak(read).expanded_base == pytest.approx(2 * spread, rel=0.01)


def test_exact_readings_have_no_uncertainty() -> None:
    """Without uncertainties nothing is added, and everything would be seen."""
    leak = hold_leak(HOLD)

    assert (0.0, 0.0) == (leak.expanded_base, leak.detectable_base)
    assert leak.flow_base / ML_MIN == pytest.approx(280.8849, abs=5e-5)


def test_a_hold_that_did_not_move_has_no_share() -> None:
    """Where no pressure changed there is no change for temperature to explain."""
    still = dataclasses.replace(HOLD, end_pressure_abs=HOLD.start_pressure_abs)

    assert hold_leak(still).temperature_share is None


@pytest.mark.parametrize(
    "field", ["volume", "start_pressure_abs", "end_temperature", "seconds", "start_temperature"]
)
@pytest.mark.parametrize("value", [0.0, -1.0])
def test_readings_must_be_more_than_zero(field: str, value: float) -> None:
    """A reading that nothing can have is refused by name."""
    with pytest.raises(OutsideValidity, match=field):
        hold_leak(dataclasses.replace(HOLD, **{field: value}))


def test_no_number_is_refused() -> None:
    """NaN is refused, in the leak and in the share."""
    broken = dataclasses.replace(HOLD, end_pressure_abs=math.nan)

    with pytest.raises(BadInput, match="flow-no-number"):
        hold_leak(broken)
    with pytest.raises(BadInput, match="flow-no-number"):
        lost_share(broken)


def test_bubbles_count_by_their_tube() -> None:
    """The same bubbles are twice the leak from the wider tube; one bubble is what is seen."""
    counted = {"count": 10.0, "seconds": 60.0, "pressure_abs": 101325.0, "temperature": 288.15}
    narrow = bubble_leak(tube=bubble_tube("6x1"), **counted)
    wide = bubble_leak(tube=bubble_tube("api-527"), **counted)

    assert (1.5, 2.95, 0.15) == (
        round(narrow.flow_base / ML_MIN, 6),
        round(wide.flow_base / ML_MIN, 2),
        round(narrow.detectable_base / ML_MIN, 6),
    )


def test_a_flow_read_warm_counts_less() -> None:
    """A flow read at 30 degC and half an atmosphere is less at the base, as the gas law has it."""
    flow = actual_flow_base(1.0, pressure_abs=50662.5, temperature=303.15)

    assert flow == pytest.approx(0.5 * 288.15 / 303.15)


def test_a_meter_sees_its_own_uncertainty() -> None:
    """A meter tells from nothing what is beyond twice its standard uncertainty."""
    leak = meter_leak(flow_base=5.0, deviation_base=0.25)

    assert (5.0, 0.5, 0.5) == (leak.flow_base, leak.expanded_base, leak.detectable_base)


@pytest.mark.parametrize(
    ("flow", "expanded", "detectable", "verdict", "reason"),
    [
        (0.3, 0.1, 0.1, LeakVerdict.PASS, LeakReason.WITHIN),
        (0.4, 0.1, 0.1, LeakVerdict.PASS, LeakReason.WITHIN),
        (0.45, 0.1, 0.1, LeakVerdict.INCONCLUSIVE, LeakReason.UNCERTAIN),
        (0.61, 0.1, 0.1, LeakVerdict.FAIL, LeakReason.BEYOND),
        (9.0, 2.0, 2.0, LeakVerdict.FAIL, LeakReason.BEYOND),
        (0.1, 2.0, 2.0, LeakVerdict.INCONCLUSIVE, LeakReason.UNSEEN),
        (-0.3, 0.1, 0.1, LeakVerdict.INCONCLUSIVE, LeakReason.REVERSED),
        (-1.8, 2.0, 2.0, LeakVerdict.INCONCLUSIVE, LeakReason.UNSEEN),
        (0.0, 0.0, 0.0, LeakVerdict.PASS, LeakReason.WITHIN),
    ],
)
def test_a_verdict_wants_the_whole_interval(
    flow: float, expanded: float, detectable: float, verdict: LeakVerdict, reason: LeakReason
) -> None:
    """Against 0.5 mL/min the verdict is PASS or FAIL only where all the interval says so."""
    judged = judge_leak(leak_of(flow, expanded, detectable), 0.5 * ML_MIN * (1 + 1e-12))

    assert (verdict, reason) == (judged.verdict, judged.reason)


def test_inward_turns_the_sign() -> None:
    """What came in is judged as a leak of the seat when it is asked for."""
    outward = judge_leak(leak_of(-2.0), 0.5 * ML_MIN)
    inward = judge_leak(leak_of(-2.0), 0.5 * ML_MIN, is_inward=True)

    assert (LeakReason.REVERSED, LeakReason.BEYOND) == (outward.reason, inward.reason)


def test_a_limit_must_be_more_than_zero() -> None:
    """No method sees a leak of nothing."""
    with pytest.raises(OutsideValidity, match="limit_base"):
        judge_leak(leak_of(1.0), 0.0)


def test_creep_that_warming_explains_is_inconclusive() -> None:
    """V2: 0.70 scfh if all leaked, but 4 K could have given 1.09 psi: not FAIL, not PASS."""
    leak = hold_leak(WARMED)
    judged = judge_leak(leak, 0.15 * ML_MIN, is_inward=True)
    warming = WARMED.start_pressure_abs * 4 / 283.15 / PSI
    cubic_feet_an_hour = -leak.uncorrected_base * 3600 / 0.3048**3

    assert (LeakVerdict.INCONCLUSIVE, LeakReason.TEMPERATURE) == (judged.verdict, judged.reason)
    assert round(warming, 2) == 1.09
    assert cubic_feet_an_hour == pytest.approx(0.70, abs=0.01)
    assert leak.temperature_share is not None
    assert leak.temperature_share > 1


def test_warming_that_hides_a_leak_is_not_a_pass() -> None:
    """A pressure that held while the gas warmed has lost gas, and is no PASS."""
    hidden = dataclasses.replace(
        HOLD, end_pressure_abs=HOLD.start_pressure_abs - 1.0, end_temperature=296.15
    )
    leak = hold_leak(hidden)
    judged = judge_leak(leak, 10 * ML_MIN)

    assert leak.flow_base > 10 * ML_MIN > leak.uncorrected_base
    assert (LeakVerdict.INCONCLUSIVE, LeakReason.TEMPERATURE) == (judged.verdict, judged.reason)


def test_the_longer_hold_proposed_sees_the_limit() -> None:
    """A hold as long as proposed sees just the limit; one step of the gauge is a tenth of it."""
    read = dataclasses.replace(HOLD, pressure_deviation=100.0)
    limit = 1.0 * ML_MIN
    better = better_test(read, hold_leak(read), limit, bubble_tube("6x1"))
    longer = dataclasses.replace(read, seconds=better.seconds)
    step = dataclasses.replace(
        read,
        end_temperature=293.15,
        end_pressure_abs=HOLD.start_pressure_abs - 10 * better.pressure_step_diff,
    )

    assert hold_leak(longer).detectable_base == pytest.approx(limit)
    assert hold_leak(step).flow_base == pytest.approx(limit)
    assert better.bubble_seconds == pytest.approx(9.0)
