"""Every published figure is met to its last printed digit."""

from __future__ import annotations

from pathlib import Path

import pytest

from published.case_files import Case, agrees, allowed, computed, needs_confirmation, read_cases

CASES = read_cases()
REPORT = Path(__file__).with_name("needs_confirmation.txt")


@pytest.mark.parametrize(
    "case", [case for case in CASES if not case.deviates], ids=lambda case: case.id
)
def test_agrees_to_the_last_printed_digit(case: Case) -> None:
    """What we give is what the source prints, within half its last digit or the stated bound."""
    is_text = case.unit == "text"
    bound = "exactly" if is_text else f"within {allowed(case):g}"

    assert agrees(case), f"{case.id}: printed {case.printed}, ours {computed(case)}, {bound}"


@pytest.mark.parametrize(
    "case", [case for case in CASES if case.deviates], ids=lambda case: case.id
)
def test_still_deviates_for_its_reason(case: Case) -> None:
    """A case marked as deviating still does: a mark that is no longer needed is removed."""
    assert not agrees(case), f"{case.id} agrees now: remove `deviates` ({case.deviates})"


def test_every_case_has_a_name_of_its_own() -> None:
    """No two cases share source, locator and call."""
    names = [case.id for case in CASES]

    assert [] == sorted({name for name in names if names.count(name) > 1})


def test_figures_from_memory_are_listed() -> None:
    """The committed report lists exactly the expected values that are from memory."""
    assert REPORT.read_text(encoding="utf-8") == needs_confirmation(CASES)


def test_a_wrong_figure_is_refused() -> None:
    """The runner finds a case whose printed figure is off by one in its last digit."""
    first = next(case for case in CASES if case.printed == "3551.1")
    changes = {name: getattr(first, name) for name in Case.__slots__}
    wrong = Case(**(changes | {"printed": "3551.2"}))

    assert (True, False) == (agrees(first), agrees(wrong))
