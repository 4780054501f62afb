"""A table converts, or every problem of it is named in one run."""

from __future__ import annotations

import datetime
from enum import StrEnum
from typing import Annotated, Any, Literal

import msgspec
import pytest

from springcase.formats import ID_PATTERN, Problem, convert_table
from springcase.wording import explain_problem


class Shade(StrEnum):
    """An enumeration for these tests."""

    LIGHT = "light"
    DARK = "dark"


class Inner(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A nested table."""

    minutes_on: Annotated[float, msgspec.Meta(ge=0, le=1440)]
    after: list[list[str]] = []


class Outer(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True):
    """A table with one field of every kind formats use."""

    words: Annotated[str, msgspec.Meta(min_length=1, max_length=20)]
    kind: Literal["soft", "hard"] = "soft"
    shade: Shade = Shade.LIGHT
    id: Annotated[str, msgspec.Meta(pattern=ID_PATTERN)] = "a"
    count: Annotated[int, msgspec.Meta(gt=0, lt=1000)] = 1
    fixed: bool = False
    due: datetime.date | None = None
    parts: Annotated[list[str], msgspec.Meta(min_length=1, max_length=3)] = msgspec.field(
        default_factory=lambda: ["a"]
    )
    off: Inner | None = None
    check: dict[str, Inner] = {}
    figure: str | Inner = "1"
    size: str | msgspec.UnsetType = msgspec.UNSET


def found(table: Any) -> list[str]:
    """Return each problem of a table as the clause a person reads."""
    value, problems = convert_table(table, Outer, "part.orifice")

    assert (value is None) == bool(problems)
    return [explain_problem(problem) for problem in problems]


def test_right_table_converts() -> None:
    """A right table gives its struct and no problem."""
    value, problems = convert_table({"words": "orifice", "due": "2027-03-31"}, Outer, "part")

    assert [] == problems
    assert Outer(words="orifice", due=datetime.date(2027, 3, 31)) == value


@pytest.mark.parametrize(
    ("table", "clause"),
    [
        ({}, "part.orifice.words is missing"),
        (3, "part.orifice is 3; right is a table"),
        ({"words": ""}, "part.orifice.words is empty or too short; right is a length of 1 or more"),
        ({"words": "a" * 21}, "part.orifice.words is too long; right is at most 20 characters"),
        ({"words": 3}, "part.orifice.words is 3; right is text in quotes"),
        ({"kind": "sofft"}, 'part.orifice.kind is "sofft"; right is one of hard, soft'),
        ({"shade": "grey"}, 'part.orifice.shade is "grey"; right is one of light, dark'),
        (
            {"id": "A b"},
            'part.orifice.id is "A b"; right is small letters and figures, words joined by hyphens',
        ),
        ({"count": 0}, "part.orifice.count is 0; right is more than 0"),
        ({"count": 1000}, "part.orifice.count is 1000; right is less than 1000"),
        ({"count": 1.5}, "part.orifice.count is 1.5; right is a whole number"),
        ({"count": True}, "part.orifice.count is true; right is a whole number"),
        ({"fixed": 1}, "part.orifice.fixed is 1; right is true or false"),
        ({"due": "soon"}, 'part.orifice.due is "soon"; right is a date such as 2027-03-31'),
        ({"parts": []}, "part.orifice.parts has a count of 0; right is at least 1"),
        ({"parts": list("abcd")}, "part.orifice.parts has a count of 4; right is at most 3"),
        ({"parts": "a"}, 'part.orifice.parts is "a"; right is a list'),
        ({"off": {"minutes_on": -1}}, "part.orifice.off.minutes_on is -1; right is 0 or more"),
        (
            {"off": {"minutes_on": 9e9}},
            "part.orifice.off.minutes_on is 9000000000; right is 1440 or less",
        ),
        ({"off": {"minutes_on": "1"}}, 'part.orifice.off.minutes_on is "1"; right is a number'),
        ({"off": {}}, "part.orifice.off.minutes_on is missing"),
        (
            {"off": {"minutes_on": 1, "after": [["a", 1]]}},
            "part.orifice.off.after[0][1] is 1; right is text in quotes",
        ),
        ({"check": {"bore": 1}}, "part.orifice.check.bore is 1; right is a table"),
        ({"figure": 2}, "part.orifice.figure is 2; right is text in quotes"),
        ({"figure": {}}, "part.orifice.figure.minutes_on is missing"),
        ({"size": 2}, "part.orifice.size is 2; right is text in quotes"),
        (
            {"kinnd": "soft"},
            'part.orifice.kinnd: unknown key "kinnd"; the nearest known is kind',
        ),
        ({"xyzzy": 1}, 'part.orifice.xyzzy: unknown key "xyzzy"; known here: check, count, due, '),
        ({"a b": 1}, 'part.orifice."a b": unknown key "a b"; known here: check, count, due, '),
    ],
)
def test_problem_names_path_value_and_right(table: Any, clause: str) -> None:
    """Each kind of mistake gives one clause with path, value and what is right."""
    given = {"words": "orifice", **table} if isinstance(table, dict) and table else table
    clauses = found(given)

    assert 1 == len(clauses)
    assert clauses[0].startswith(clause)


def test_all_problems_of_all_depths_are_listed() -> None:
    """Mistakes at every depth are listed together, in the order of the file."""
    table = {
        "kind": 1,
        "off": {"minutes_on": -1, "afer": []},
        "check": {"bore": {"minutes_on": "x"}, "edge": {}},
        "words": "",
    }
    _, problems = convert_table(table, Outer, "part.orifice")

    assert [
        "part.orifice.kind",
        "part.orifice.off.minutes_on",
        "part.orifice.off.afer",
        "part.orifice.check.bore.minutes_on",
        "part.orifice.check.edge.minutes_on",
        "part.orifice.words",
    ] == [problem.path for problem in problems]
    assert {"orifice"} == {problem.id for problem in problems}


def test_whole_file_names_the_thing_by_its_key() -> None:
    """With no path given, a problem belongs to the table it stands in."""
    _, problems = convert_table({"words": "a", "check": {"bore": 3}}, Outer, "")

    assert [Problem(code="not-table", path="check.bore", id="bore", value=3)] == problems
