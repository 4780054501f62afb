"""The state a job starts from, by history or by what is off."""

from __future__ import annotations

import pytest

from springcase.assembly.expand import build_structure
from springcase.assembly.model import Goal, GoalKind, Question, loose, off
from springcase.assembly.start import Start, find_start, replay
from springcase.errors import BadInput, UnknownName
from springcase.job.plan import weigh
from springcase.owner import read_owner
from unit.assembly.small_family import make_family

SMALL = build_structure(make_family())
COSTS = weigh(read_owner(None))
TO_SET = ("cap", "spring", "screws", "set")


def start(*removed: str, done: tuple[str, ...] = ()) -> Start:
    """Return the start of a question about the disc."""
    goal = Goal(kind=GoalKind.REACH, part="disc")
    question = Question(goals=(goal,), place="bench", gas="natural-gas", removed=removed, done=done)
    return find_start(SMALL, question, COSTS)


def test_nothing_off_is_the_whole_build() -> None:
    """Without history and without removed parts nothing is off and no joint open."""
    assert Start() == start()


def test_a_history_is_replayed_in_its_order() -> None:
    """What was done gives its facts and opens its joints, in the order opened."""
    found = replay(SMALL, ("cap", "spring", "screws"))

    assert ("cap-joint", "casing") == found.joints
    assert {off(p) for p in TO_SET[:3]} | {loose(p) for p in TO_SET[:3]} == found.facts
    assert found == start(done=("cap", "spring", "screws"))


def test_a_lump_named_is_off_and_whole() -> None:
    """A lump by its own name is off but not loose; its parts by name are loose too."""
    whole = start("cap", "spring", "screws", "set")
    split = start("cap", "spring", "screws", "diaphragm", "plate")

    assert off("plate") in whole.facts and loose("plate") not in whole.facts
    assert loose("plate") in split.facts
    assert {"set", "bench-diaphragm"} <= set(split.done)


@pytest.mark.parametrize(
    ("removed", "error", "match"),
    [
        (("post",), UnknownName, r"^\[removed-unknown\] --removed: 'post'"),
        (("damper",), UnknownName, r"^\[removed-unknown\] --removed: 'damper'"),
        (("body",), BadInput, r"^\[removed-fixed\] --removed: 'body'"),
        (("spring",), BadInput, r"^\[removed-cannot-be\] --removed: 'spring' .*'cap'"),
        (("cap", "orifice"), BadInput, r"^\[removed-cannot-be\] --removed: 'orifice' .*'disc'"),
        (
            ("cap", "spring", "screws", "plate"),
            BadInput,
            r"^\[removed-cannot-be\] --removed: 'plate' .*'diaphragm'",
        ),
    ],
)
def test_what_cannot_be_off_is_refused_with_what_holds_it(
    removed: tuple[str, ...], error: type[BadInput], match: str
) -> None:
    """An unknown part, a fixed one, or one still held by another is refused by name."""
    with pytest.raises(error, match=match):
        start(*removed)


@pytest.mark.parametrize(
    ("done", "error", "match"),
    [
        (("twist",), UnknownName, r"^\[operation-unknown\] --done: 'twist'"),
        (("spring",), BadInput, r"^\[done-barred\] --done: 'spring' \(right: \['cap'\]\)"),
        (("cap", "cap"), BadInput, r"^\[done-twice\] --done: 'cap'"),
        (
            (*TO_SET, "bench-diaphragm", "bench-diaphragm"),
            BadInput,
            r"^\[done-twice\] --done: 'bench-diaphragm'",
        ),
    ],
)
def test_a_history_that_cannot_be_is_refused(
    done: tuple[str, ...], error: type[BadInput], match: str
) -> None:
    """An unknown step, one still barred, or one done twice is refused by name."""
    with pytest.raises(error, match=match):
        start(done=done)
