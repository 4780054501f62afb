"""Sentences are made from one catalogue, strictly, and safe for a terminal."""

from __future__ import annotations

import pytest

from springcase.errors import BadInput, UnknownName, UnreadableFile
from springcase.formats import Problem
from springcase.wording import explain, explain_problem, read_catalogue, sentence


def test_sentence_is_filled_with_its_facts() -> None:
    """Names in braces become the facts given."""
    assert "and 3 more" == sentence("and-more", count=3)


def test_unknown_key_missing_fact_and_unknown_language_are_refused() -> None:
    """Nothing is filled in silently."""
    with pytest.raises(KeyError, match="no-such-key"):
        sentence("no-such-key")
    with pytest.raises(KeyError, match="the sentence and-more wants the fact count"):
        sentence("and-more")
    with pytest.raises(KeyError, match="no catalogue in tlh"):
        sentence("and-more", language="tlh", count=1)


@pytest.mark.parametrize(
    ("fact", "shown"),
    [
        (["a", "b"], "a, b"),
        ({"b", "a"}, "a, b"),
        ({"a": 1, "b": True}, "a 1, b true"),
        (2.0, "2"),
        (2.5, "2.5"),
        ("x\x1b[31m\n", "x\\x1b[31m\\n"),
        (list(range(50)), ", ".join(map(str, range(40))) + ", and 10 more"),
    ],
)
def test_facts_are_written_for_people(fact: object, shown: str) -> None:
    """Lists are joined, truth is a word, and nothing reaches the terminal as a command."""
    assert f"and {shown} more" == sentence("and-more", count=fact)


def test_a_fact_is_not_reached_into() -> None:
    """A fact with braces of its own is not filled in a second time."""
    assert "and {count.__class__} more" == sentence("and-more", count="{count.__class__}")


def test_error_names_field_value_and_right() -> None:
    """The value is quoted where it is text, and the sentence ends with one full stop."""
    error = UnknownName("command-unknown", field="command", value="plam", right=["plan", "torque"])

    assert 'There is no command "plam"; known: plan, torque.' == explain(error)


def test_long_value_is_shortened() -> None:
    """A value of a thousand signs does not fill the screen."""
    error = BadInput("argument-unexpected", field="springcase plan", value="x" * 1000)

    assert f'springcase plan cannot use "{"x" * 79}…";' in explain(error)


def test_all_problems_are_one_sentence() -> None:
    """An error that carries problems names each, joined by semicolons, on one line."""
    problems = tuple(Problem(code="key-missing", path=f"part.{letter}") for letter in "ab")
    error = UnreadableFile("file-has-problems", field="x.toml", value=2, problems=problems)

    assert "x.toml: part.a is missing; part.b is missing." == explain(error)
    assert "part.a is missing" == explain_problem(problems[0])


def test_more_problems_than_anyone_reads_are_counted() -> None:
    """Past a hundred problems the rest are counted."""
    problems = tuple(Problem(code="key-missing", path=f"p{place}") for place in range(205))
    error = UnreadableFile("file-has-problems", field="x.toml", value=205, problems=problems)

    assert explain(error).endswith("p99 is missing; and 105 more.")


def test_plain_words_of_a_file_begin_with_its_name() -> None:
    """A file of plain strings shares the catalogue without taking keys of others."""
    assert "page {page} of {pages}" == read_catalogue()["stackup-page"]
