"""`springcase convert` and `springcase gas` answer as designed, or refuse in one sentence."""

from __future__ import annotations

import json
import math
from datetime import date
from typing import Any

import pytest

from springcase.cli import app

TODAY = date(2026, 11, 25)
AMARILLO = ("gas", "--name", "amarillo", "--pressure", "70 bar abs", "--temperature", "15 degC")


def run(*words: str) -> int:
    """Run a command line in this process."""
    return app.run(words, app.Surroundings({}, TODAY))


def answer(capsys: pytest.CaptureFixture[str], *words: str) -> dict[str, Any]:
    """Return the JSON document of a command line that succeeds."""
    code = run(*words, "--json")
    out, _ = capsys.readouterr()

    assert code == 0
    return dict(json.loads(out))


def refusal(capsys: pytest.CaptureFixture[str], *words: str) -> str:
    """Return the sentence of a command line that is refused."""
    code = run(*words)
    out, err = capsys.readouterr()

    assert (2, "") == (code, out)
    return err.strip()


def test_a_column_of_water_becomes_psi(capsys: pytest.CaptureFixture[str]) -> None:
    """The line of the design gives the value, its unit and that it is gauge."""
    found = answer(capsys, "convert", "7 in w.c.", "--to", "psi")

    assert ("springcase/convert", "psi", "gauge") == (
        found["format"],
        found["unit"],
        found["reference"],
    )
    assert round(found["value"], 7) == 0.2528910


def test_a_base_is_changed_with_its_assumption_said(capsys: pytest.CaptureFixture[str]) -> None:
    """The second line of the design changes the base and says the ratio is ideal."""
    found = answer(capsys, "convert", "1 scf/h @ 14.73 psi, 60 degF", "--to", "Nm3/h")

    assert round(found["value"], 8) == 0.02685320
    assert "ideal ratio" in found["warnings"][0]
    assert {"name": "normal", "pressure_abs_pa": 101325.0, "temperature_k": 273.15} == found["base"]


def test_altitude_and_barometer_turn_gauge_into_absolute(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The air at a height, or as read, is added to the gauge pressure."""
    high = answer(capsys, "convert", "60 psig", "--to", "psia", "--altitude", "1000 m")
    read = answer(capsys, "convert", "60 psig", "--to", "psia", "--barometer", "1013.25 mbar abs")

    assert math.isclose(high["value"], 60 + 89874.6 / 6894.757, rel_tol=1e-6)
    assert math.isclose(read["value"], 74.695949, rel_tol=1e-7)
    assert "iso_2533" in high["sources"]


def test_text_says_reference_and_base(capsys: pytest.CaptureFixture[str]) -> None:
    """For people the answer is one line, with the base on a second."""
    run("convert", "7 in w.c.", "--to", "psi")
    run("convert", "1 Nm3/h", "--to", "scf/h", "--base", "us-14.73")

    assert capsys.readouterr().out.splitlines() == [
        "7 in w.c. = 0.252891 psi gauge",
        "1 Nm3/h = 37.23951 scf/h",
        "Base of scf/h: 1.0156 bar abs, 15.56 degC",
    ]


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (
            ("5 bar", "--to", "psi"),
            'quantity "5 bar" does not say whether it is gauge or absolute; type bar gauge or '
            "bar abs.",
        ),
        (
            ("60 psig", "--to", "psia", "--barometer", "0 psig"),
            '--barometer "0 psig" is no barometer reading: the air is read as an absolute '
            "pressure such as 1013 mbar abs.",
        ),
        (
            ("60 psig", "--to", "psia", "--barometer", "1 bar abs", "--altitude", "3 m"),
            '--altitude "3 m" and --barometer say the same thing twice; give one of them.',
        ),
        (
            ("1 kg/h", "--to", "Nm3/h", "--molar-mass", "0 g/mol"),
            '--molar-mass "0 g/mol" cannot be used; right would be more than zero.',
        ),
    ],
)
def test_a_conversion_is_refused_in_one_sentence(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], sentence: str
) -> None:
    """What cannot be converted leaves standard output empty and says why."""
    assert sentence == refusal(capsys, "convert", *words)


def test_a_mass_becomes_a_volume_with_the_molar_mass(capsys: pytest.CaptureFixture[str]) -> None:
    """With its molar mass a mass flow of gas is a flow at base conditions."""
    found = answer(
        capsys, "convert", "17.595 kg/h", "--to", "Nm3/h", "--molar-mass", "17.595 g/mol"
    )

    assert math.isclose(found["value"], 22.413970, rel_tol=1e-6)


def test_a_typed_gas_has_its_state(capsys: pytest.CaptureFixture[str]) -> None:
    """The first line of the design gives the keys it promises, in SI."""
    found = answer(
        capsys,
        *("gas", "--composition", "methane=0.9,nitrogen=0.1", "--pressure", "60 bar abs"),
        *("--temperature", "20 degC", "--model", "gerg-2008"),
    )

    assert {"z", "density_kg_m3", "joule_thomson_k_pa", "sound_speed_m_s"} <= set(found)
    assert 6e6 * found["molar_mass_kg_mol"] / (found["z"] * 8.314472 * 293.15) == pytest.approx(
        found["density_kg_m3"]
    )


def test_an_outlet_has_its_temperature_and_its_cautions(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """The second line of the design gives the outlet temperature, with frost and hydrate said."""
    found = answer(capsys, *AMARILLO, "--outlet", "10 bar abs")

    assert pytest.approx(256.02, abs=0.01) == found["outlet_temperature_k"]
    assert pytest.approx(288.15 - 256.02, abs=0.01) == found["cooling_k"]
    assert any("below 0 degC" in line for line in found["warnings"])
    assert any("hydrates may form" in line for line in found["warnings"])
    assert "outlet_temperature_k" not in answer(capsys, *AMARILLO)


def test_a_wet_outlet_is_said(capsys: pytest.CaptureFixture[str]) -> None:
    """An outlet below the dew line gives its number with the caution, not a refusal."""
    found = answer(
        capsys,
        *("gas", "--name", "ekofisk", "--pressure", "70 bar abs", "--temperature", "-10 degC"),
        *("--outlet", "20 bar abs"),
    )

    assert found["outlet_condenses"] is True
    assert any("liquid may form" in line for line in found["warnings"])


def test_a_gauge_pressure_wants_the_air(capsys: pytest.CaptureFixture[str]) -> None:
    """A gauge pressure is absolute with the barometer, and refused without."""
    words = ("gas", "--name", "air", "--pressure", "7 bar gauge", "--temperature", "15 degC")

    assert "only with the pressure of the air" in refusal(capsys, *words)
    found = answer(capsys, *words, "--barometer", "1.01325 bar abs")
    assert pytest.approx(8.01325e5) == found["pressure_abs_pa"]


def test_what_does_not_burn_shows_null(capsys: pytest.CaptureFixture[str]) -> None:
    """A gas that does not burn has null limits and null Wobbe index, and the reason said."""
    found = answer(
        capsys, "gas", "--name", "nitrogen", "--pressure", "8 bar abs", "--temperature", "15 degC"
    )

    assert (None, None, None) == (
        found["flammable_low"],
        found["wobbe_index_j_m3"],
        found["gross_heating_value_j_m3"],
    )
    assert any("No flammable limits" in line for line in found["warnings"])


def test_the_other_table_and_the_other_equation(capsys: pytest.CaptureFixture[str]) -> None:
    """Another table of limits and another equation give their own figures, marked from memory."""
    words = ("gas", "--name", "methane", "--pressure", "60 bar abs", "--temperature", "15 degC")
    found = answer(capsys, *words, "--table", "iec_60079_20_1", "--model", "aga8-detail")

    assert pytest.approx(0.044) == found["flammable_low"]
    assert "aga8_detail" in found["sources"]
    assert any("from memory (iec_60079_20_1_memory)" in line for line in found["warnings"])


def test_a_blend_is_typed_by_its_share(capsys: pytest.CaptureFixture[str]) -> None:
    """A share of hydrogen is blended into the gas named, and its text is readable."""
    found = answer(capsys, *AMARILLO, "--hydrogen", "20 %")
    run(*AMARILLO, "--hydrogen", "20 %", "--outlet", "10 bar abs")
    out = capsys.readouterr().out

    assert pytest.approx(0.2) == found["composition"]["hydrogen"]
    assert "amarillo + 20 % hydrogen" in out and "lucas_1980" in out and "Outlet" in out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "wants one gas"),
        (("--name", "air", "--composition", "methane=1"), "wants one gas"),
        (("--name", "amarilo"), "amarillo"),
        (("--composition", "methane"), "is no composition"),
        (("--composition", "methane=0.9,nitrogen=0.2"), "never renormalised"),
        (("--name", "propane"), "would condense"),
    ],
)
def test_a_gas_is_refused_in_one_sentence(
    capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    """What is no gas, or would be a liquid, is refused in one sentence."""
    sentence = refusal(
        capsys, "gas", *words, "--pressure", "60 bar abs", "--temperature", "15 degC"
    )

    assert said in sentence and "\n" not in sentence
