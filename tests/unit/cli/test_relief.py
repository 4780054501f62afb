"""`springcase relief` sizes, checks and converts, and refuses in one sentence."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest

from springcase.cli.app import Surroundings, answer
from springcase.errors import SpringcaseError
from springcase.wording import explain

AROUND = Surroundings({}, date(2026, 11, 25))
EXAMPLE = (
    *("--molar-mass", "51", "--isentropic", "1.11", "--z", "0.90", "--temperature", "348 K"),
    *("--p1", "670 kPa abs", "--discharge", "0.975"),
)


def run(*words: str) -> tuple[dict[str, Any], int]:
    """Return the document and exit code of a relief command."""
    result = answer(["relief", *words, "--json"], AROUND)
    return json.loads(result.out), result.code


def refusal(*words: str) -> str:
    """Return the sentence a relief command is refused with."""
    with pytest.raises(SpringcaseError, match=r"^\[") as caught:
        answer(["relief", *words], AROUND)
    return explain(caught.value)


def test_a_flow_gives_area_and_designation() -> None:
    """Example 1 needs 3699.046 mm2, orifice P."""
    found, code = run(*EXAMPLE, "--flow", "24270 kg/h")

    assert (0, 3699.046, "P", True) == (
        code,
        round(1e6 * found["area_m2"], 3),
        found["designation"],
        found["critical"],
    )
    assert any("back pressure" in one for one in found["warnings"])


def test_back_pressure_makes_it_subcritical() -> None:
    """Example 2 with 532 kPa behind needs 4248 mm2 and says that it is subcritical."""
    found, _ = run(*EXAMPLE, "--p2", "532 kPa abs", "--flow", "24270 kg/h")

    assert (4248.359, False) == (round(1e6 * found["area_m2"], 3), found["critical"])
    assert any("subcritical" in one for one in found["warnings"])


def test_a_device_too_small_ends_with_one() -> None:
    """A fitted orifice is held to the flow asked for: N passes too little, P enough."""
    small, code = run(*EXAMPLE, "--flow", "24270 kg/h", "--orifice", "N")
    enough, fine = run(*EXAMPLE, "--flow", "24270 kg/h", "--orifice", "P")

    assert (1, 0) == (code, fine)
    assert small["capacity_kg_s"] < 24270 / 3600 < enough["capacity_kg_s"]


def test_the_capacity_of_the_area_found_is_the_flow() -> None:
    """The area for a flow, given back, passes that flow."""
    area, _ = run(*EXAMPLE, "--flow", "24270 kg/h")
    back, _ = run(*EXAMPLE, "--area", f"{1e6 * area['area_m2']!r} mm2")

    assert back["capacity_kg_s"] == pytest.approx(24270 / 3600, rel=1e-12)


def test_a_set_pressure_takes_its_overpressure() -> None:
    """10 bar gauge and 10 % with the standard barometer relieve at 1201.325 kPa."""
    found, _ = run(
        *("--gas", "amarillo", "--temperature", "15 degC", "--flow", "2 kg/s"),
        *("--set", "10 bar gauge", "--barometer", "1013.25 mbar abs"),
    )

    assert found["relieving_pressure_abs_pa"] == pytest.approx(1201325.0)
    assert "K" == found["designation"]


def test_a_steam_rating_becomes_air() -> None:
    """3020 lb/h of steam pass about 4750 lb/h of air at 100 degF."""
    found, _ = run(
        *("--molar-mass", "28.97", "--isentropic", "1.4", "--temperature", "100.33 degF"),
        *("--steam-rating", "3020 lb/h"),
    )

    assert found["capacity_kg_s"] * 3600 / 0.45359237 == pytest.approx(4750, rel=5e-3)


def test_an_air_rating_of_air_is_itself() -> None:
    """A rating on air asked for the same air at 60 degF comes back."""
    found, _ = run(
        *("--molar-mass", "28.97", "--isentropic", "1.4", "--temperature", "60 degF"),
        *("--air-rating", "1000 kg/h"),
    )

    assert found["capacity_kg_s"] == pytest.approx(1000 / 3600)


def test_a_rating_at_one_base_is_held_to_a_flow_at_another() -> None:
    """Field case V12: 260 Nm3/h of air pass 11,000 scfh of gas of relative density 0.6."""
    gas = ("--molar-mass", "17.379", "--isentropic", "1.27", "--temperature", "60 degF")
    base = "scf/h @ 14.73 psi, 60 degF"
    found, code = run(*gas, "--air-rating", "260 Nm3/h", "--flow", f"11000 {base}")
    _, short = run(*gas, "--air-rating", "260 Nm3/h", "--flow", f"13000 {base}")

    assert (0, 1) == (code, short)
    # 12,500 scfh by relative density alone; the exponent takes 3 % off.
    assert 37.239508 * found["capacity_nm3_h"] == pytest.approx(12500, rel=0.04)


def test_more_than_the_largest_orifice_is_said() -> None:
    """An area over T has no letter, and a warning says that several devices are needed."""
    found, code = run(*EXAMPLE, "--flow", "2427000 kg/h")

    assert (0, None) == (code, found["designation"])
    assert any("several devices" in one for one in found["warnings"])


def test_people_read_the_area_first() -> None:
    """The text for people begins with area and letter and ends with the caution."""
    out = answer(["relief", *EXAMPLE, "--flow", "24270 kg/h"], AROUND).out

    assert out.startswith("Area           3699 mm2, standard orifice P (4116.1 mm2)")
    assert out.rstrip().endswith("the responsible engineer govern.")


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        ((*EXAMPLE, "--flow", "1 kg/s", "--p2", "700 kPa abs"), '--p2 "700 kPa abs" is above'),
        ((*EXAMPLE, "--flow", "0 kg/s"), '--flow "0 kg/s" cannot be used'),
        ((*EXAMPLE, "--flow", "1 bar"), '--flow "1 bar" is a quantity of another kind'),
        ((*EXAMPLE, "--area", "0 mm2"), '--area "0 mm2" cannot be used'),
        ((*EXAMPLE, "--orifice", "X"), '--orifice "X" is not known'),
        ((*EXAMPLE, "--air-rating", "1 kg/s"), '--p1 "670 kPa abs" does not belong to a rating'),
        (EXAMPLE, "springcase relief has nothing to work from"),
        ((*EXAMPLE[:-4], "--flow", "1 kg/s"), "springcase relief needs the relieving pressure"),
        ((*EXAMPLE, "--flow", "1 kg/s", "--kb", "1.2"), '--kb "1.2" is outside'),
        (
            (*EXAMPLE[:-4], "--set", "10 bar gauge", "--flow", "1 kg/s"),
            '--set "10 bar gauge" does not give a relieving pressure',
        ),
    ],
)
def test_a_refusal_is_one_sentence(words: tuple[str, ...], sentence: str) -> None:
    """What cannot be used is named as it was typed."""
    said = refusal(*words)

    assert said.startswith(sentence)
    assert "\n" not in said
