"""What is set on a wrench with an extension."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from springcase.bolting.wrench import readout, wrench_setting
from springcase.errors import OutsideValidity

LENGTHS = st.floats(0.05, 2.0)
REACHES = st.floats(0.001, 0.04)
TORQUES = st.floats(0.1, 1000.0)


@given(TORQUES, LENGTHS, st.floats(0, math.tau))
def test_no_extension_changes_nothing(torque: float, length: float, angle: float) -> None:
    """Without an extension the wrench is set to the torque."""
    assert torque == pytest.approx(wrench_setting(torque, length, 0.0, angle))


@given(TORQUES, LENGTHS, REACHES, st.floats(0, 1.55))
def test_an_extension_ahead_lowers_the_setting(
    torque: float, length: float, reach: float, angle: float
) -> None:
    """Below 90 degrees the setting is less than the torque."""
    assert wrench_setting(torque, length, reach, angle) < torque


@given(TORQUES, LENGTHS, REACHES, st.floats(1.6, math.pi))
def test_an_extension_back_raises_the_setting(
    torque: float, length: float, reach: float, angle: float
) -> None:
    """Over 90 degrees the setting is more than the torque."""
    assert wrench_setting(torque, length, reach, angle) > torque


def test_square_to_the_wrench_changes_nothing_at_all() -> None:
    """A crowfoot at exactly 90 degrees needs no correction, not even a rounding."""
    assert 80.0 == wrench_setting(80.0, 0.4, 0.05, math.radians(90))


@pytest.mark.parametrize("extension", [0.4, 0.5])
def test_a_fastener_at_or_behind_the_hand_is_refused(extension: float) -> None:
    """An extension that reaches back to the grip or past it is refused."""
    with pytest.raises(OutsideValidity, match=r"\[extension-behind-hand\] extension"):
        wrench_setting(80.0, 0.4, extension, math.pi)


def test_a_negative_extension_is_refused() -> None:
    """Backwards is an angle of 180 degrees and never a minus sign."""
    with pytest.raises(OutsideValidity, match=r"\[extension-negative\] extension: -0.05"):
        wrench_setting(80.0, 0.4, -0.05)


@pytest.mark.parametrize(("torque", "length"), [(0.0, 0.4), (80.0, 0.0), (float("nan"), 0.4)])
def test_torque_and_wrench_are_more_than_zero(torque: float, length: float) -> None:
    """Torque and wrench length are more than zero."""
    with pytest.raises(OutsideValidity, match=r"\[not-positive\]"):
        wrench_setting(torque, length, 0.1)


def test_a_torque_is_read_out_in_three_units_together() -> None:
    """One torque is shown in N.m, lbf.in and lbf.ft."""
    assert "27.0 N.m, 239 lbf.in, 19.9 lbf.ft" == readout(27.0).text
