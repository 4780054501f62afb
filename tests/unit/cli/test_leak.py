"""`springcase leak` measures, judges only against a limit, and refuses in one sentence."""

from __future__ import annotations

import json
from datetime import date
from typing import Any

import pytest

from springcase.cli.app import Result, Surroundings, answer
from springcase.errors import SpringcaseError
from springcase.wording import explain

AROUND = Surroundings({}, date(2026, 11, 25))
HOLD = (
    *("--volume", "0.25 m3", "--start", "8.00 bar gauge", "--end", "7.90 bar gauge"),
    *("--start-temperature", "20 degC", "--end-temperature", "19 degC", "--time", "1 h"),
)
AIR = ("--barometer", "1013.25 mbar")
FINE = ("--resolution", "0.1 mbar", "--temperature-uncertainty", "0.01 K")
BUBBLES = ("--bubbles", "2", "--tube", "6x1", "--time", "10 min", "--temperature", "15 degC")


def result_of(*words: str) -> Result:
    """Return what a leak command prints and how it ends."""
    return answer(["leak", *words, "--json"], AROUND)


def run(*words: str) -> tuple[dict[str, Any], int]:
    """Return the document and exit code of a leak command."""
    result = result_of(*words)
    return json.loads(result.out), result.code


def refusal(*words: str) -> str:
    """Return the sentence a leak command is refused with."""
    with pytest.raises(SpringcaseError, match=r"^\[") as caught:
        answer(["leak", *words], AROUND)
    return explain(caught.value)


def test_without_a_limit_it_measures_and_says_so() -> None:
    """The line of the design gives both leaks, no verdict, exit 0, and a sentence that says it."""
    result = result_of(*HOLD, *AIR)
    found = json.loads(result.out)

    assert (0, None, []) == (result.code, found["verdict"], found["verdicts"])
    assert (280.8849, 404.2042) == (
        round(found["leak_ml_min"], 4),
        round(found["uncorrected_ml_min"], 4),
    )
    assert round(100 * found["temperature_share"]) == 31
    assert any("measured, not judged" in note.casefold() for note in result.notes)


def test_a_last_digit_is_said_where_it_stands_for_the_step() -> None:
    """Readings typed without a resolution say which step was taken, and it is what they show."""
    found, _ = run(*HOLD, *AIR)

    assert found["one_step_ml_min"] == pytest.approx(found["uncorrected_ml_min"] / 10)
    assert 2 == sum("last digit typed" in note for note in found["warnings"])
    assert any("0.01 bar gauge" in note for note in found["warnings"])


@pytest.mark.parametrize(
    ("limit", "verdict", "code"),
    [
        ("300 mL/min", "INCONCLUSIVE", 1),
        ("500 mL/min", "PASS", 0),
        ("0.5 mL/min", "FAIL", 1),
        ("500 mL/min @ 1 atm, 0 degC", "PASS", 0),
    ],
)
def test_a_limit_is_judged(limit: str, verdict: str, code: int) -> None:
    """With a limit a verdict stands, and only PASS ends with 0."""
    found, ended = run(*HOLD, *AIR, *FINE, "--limit", limit)

    assert (verdict, code, [verdict]) == (
        found["verdict"],
        ended,
        [one["verdict"] for one in found["verdicts"]],
    )


def test_a_tight_hold_that_could_not_see_the_limit_says_what_would() -> None:
    """A pressure that did not move proves no leak below what the hold sees."""
    still = [*HOLD, *AIR, "--limit", "0.5 mL/min"]
    still[5], still[9] = "8.00 bar gauge", "20 degC"
    result = result_of(*still)
    found = json.loads(result.out)

    assert ("INCONCLUSIVE", "unseen", 1) == (found["verdict"], found["reason"], result.code)
    assert any("to see the limit" in note for note in result.notes)


def test_a_hold_a_little_short_is_told_how_long() -> None:
    """A hold that needs hours and not days is told how many."""
    found, _ = run(
        *HOLD, *AIR, *FINE[:2], "--temperature-uncertainty", "0.1 K", "--limit", "270 mL/min"
    )

    assert any("held for" in note for note in found["warnings"])


def test_creep_that_warming_explains() -> None:
    """V2 on the command line: the seat's rise is INCONCLUSIVE, and the document says 0.70 scfh."""
    found, code = run(
        *("--volume", "2.65 ft3", "--start", "62.4 psig", "--end", "63.0 psig", "--into"),
        *("--start-temperature", "10 degC", "--end-temperature", "14 degC", "--time", "560 s"),
        *("--barometer", "14.7 psi", "--seat-class", "VI", "--seat", "1 in"),
    )
    scfh = -found["uncorrected_ml_min"] * 60e-6 / 0.3048**3

    assert ("INCONCLUSIVE", "temperature", 1) == (found["verdict"], found["reason"], code)
    assert scfh == pytest.approx(0.70, abs=0.01)
    assert found["temperature_change_pa"] > found["pressure_change_pa"] > 0
    assert found["verdicts"][0]["value_ml_min"] == -found["leak_ml_min"]


def test_a_barometer_that_moved_is_counted() -> None:
    """A gauge that stood still while the air fell by 10 mbar has lost gas."""
    words = [*HOLD, *AIR, "--end-barometer", "1003.25 mbar"]
    words[5], words[9] = "8.00 bar gauge", "20 degC"
    found, _ = run(*words)

    assert found["pressure_change_pa"] == pytest.approx(-1000.0)
    assert found["leak_ml_min"] == pytest.approx(40.42, abs=0.01)


def test_bubbles_and_meter_come_on_the_same_basis() -> None:
    """Two bubbles of 0.15 mL in ten minutes are 0.03 mL/min, as a meter reads that flow."""
    counted, code = run(*BUBBLES, *AIR, "--limit", "0.15 mL/min")
    metered, _ = run("--meter", "0.030 mL/min", "--temperature", "15 degC", *AIR)

    assert (0, "PASS") == (code, counted["verdict"])
    assert (0.03, 0.03) == (round(counted["leak_ml_min"], 9), round(metered["leak_ml_min"], 9))
    assert metered["uncertainty_ml_min"] == pytest.approx(2 * 0.001 / 12**0.5)


def test_the_other_tube_is_from_memory_and_says_so() -> None:
    """A bubble of the 5/16 in tube is marked as from memory."""
    found, _ = run(*BUBBLES[:3], "api-527", *BUBBLES[4:], *AIR)

    assert any("from memory" in note for note in found["warnings"])


def test_a_seat_class_is_a_limit() -> None:
    """Class IV of a rated capacity is its share, and says which test it holds for."""
    found, code = run(
        *("--meter", "1.00 L/min @ 1 atm, 0 degC", "--seat-class", "IV"),
        *("--capacity", "621.577 Nm3/h"),
    )

    assert ("PASS", 0, "FCI 70-2 IV") == (found["verdict"], code, found["seat_class"])
    assert found["limit_ml_min"] == pytest.approx(62157.7 / 60 * 288.15 / 273.15)
    assert any("45 to 60 psig" in note for note in found["warnings"])


def test_text_says_leak_and_verdict() -> None:
    """For people the leak stands first, then what temperature did, then the verdict."""
    out = answer(["leak", *HOLD, *AIR, "--limit", "0.5 mL/min"], AROUND).out

    assert "Leak           280.9 mL/min" in out
    assert "temperature alone -30.75 mbar" in out
    assert "Verdict        FAIL (limit 0.5 mL/min)" in out


def test_a_hold_that_lost_a_tenth_is_named() -> None:
    """A change of more than 10 % of the start is said."""
    words = [*HOLD, *AIR]
    words[5] = "6.00 bar gauge"

    assert any("more than the 10 %" in note for note in run(*words)[0]["warnings"])


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (HOLD[:-2], "lacks --time"),
        (HOLD, "the barometer or the altitude"),
        (("--bubbles", "3", "--time", "1 min"), "lacks --tube"),
        (BUBBLES, "--barometer or --altitude"),
        ((*BUBBLES, *AIR, "--volume", "1 L"), "does not belong to a test by bubbles"),
        (("--bubbles", "3", "--tube", "straw", *BUBBLES[4:], *AIR), "straw"),
        (("--bubbles", "-3", "--tube", "6x1", *BUBBLES[4:], *AIR), "zero or more"),
        (("--meter", "1 mL/min"), "--temperature"),
        (("--meter", "1 kg/h"), "--meter"),
        ((*HOLD, *AIR, "--limit", "0 mL/min"), "more than zero"),
        ((*HOLD, *AIR, "--limit", "1 bar"), "--limit"),
        ((*HOLD, *AIR, "--seat", "1 in"), "--seat-class"),
        ((*HOLD, *AIR, "--seat-class", "VI", "--limit", "1 mL/min"), "--limit"),
        ((*HOLD, *AIR, "--seat-class", "IV"), "the rated capacity"),
        ((*HOLD, *AIR, "--seat-class", "VI", "--seat", "1 m"), "at most 406.4 mm"),
        ((*HOLD, *AIR, "--seat-class", "IX"), "IX"),
        ((*HOLD, *AIR, "--temperature-uncertainty", "1 degC"), "0.5 K"),
        ((*HOLD, *AIR, "--resolution", "-1 mbar"), "zero or more"),
        ((*HOLD, "--barometer", "1013 mbar gauge"), "1013 mbar abs"),
        ((*HOLD[:4], "--end", "8.9 bar abs", *HOLD[6:], *AIR), "the same zero"),
    ],
)
def test_what_cannot_be_used_is_refused(words: tuple[str, ...], said: str) -> None:
    """Each bad line is refused in one sentence that says what would be right."""
    sentence = refusal(*words)

    assert said in sentence
    assert "\n" not in sentence
