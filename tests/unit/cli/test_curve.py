"""`springcase curve` as typed: figures, picture, warnings, refusals."""

from __future__ import annotations

import json
import sys
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from springcase.cli.app import Result, Surroundings, answer
from springcase.errors import MissingExtra, SpringcaseError
from springcase.wording import explain

PLACE = Surroundings(settings={}, today=date(2026, 11, 25))
BIRCH = ["--family", "birch", "--gas", "methane", "--inlet", "4 bar gauge"]
SET = ["--set-point", "100 mbar gauge"]


def run(*words: str) -> Result:
    """Answer one command line."""
    return answer(["curve", *words], PLACE)


def document(*words: str) -> dict[str, Any]:
    """Return the document of a command line that must work."""
    done = run(*words, "--json")
    assert 0 == done.code
    found: dict[str, Any] = json.loads(done.out)
    return found


def test_the_line_of_the_design_works(tmp_path: Path) -> None:
    """The line written in the design gives its keys and a picture."""
    picture = tmp_path / "curve.svg"

    found = document(*BIRCH, *SET, "--picture", str(picture))

    assert ["format", "version"] == list(found)[:2]
    assert len(found["flow_nm3_h"]) == len(found["outlet_pressure_gauge_pa"]) == 101
    assert found["lock_up_gauge_pa"] > found["set_point_gauge_pa"] == pytest.approx(10_000)
    assert found["lock_up_inlet_gauge_pa"] == pytest.approx(4e5)
    assert found["wide_open_nm3_h"] > found["largest_flow_nm3_h"]
    assert picture.read_text(encoding="utf-8").startswith("<svg")


def test_a_png_is_drawn_where_matplotlib_is(tmp_path: Path) -> None:
    """With the paper extra installed, a name ending in .png gets a PNG."""
    pytest.importorskip("matplotlib", reason="the paper extra is not installed")
    picture = tmp_path / "curve.png"

    document(*BIRCH, *SET, "--picture", str(picture))

    assert picture.read_bytes().startswith(b"\x89PNG\r\n")


def test_a_png_without_matplotlib_says_what_to_type(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without matplotlib a PNG is refused with the line to type, and nothing is written."""
    monkeypatch.setitem(sys.modules, "matplotlib.figure", None)
    picture = tmp_path / "curve.png"

    with pytest.raises(MissingExtra, match="extra-missing") as refused:
        run(*BIRCH, *SET, "--picture", str(picture))

    assert 'pip install "springcase[paper]"' in explain(refused.value)
    assert not picture.exists()


def test_what_the_reader_must_know_is_said() -> None:
    """A set point off the card, options not read and classes from memory are warned of."""
    said = " ".join(document(*BIRCH, *SET)["warnings"])

    assert "outside the 600.0 mbar gauge to 1800 mbar gauge" in said
    assert "not read from the plate: sensing" in said
    assert "from memory of EN 334" in said


def test_both_ways_of_typing_a_pressure_agree() -> None:
    """An inlet and a set point typed absolute give what they give typed gauge."""
    gauge = document(*BIRCH, "--set-point", "1 bar gauge", "--barometer", "1000 mbar abs")
    absolute = document(
        *["--family", "birch", "--gas", "methane", "--inlet", "5 bar abs"],
        *["--set-point", "2 bar abs", "--barometer", "1000 mbar abs"],
    )

    assert absolute["lock_up_gauge_pa"] == pytest.approx(gauge["lock_up_gauge_pa"])


def test_us_units_are_taken_and_shown() -> None:
    """Pressures in psi and w.c. and a flow in scf/h work, and the text keeps the unit typed."""
    words = ["--family", "alder", "--gas", "methane", "--inlet", "30 psig"]
    flow = ["--max-flow", "1000 scf/h @ 14.73 psi, 60 degF"]

    done = run(*words, "--set-point", "10 in w.c.", *flow)

    assert 0 == done.code
    assert "Set point      10.0 in w.c." in done.out
    assert "26.85 Nm3/h" in done.out


def test_a_changed_attitude_shifts_the_set_point() -> None:
    """A unit set upright and fitted upside down is said to hold less."""
    words = ["--family", "alder", "--gas", "methane", "--inlet", "2 bar gauge"]
    turned = ["--set-attitude", "spring-case-up", "--attitude", "spring-case-down"]

    found = document(*words, "--set-point", "25 mbar gauge", *turned)

    assert found["attitude_shift_pa"] < -500
    assert any("fitted otherwise than it was set" in each for each in found["warnings"])


def test_internal_relief_shows_its_capacity() -> None:
    """The internal relief stands with its capacity against wide open, and counts as nothing."""
    words = ["--family", "elm", "--gas", "methane", "--inlet", "4 bar gauge"]

    found = document(*words, "--set-point", "30 mbar gauge", "--limit", "80 mbar gauge")

    assert 0 < found["relief"]["capacity_nm3_h"] < found["wide_open_nm3_h"]
    assert any("does not count as protection" in each for each in found["warnings"])


def test_a_back_pressure_regulator_needs_no_inlet() -> None:
    """Cedar is asked with its set point alone; its pressure rises with the flow."""
    found = document("--family", "cedar", "--gas", "nitrogen", "--set-point", "60 mbar gauge")
    held = found["outlet_pressure_gauge_pa"]

    assert held[-1] > held[0]
    assert found["lock_up_gauge_pa"] < 6000
    assert found["lock_up_class"] is None


CHOOSE = [
    *["--choose", "--lowest-inlet", "2 bar gauge", "--set-point", "400 mbar gauge"],
    *["--reference-flow", "20 Nm3/h", "--max-flow", "90 Nm3/h", "--limit", "1 bar gauge"],
    *["--allowed-droop", "20 %", "--allowed-lock-up", "30 %"],
]


def test_choosing_ranks_the_builds_with_their_reasons() -> None:
    """The accepted build comes first, and a refused one says what refuses it."""
    found = document(*BIRCH, *CHOOSE, "--protection", "200 Nm3/h")
    first, second = found["choices"][:2]
    against = [each["words"] for each in second["reasons"] if each["standing"] == "refused"]

    assert 1 == found["accepted"]
    assert ("8 mm", True, False) == (first["orifice"], first["accepted"], second["accepted"])
    assert 1 == len(against)
    assert against[0].startswith("wide open 3") and "protection passes 200 Nm3/h" in against[0]


def test_without_protection_nothing_is_accepted() -> None:
    """Where no protection is named every build is refused, and the exit code is 1."""
    done = run(*BIRCH, *CHOOSE)

    assert 1 == done.code
    assert "no protection was named" in done.out
    assert "no spring and orifice of this family meets the service" in done.out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([*BIRCH, "--set-point", "5 bar"], "--set-point"),
        ([*BIRCH, "--set-point", "5 bar gauge"], "is not below the inlet"),
        (
            ["--family", "cedar", "--gas", "methane", "--set-point", "5 mbar gauge"],
            "would have to pull",
        ),
        ([*BIRCH, *SET, "--outlet", "1 bar gauge"], "--inlet for a reducer"),
        ([*BIRCH[:4], *SET], "--inlet"),
        ([*BIRCH, *SET, "--max-flow", "0 Nm3/h"], "more than zero"),
        ([*BIRCH, *SET, "--reference-flow", "9000 Nm3/h"], "more than the open valve passes"),
        ([*BIRCH, *SET, "--accuracy", "AC7"], "AC5"),
        ([*BIRCH, *SET, "--set", "orifice=12"], "11"),
        ([*BIRCH, *SET, "--picture", "curve.pdf"], "ends in .svg or .png"),
        ([*BIRCH, *SET, "--choose"], "--max-flow"),
        ([*BIRCH, *CHOOSE, "--picture", "curve.svg"], "leave --choose out"),
    ],
)
def test_what_cannot_be_asked_is_refused_in_one_sentence(words: list[str], said: str) -> None:
    """Unusable input is refused with one sentence that says what would be right."""
    with pytest.raises(SpringcaseError, match=r"^\[[a-z-]+\]") as refused:
        run(*words)
    sentence = explain(refused.value)

    assert said in sentence
    assert "\n" not in sentence
