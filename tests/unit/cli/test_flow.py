"""`springcase flow` answers the lines of the design and refuses in one sentence."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest

from springcase.cli.app import Surroundings, answer
from springcase.errors import SpringcaseError
from springcase.wording import explain

AROUND = Surroundings({}, date(2026, 11, 25))
LEAST_KEYS = {"flow_nm3_h", "kv", "cv", "choked", "expansion_factor", "warnings", "sources"}
TYPED = (
    *("--molar-mass", "17.595", "--isentropic", "1.30", "--z", "0.99"),
    *("--temperature", "288.15 K", "--xt", "0.72"),
)
FIVE_TO_FOUR = ("--p1", "5 bar abs", "--p2", "4 bar abs")
METHANE = ("--gas", "methane", "--temperature", "15 degC")


def run(*words: str) -> dict[str, Any]:
    """Return the document of a flow command that answers."""
    result = answer(["flow", *words, "--json"], AROUND)

    assert 0 == result.code
    found: dict[str, Any] = json.loads(result.out)
    return found


def refusal(*words: str) -> str:
    """Return the sentence a flow command is refused with."""
    with pytest.raises(SpringcaseError, match=r"^\[") as caught:
        answer(["flow", *words], AROUND)
    return explain(caught.value)


def test_a_flow_gives_its_kv() -> None:
    """1000 Nm3/h of natural gas from 5 to 4 bar needs Kv 14.30611, Y 0.900285."""
    found = run(*TYPED, *FIVE_TO_FOUR, "--flow", "1000 Nm3/h")

    assert set() == LEAST_KEYS - set(found)
    assert (14.30611, 0.900285, False) == (
        round(found["kv"], 5),
        round(found["expansion_factor"], 6),
        found["choked"],
    )
    assert found["flow_nm3_h"] == pytest.approx(1000.0)


@pytest.mark.parametrize(("option", "key"), [("--kv", "kv"), ("--cv", "cv")])
def test_a_coefficient_gives_back_its_flow(option: str, key: str) -> None:
    """The flow of the Kv or Cv found for a flow is that flow."""
    wanted = run(*TYPED, *FIVE_TO_FOUR, "--flow", "1000 Nm3/h")
    found = run(*TYPED, *FIVE_TO_FOUR, option, repr(wanted[key]))

    assert found["flow_nm3_h"] == pytest.approx(1000.0, rel=1e-9)


def test_an_orifice_by_bore_takes_the_named_gas() -> None:
    """Methane through a 10 mm bore from 50 bar is choked, near the check file's 0.6102 kg/s."""
    found = run(
        *METHANE,
        "--bore",
        "10 mm",
        "--discharge",
        "0.85",
        "--p1",
        "50 bar abs",
        "--p2",
        "1 bar abs",
    )

    assert set() == LEAST_KEYS - set(found)
    assert found["choked"]
    assert found["flow_kg_s"] == pytest.approx(0.61018, rel=0.01)


def test_mass_flow_and_base_flow_say_the_same() -> None:
    """785 kg/h and what that is in scf/h at its base give one Kv."""
    by_mass = run(*TYPED, *FIVE_TO_FOUR, "--flow", "785 kg/h")
    base = f"{by_mass['flow_nm3_h']!r} Nm3/h"

    assert by_mass["kv"] == pytest.approx(run(*TYPED, *FIVE_TO_FOUR, "--flow", base)["kv"])


def test_gauge_pressures_want_the_air() -> None:
    """A gauge pressure is taken with a barometer, and refused without."""
    gauge = ("--p1", "5 bar gauge", "--p2", "4 bar gauge", "--kv", "10")
    found = run(*TYPED, *gauge, "--barometer", "1000 mbar abs")

    assert found["inlet_pressure_abs_pa"] == pytest.approx(6e5)
    assert "--p1" in refusal(*TYPED, *gauge)


def test_a_fast_and_a_sonic_outlet_are_warned_of() -> None:
    """The outlet pipe's Mach number is said; above 0.3 and above 1 there is a caution."""
    slow = run(*TYPED, *FIVE_TO_FOUR, "--kv", "10", "--outlet-pipe", "100 mm")
    fast = run(*TYPED, *FIVE_TO_FOUR, "--kv", "10", "--outlet-pipe", "20 mm")
    sonic = run(*TYPED, *FIVE_TO_FOUR, "--kv", "100", "--outlet-pipe", "25 mm")

    assert slow["outlet_mach"] < 0.3 < fast["outlet_mach"] < 1.0 < sonic["outlet_mach"]
    assert [] == [one for one in slow["warnings"] if "outlet" in one]
    assert any("Mach 0." in one for one in fast["warnings"])
    assert any("sonic" in one for one in sonic["warnings"])


def test_a_lift_and_a_body_lower_the_flow() -> None:
    """A small lift passes the curtain's share; a body behind takes part of the drop."""
    orifice = ("--bore", "10 mm", "--discharge", "0.8", *FIVE_TO_FOUR)
    whole = run(*TYPED[:-2], *orifice)
    lifted = run(*TYPED[:-2], *orifice, "--lift", "1 mm")
    bodied = run(*TYPED, *orifice, "--body-kv", "2")

    assert lifted["flow_kg_s"] == pytest.approx(0.4 * whole["flow_kg_s"])
    assert bodied["flow_kg_s"] < whole["flow_kg_s"]
    assert 4e5 < bodied["middle_pressure_abs_pa"] < 5e5


def test_a_small_trim_needs_more_kv() -> None:
    """With a style modifier a tiny trim is below Reynolds 10 000 and wants more Kv."""
    tiny = (*METHANE, *FIVE_TO_FOUR, "--xt", "0.8", "--flow", "0.1 Nm3/h")
    small = ("--valve-size", "15 mm", "--style", "0.07", "--recovery", "0.98")
    turbulent, found = run(*tiny), run(*tiny, *small)

    assert found["reynolds"] < 10000
    assert found["kv"] > 1.2 * turbulent["kv"]


def test_reducers_need_more_kv_by_the_edition() -> None:
    """Example 3 between 80 and 100 mm pipes: 72.75 by 2007, 70.89 by 2011."""
    words = (
        *("--molar-mass", "44.01", "--isentropic", "1.30", "--z", "0.988"),
        *("--temperature", "433 K", "--xt", "0.60", "--p1", "680 kPa abs", "--p2", "310 kPa abs"),
        *("--valve-size", "50 mm", "--inlet-pipe", "80 mm", "--outlet-pipe", "100 mm"),
        *("--flow", "3800 Nm3/h"),
    )
    by_edition = [round(run(*words, "--edition", year)["kv"], 2) for year in ("2007", "2011")]

    assert [72.75, 70.89] == by_edition


def test_people_read_the_flow_first() -> None:
    """The text for people begins with the flow and ends with the caution."""
    out = answer(["flow", *TYPED, *FIVE_TO_FOUR, "--kv", "10"], AROUND).out

    assert out.startswith("Flow           699 Nm3/h")
    assert out.rstrip().endswith("the responsible engineer govern.")


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (
            (*TYPED, "--kv", "10", "--p1", "4 bar abs", "--p2", "5 bar abs"),
            '--p2 "5 bar abs" is above the inlet pressure; right would be at most --p1 4 bar abs.',
        ),
        (
            (*TYPED, "--kv", "10", "--p1", "-4 bar abs", "--p2", "5 bar abs"),
            '--p1 "-4 bar abs" lies below absolute zero; ',
        ),
        (
            (*TYPED, "--kv", "nan", *FIVE_TO_FOUR),
            '--kv "nan" does not begin with a number that can be read; ',
        ),
        (
            (*TYPED[:-2], "--kv", "10", "--xt", "1.5", *FIVE_TO_FOUR),
            '--xt "1.5" is outside what the formula is stated for; right would be more than 0',
        ),
        (
            (*TYPED, "--flow", "10 m3/h", *FIVE_TO_FOUR),
            '--flow "10 m3/h" is a quantity of another kind; type a flow of gas with its base',
        ),
        (
            (*TYPED, "--flow", "10 bar", *FIVE_TO_FOUR),
            '--flow "10 bar" is a quantity of another kind; type a flow of gas with its base',
        ),
        (
            (*TYPED, "--bore", "0 mm", "--discharge", "0.8", *FIVE_TO_FOUR),
            '--bore "0 mm" cannot be used; right would be more than zero.',
        ),
        (
            (*TYPED, "--bore", "2 in", "--body", "1 in", "--discharge", "0.8", *FIVE_TO_FOUR),
            '--bore "2 in" is larger than the body around it; right would be at most 25.4 mm.',
        ),
        (
            (*TYPED, "--bore", "1 in", "--discharge", "1.8", *FIVE_TO_FOUR),
            '--discharge "1.8" is outside what the formula is stated for; ',
        ),
        (
            (*TYPED, "--kv", "10", "--bore", "1 in", *FIVE_TO_FOUR),
            "springcase flow answers one question: ",
        ),
        (
            (*TYPED, "--bore", "1 in", *FIVE_TO_FOUR),
            '--bore "1 in" needs --discharge beside it.',
        ),
        (
            (*TYPED, "--kv", "1", "--viscosity", "0.011 cP", *FIVE_TO_FOUR),
            '--viscosity "0.011 cP" needs --style beside it.',
        ),
        (
            ("--gas", "methane", *TYPED, "--kv", "10", *FIVE_TO_FOUR),
            "springcase flow needs to know one gas: ",
        ),
        (
            (*TYPED, "--flow", "1000 Nm3/h", "--p1", "5 bar abs", "--p2", "5 bar abs"),
            '--p2 "5 bar abs" is outside what the formula is stated for; ',
        ),
        (
            (*TYPED, "--kv", "10", "--valve-size", "50 mm", "--inlet-pipe", "40 mm", *FIVE_TO_FOUR),
            '--inlet-pipe "40 mm" is outside what the formula is stated for; ',
        ),
        (
            (
                *(*TYPED, "--flow", "90000 Nm3/h", "--valve-size", "20 mm"),
                *("--inlet-pipe", "80 mm", *FIVE_TO_FOUR),
            ),
            '--valve-size "20 mm" is too small for the flow at any opening; ',
        ),
    ],
)
def test_a_refusal_is_one_sentence_in_typed_words(words: tuple[str, ...], sentence: str) -> None:
    """What cannot be used is named as it was typed, with what would be right."""
    said = refusal(*words)

    assert said.startswith(sentence)
    assert "\n" not in said
