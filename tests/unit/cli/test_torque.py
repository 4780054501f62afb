"""`springcase torque` answers the lines of the design and refuses in one sentence."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

import pytest

from springcase.cli.app import Surroundings, answer
from springcase.errors import SpringcaseError
from springcase.wording import explain

AROUND = Surroundings({}, date(2026, 11, 25))
LEAST_KEYS = {
    "torque_n_m",
    "torque_lbf_in",
    "preload_n",
    "wrench_setting_n_m",
    "order",
    "passes",
    "warnings",
    "sources",
}
KIT = """\
format = "springcase/owner"
version = 1

[owner]
name = "Harrow Vale"

[[torque_tool]]
id = "small"
words = "small wrench"
low = "2 N.m"
high = "10 N.m"
accuracy = "6 %"
calibration_due = 2027-01-01

[[torque_tool]]
id = "middle"
words = "middle wrench"
low = "5 N.m"
high = "50 N.m"
accuracy = "3 %"
calibration_due = 2027-01-01
"""


def run(*words: str) -> tuple[dict[str, Any], int]:
    """Return the document and exit code of a torque command."""
    result = answer(["torque", *words, "--json"], AROUND)
    return json.loads(result.out), result.code


def refusal(*words: str) -> str:
    """Return the sentence a torque command is refused with."""
    with pytest.raises(SpringcaseError, match=r"^\[") as caught:
        answer(["torque", *words], AROUND)
    return explain(caught.value)


@pytest.fixture
def kit(tmp_path: Path) -> str:
    """Write an owner's file with two torque tools."""
    file = tmp_path / "owner.toml"
    file.write_text(KIT, encoding="utf-8")
    return str(file)


def test_a_share_of_proof_gives_preload_and_torque() -> None:
    """75 % of proof of a 3/4-10 grade 5 screw at K = 0.2 is 3193.9 lbf.in."""
    found, code = run(
        "--thread", "3/4-10", "--grade", "J429 5", "--share", "0.75", "--factor", "0.2"
    )

    assert (0, 3193.9, []) == (code, round(found["torque_lbf_in"], 1), found["warnings"])
    assert found["preload_n"] == pytest.approx(0.75 * 85000 * 0.334 * 4.4482216152605)


def test_an_extension_gives_the_setting() -> None:
    """100 lbf.in with a 6-in extension on a 12-in wrench is set to 66.67 lbf.in."""
    found, _ = run(
        *("--torque", "100 lbf.in", "--wrench", "12 in"),
        *("--extension", "6 in", "--angle", "0 deg"),
    )

    assert 7.53 == round(found["wrench_setting_n_m"], 2)
    assert 66.67 == round(found["wrench_setting_lbf_in"], 2)


def test_bolts_give_order_and_passes() -> None:
    """Twelve bolts at 27 N.m have the published order and four passes."""
    found, _ = run("--torque", "27 N.m", "--bolts", "12")

    assert [1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12] == found["order"]
    assert ["cross", "cross", "cross", "circular"] == [one["order"] for one in found["passes"]]


@pytest.mark.parametrize(
    "words",
    [
        ("--torque", "27 N.m"),
        ("--torque", "27 N.m", "--bolts", "5"),
        ("--thread", "M12", "--grade", "8.8"),
        ("--preload", "10 kN", "--diameter", "12 mm"),
        ("--bolts", "8"),
    ],
)
def test_every_answer_has_the_least_keys(words: tuple[str, ...]) -> None:
    """Each document holds at least the keys the design names."""
    found, code = run(*words)

    assert 0 == code
    assert set() == LEAST_KEYS - set(found)


def test_the_owner_decides_share_and_factor() -> None:
    """Without flags the owner's share and nut factor are used, and the factor is said."""
    found, _ = run(
        *("--thread", "M12", "--grade", "8.8"),
        *("--figure", "bolting.share_of_proof=50 %", "--figure", "bolting.nut_factor_dry=0.15"),
    )

    assert found["torque_n_m"] == pytest.approx(0.15 * 0.012 * 0.5 * 84.3e-6 * 580e6)
    assert any("K = 0.15 is assumed" in warning for warning in found["warnings"])


def test_a_state_of_the_thread_stands_for_its_factor() -> None:
    """`--factor lubricated` is the owner's nut factor for lubricated screws."""
    found, _ = run("--thread", "M12", "--grade", "8.8", "--factor", "lubricated")

    assert 0.18 == found["nut_factor"]


def test_more_than_proof_is_warned_of() -> None:
    """A torque that means more than the proof load says so."""
    found, code = run("--torque", "16 N.m", "--thread", "M6", "--grade", "8.8", "--factor", "0.2")

    assert 0 == code
    assert any("% of the proof load of grade 8.8" in warning for warning in found["warnings"])


def test_another_tool_of_the_kit_is_named(kit: str) -> None:
    """Where the wanted tool does not reach, another of the owner's kit is taken."""
    found, code = run(
        "--torque", "12 N.m", "--tool", "small", "--range", "11 to 13 N.m", "--owner", kit
    )

    assert (0, "middle", "small", 1) == (
        code,
        found["tool"]["id"],
        found["tool"]["instead_of"],
        len(found["tool"]["problems"]),
    )


@pytest.mark.parametrize(
    ("holds", "code", "id"), [("0 bar gauge", 1, "middle"), ("4 bar gauge", 1, None)]
)
def test_a_reason_never_helps_above_the_owners_class(
    kit: str, holds: str, code: int, id: str | None
) -> None:
    """Going on with a reason is for joints without pressure, unless the owner says otherwise."""
    found, got = run(
        *("--torque", "5 N.m", "--tool", "middle", "--range", "4.8 to 5.2 N.m"),
        *("--owner", kit, "--reason", "only one here", "--holds", holds),
    )

    assert (code, id, False) == (got, found["tool"]["id"], found["tool"]["fits"])


def test_a_typed_tool_is_judged() -> None:
    """A tool typed by range, accuracy and date is judged without a kit."""
    words = ("--torque", "12 N.m", "--range", "11 to 13 N.m", "--tool-accuracy", "4 %")
    fits = run(*words, "--tool-range", "5 to 25 N.m", "--tool-due", "2027-01-31")
    wrong = run(*words, "--tool-range", "10 to 100 N.m", "--tool-due", "2026-01-31")

    assert (True, 0) == (fits[0]["tool"]["fits"], fits[1])
    assert (False, 1, 2) == (wrong[0]["tool"]["fits"], wrong[1], len(wrong[0]["tool"]["problems"]))


def test_the_picture_is_written(tmp_path: Path) -> None:
    """`--picture` writes the bolt order as an SVG."""
    file = tmp_path / "order.svg"
    run("--bolts", "8", "--cover", "oval", "--picture", str(file))

    assert file.read_text(encoding="utf-8").startswith("<svg ")


def test_people_read_the_torque_first() -> None:
    """The text for people begins with the torque in three units and ends with the caution."""
    lines = answer(["torque", "--torque", "27 N.m", "--bolts", "4"], AROUND).out.splitlines()

    assert [
        "Torque         27.0 N.m, 239 lbf.in, 19.9 lbf.ft",
        "Order          1 3 2 4",
        "Pass 1         5.40 N.m to 8.10 N.m, in the order",
        "Pass 2         13.5 N.m to 18.9 N.m, in the order",
        "Pass 3         27.0 N.m, in the order",
        "Pass 4         27.0 N.m, round clockwise until none turns",
        "",
        "The maker's instructions and local codes govern; never tighten a joint that holds "
        "pressure.",
    ] == lines


REFUSED = [
    ((), "springcase torque has nothing to work from; give --torque"),
    (("--torque", "5"), '--torque "5" has no unit; type a torque such as'),
    (("--torque", "5 mm"), '--torque "5 mm" is a quantity of another kind'),
    (("--torque", "0 N.m"), '--torque "0 N.m" cannot be used; right would be more than zero.'),
    (("--torque", "nan N.m"), '--torque "nan N.m" does not begin with a number'),
    (("--torque", "5 N.m", "--preload", "5 kN"), '--preload "5 kN" and --torque say the same'),
    (("--torque", "5 N.m", "--share", "0.5"), '--share "0.5" and --torque say the same'),
    (("--preload", "5 kN"), '--preload "5 kN" needs --thread or --diameter'),
    (("--share", "0.5"), '--share "0.5" needs --thread and --grade'),
    (("--thread", "M12", "--diameter", "12 mm"), '--diameter "12 mm" and --thread say the same'),
    (("--grade", "8.8"), '--grade "8.8" needs --thread'),
    (("--thread", "M13", "--grade", "8.8"), '--thread "M13" is not known; the nearest known are M'),
    (("--thread", "M12", "--grade", "9.9"), '--grade "9.9" is not known'),
    (("--thread", "M12", "--grade", "8.8", "--share", "1.5"), '--share "1.5" is no usable share'),
    (("--thread", "5/8-11", "--grade", "B7"), 'grade "A193 B7" has no proof stress'),
    (("--thread", "M12", "--grade", "8.8", "--factor", "oily"), '--factor "oily" is not known'),
    (("--thread", "M12", "--grade", "8.8", "--factor", "0"), '--factor "0" cannot be used'),
    (("--torque", "5 N.m", "--bolts", "2"), "bolts 2 has no bolt order; right would be 3 to 32"),
    (("--torque", "5 N.m", "--bolts", "33"), "bolts 33 has no bolt order"),
    (("--torque", "5 N.m", "--bolts", "x"), '--bolts is "x"; right is a whole number.'),
    (("--torque", "5 N.m", "--passes", "100, circular"), "needs --bolts"),
    (
        ("--torque", "5 N.m", "--bolts", "8", "--passes", "30, 60, 100"),
        '--passes "30, 60, 100" lack the closing round',
    ),
    (
        ("--torque", "5 N.m", "--bolts", "8", "--passes", "60, 30, 100, circular"),
        'passes "60-60 %, 30-30 %, 100-100 %" do not rise',
    ),
    (("--torque", "5 N.m", "--wrench", "6 in"), '--wrench "6 in" needs --extension'),
    (("--torque", "5 N.m", "--extension", "6 in"), '--extension "6 in" needs --wrench'),
    (
        ("--torque", "5 N.m", "--wrench", "6 in", "--extension", "7 in", "--angle", "180 deg"),
        '--extension "7 in at 180 deg" puts the fastener at or behind the hand',
    ),
    (
        ("--torque", "5 N.m", "--wrench", "6 in", "--extension", "-1 in"),
        '--extension "-1 in at 0 deg" is negative',
    ),
    (("--torque", "5 N.m", "--tool", "none"), 'tool "none" is not in the kit'),
    (("--torque", "5 N.m", "--tool-accuracy", "4 %"), "needs --tool or --tool-range"),
    (
        ("--torque", "5 N.m", "--tool-range", "2 to 10 N.m", "--tool-due", "soon"),
        '--tool-due "soon" is no date',
    ),
    (
        ("--torque", "5 N.m", "--tool-range", "2 to 10 N.m", "--holds", "4 bar"),
        '--holds "4 bar" does not say whether it is gauge or absolute',
    ),
    (
        ("--torque", "5 N.m", "--tool-range", "2 to 10 N.m", "--holds", "4 bar abs"),
        '--holds "4 bar abs" is measured against the wrong reference',
    ),
    (
        ("--torque", "5 N.m", "--tool-range", "2 to 10 N.m", "--range", "6 to 7 N.m"),
        'torque "5.00 N.m" lies outside its range',
    ),
    (("--bolts", "8", "--picture", "/nowhere/at/all.svg"), "cannot be written"),
    (("--bolts", "8", "--cover", "rond"), '--cover is "rond"; right is one of'),
]


@pytest.mark.parametrize(("words", "sentence"), REFUSED)
def test_what_cannot_be_used_is_refused_in_one_sentence(
    words: tuple[str, ...], sentence: str
) -> None:
    """Each refusal is one sentence that names the option, the value and what would be right."""
    said = refusal(*words)

    assert sentence in said
    assert (1, True) == (len(said.splitlines()), said.endswith("."))
