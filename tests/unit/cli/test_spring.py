"""`springcase spring` answers the line of the design and refuses in one sentence."""

from __future__ import annotations

import json
import math
from datetime import date
from typing import Any

import pytest

from springcase.cli.app import Surroundings, answer
from springcase.errors import SpringcaseError
from springcase.wording import explain

AROUND = Surroundings({}, date(2026, 11, 25))
COIL = ("--wire", "2 mm", "--mean-diameter", "16 mm", "--active", "8")
MUSIC = ("--material", "music-wire", *COIL)
SCREW = ("--screw-travel", "20 mm", "--pitch", "2 mm", "--area", "20000 mm2")
CARD = ("--rate", "9 N/mm", "--solid-length", "20 mm", "--free-length", "60 mm")
TURN = ("--per-turn", "1.35 psi", "--pitch", "12 threads/in", "--area", "46 in2")


def run(*words: str) -> tuple[dict[str, Any], int]:
    """Return the document and exit code of a spring command."""
    result = answer(["spring", *words, "--json"], AROUND)
    return json.loads(result.out), result.code


def test_the_line_of_the_design() -> None:
    """The design's line gives the rate, the stress and the solid length of the check file."""
    found, code = run(*MUSIC, "--shear-modulus", "79.3 GPa", "--force", "100 N")

    assert 0 == code
    assert [4840.09, 603.02] == [
        round(found["rate_n_m"], 2),
        round(found["shear_stress_pa"] / 1e6, 2),
    ]
    assert math.isclose(0.020, found["solid_length_m"])
    assert {"warnings", "sources"} <= found.keys()


def test_an_outer_diameter_and_total_coils_say_the_same() -> None:
    """Outer diameter and all coils describe the spring that mean diameter and active ones do."""
    first, _ = run(*MUSIC, "--ends", "squared")
    second, _ = run(
        *("--material", "A228", "--wire", "2 mm", "--outer-diameter", "18 mm"),
        *("--total", "10", "--ends", "squared"),
    )

    assert first.keys() == second.keys()
    assert all(
        math.isclose(first[name], second[name], rel_tol=1e-12)
        for name in ("rate_n_m", "index", "solid_length_m", "total_coils", "shear_limit_pa")
    )


def test_what_is_assumed_or_from_memory_is_said() -> None:
    """Ends that were assumed and figures from memory each stand among the warnings."""
    found, _ = run(*MUSIC)

    assert [
        "No type of ends was given; squared-ground is assumed, which decides the solid length.",
        "The figure for the solid length by the type of the ends is from memory "
        "(shigley_9e_memory) and needs confirmation.",
        "The figure for the share of it music-wire bears in shear is from memory "
        "(shigley_9e_memory) and needs confirmation.",
    ] == found["warnings"]


def test_a_set_range_from_wire_and_diaphragm() -> None:
    """A screw, a free length and a diaphragm's diameters give the set range and a turn."""
    found, code = run(
        *(*MUSIC, "--ends", "squared-ground", "--free-length", "60 mm"),
        *("--screw-travel", "20 mm", "--pitch", "2 mm"),
        *("--diaphragm", "convoluted", "--bore", "200 mm", "--plate", "140 mm"),
        *("--shear-modulus", "79.3 GPa"),
    )
    high = 4840.09 * 0.020 / (math.pi / 4 * 0.170**2)

    assert 0 == code
    assert math.isclose(high, found["set_range_high_diff_pa"], rel_tol=1e-6)
    assert math.isclose(high / 10, found["per_turn_diff_pa"], rel_tol=1e-6)
    assert (0.0, 10.0) == (found["set_range_low_diff_pa"], found["turns"])
    assert math.isclose(0.020, found["left_before_solid_m"])
    assert not found["may_buckle"]


def test_a_set_range_from_the_rate_of_a_card() -> None:
    """A carded rate with free and solid length gives the set range without a wire."""
    found, _ = run(*CARD, *SCREW)

    assert math.isclose(9000.0, found["set_range_high_diff_pa"])


def test_a_long_spring_may_buckle() -> None:
    """A free length over 5.26 mean diameters is warned of, and less so where it is held less."""
    held, _ = run(*MUSIC, "--free-length", "85 mm")
    pivoted, _ = run(*MUSIC, "--free-length", "60 mm", "--support", "pivoted-pivoted")

    assert (True, True) == (held["may_buckle"], pivoted["may_buckle"])
    assert any("may buckle" in warning for warning in held["warnings"])


def test_a_stress_over_the_limit_is_warned_of() -> None:
    """A force that would set the wire is warned of with its share of the limit."""
    found, code = run(*MUSIC, "--force", "200 N")

    assert 0 == code
    assert any(warning.startswith("The stress is 134 %") for warning in found["warnings"])


def test_an_unusual_index_is_warned_of() -> None:
    """A coil of three wires is worked out, and said to lie outside the usual."""
    found, code = run(*MUSIC[:4], "--mean-diameter", "6 mm", "--active", "8")

    assert 0 == code
    assert any("index 3 lies outside the usual 4 to 12" in said for said in found["warnings"])


def test_a_linkage_of_two_quarters_the_droop() -> None:
    """A linkage that halves force and travel of the spring leaves a quarter of the droop."""
    asked = (*CARD[:2], "--area", "20000 mm2", "--stroke", "2 mm")
    direct, _ = run(*asked)
    linked, _ = run(*asked, "--lever-ratio", "2")

    assert math.isclose(900.0, direct["droop_diff_pa"])
    assert math.isclose(225.0, linked["droop_diff_pa"])


def test_the_wrong_spring_of_field_case_v5() -> None:
    """1.35 psi a turn against 480 lbf/in carded is exit 1, with both rates and both droops."""
    found, code = run(*TURN, "--card", "480 lbf/in", "--stroke", "0.25 in")

    assert (1, "wrong") == (code, found["verdict"])
    assert [745, 1.55] == [round(found["rate_lbf_in"]), round(found["rate_ratio"], 2)]
    assert [4.05, 2.61] == [
        round(found[name] / 6894.757, 2) for name in ("droop_diff_pa", "carded_droop_diff_pa")
    ]


@pytest.mark.parametrize(
    ("card", "code", "verdict"),
    [("745 lbf/in", 0, "carded"), ("690 lbf/in", 1, "inconclusive"), ("900 lbf/in", 1, "wrong")],
)
def test_the_verdict_is_the_exit_code(card: str, code: int, verdict: str) -> None:
    """Only the spring on the card ends with 0; the text says the verdict first."""
    found, ended = run(*TURN, "--card", card)
    text = answer(["spring", *TURN, "--card", card], AROUND).out

    assert (code, verdict) == (ended, found["verdict"])
    assert text.startswith("Verdict        ")
    assert ("the spring on the card:" in text) == (verdict != "inconclusive")


def test_threads_per_inch_and_pitch_say_the_same() -> None:
    """A pitch typed as threads per inch, as tpi or as a length gives the same document."""
    rest = ("--per-turn", "1 psi", "--area", "46 in2", "--card", "480 lbf/in", "--pitch")
    whole = [run(*rest, pitch)[0] for pitch in ("16 threads/in", "16 tpi", "1/16 in")]

    assert whole[0] == whole[1] == whole[2]


def test_the_text_shows_what_was_asked() -> None:
    """The text holds rate, coils, stress, set range and droop, and the caution at the end."""
    text = answer(
        ["spring", *MUSIC, "--free-length", "60 mm", "--force", "50 N", *SCREW, "--stroke", "2 mm"],
        AROUND,
    ).out

    assert [
        "Rate",
        "Coils",
        "Solid length",
        "Shear stress",
        "Bears once",
        "May buckle",
        "Set range",
        "Screw",
        "Droop",
    ] == [line[:15].strip() for line in text.splitlines()[:-2]]
    assert "back the screw off before the case is opened" in text


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (
            (),
            "springcase spring has nothing to work from; give --wire with --mean-diameter and "
            "--active, or --rate, or --per-turn with --card.",
        ),
        (("--screw-travel", "2 mm"), "springcase spring has nothing to work from; give --wire"),
        (("--wire", "2 mm"), '--wire "2 mm" needs --mean-diameter beside it.'),
        (COIL, '--wire "2 mm" needs --material or --shear-modulus beside it.'),
        (COIL[:4], '--wire "2 mm" needs --active or --total beside it.'),
        ((*MUSIC, "--total", "10"), "--total 10 and --active say the same thing twice"),
        ((*MUSIC, "--rate", "9 N/mm"), '--rate "9 N/mm" and --wire say the same thing twice'),
        (("--rate", "9 N"), '--rate "9 N" is a quantity of another kind; type a rate such as'),
        (("--rate", "0 N/mm"), '--rate "0 N/mm" cannot be used; right would be more than zero.'),
        (
            (*MUSIC[:2], *COIL[:5], "nan"),
            'active coils "nan" is not a number to reckon with; give a finite number.',
        ),
        (
            (*MUSIC, "--force", "300 N", "--free-length", "60 mm"),
            '--force "300 N" leaves the coils touching (coil-bound); right would be less than '
            "197.8 N, which brings it solid.",
        ),
        (
            (*CARD, *SCREW[2:], "--screw-travel", "0 mm"),
            '--screw-travel "0 mm" cannot be used; right would be more than zero.',
        ),
        (
            (*CARD, *SCREW[2:], "--screw-travel", "45 mm"),
            'spring length "15 mm" leaves the coils touching (coil-bound); right would be more '
            "than the solid length, 20 mm.",
        ),
        (
            (*CARD[:2], *SCREW),
            '--screw-travel "20 mm" needs --wire, or --rate with --solid-length beside it.',
        ),
        ((*CARD[:4], *SCREW), '--screw-travel "20 mm" needs --free-length beside it.'),
        (
            (*TURN[:4], "--diaphragm", "flat", "--bore", "100 mm", "--plate", "120 mm"),
            "plate diameter 0.12 is larger than its diaphragm; right would be at most the "
            "diaphragm, 0.1 m.",
        ),
        (TURN, '--per-turn "1.35 psi" needs --card beside it.'),
        ((*TURN, "--card", "nan lbf/in"), '--card "nan lbf/in" does not begin with a number'),
        (
            ("--per-turn", "1 psi", "--pitch", "x tpi", "--area", "8 in2"),
            '--pitch "x tpi" does not begin with a number that can be read',
        ),
        (
            ("--wire", "2 mm", "--outer-diameter", "4 mm", "--active", "8"),
            '--outer-diameter "4 mm" is no coil; right would be more than two wires, 4.000 mm.',
        ),
        (
            ("--rate", "9 N/mm", "--free-length", "19 mm", "--solid-length", "20 mm"),
            '--free-length "19 mm" leaves the coils touching (coil-bound); right would be more',
        ),
        ((*CARD, "--card", "9 N/mm"), '--card "9 N/mm" needs --per-turn beside it.'),
        ((*CARD, "--bore", "9 mm"), '--bore "9 mm" needs --diaphragm beside it.'),
        ((*CARD, "--pitch", "2 mm"), '--pitch "2 mm" needs --screw-travel or --per-turn beside'),
        ((*CARD, "--material", "A228"), '--material "A228" needs --wire beside it.'),
        ((*CARD, "--force", "20 N"), '--force "20 N" needs --wire beside it.'),
    ],
)
def test_it_refuses_in_one_sentence(words: tuple[str, ...], sentence: str) -> None:
    """What is missing, doubled, of the wrong kind or impossible is refused in one sentence."""
    with pytest.raises(SpringcaseError, match=r"^\[") as caught:
        run(*words)

    assert explain(caught.value).startswith(sentence)
