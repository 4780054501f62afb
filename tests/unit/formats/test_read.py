"""A file that cannot be read as what it claims is refused in one clear way."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import msgspec
import pytest

from springcase.errors import UnreadableFile
from springcase.formats import Problem, read_document, register_format
from springcase.wording import explain


class Loose(msgspec.Struct):
    """A table for these tests, which only look at reading."""


NAME = "springcase/test-loose"
register_format(NAME, Loose, 1, title="Loose", words="For tests.")
HEAD = f'format = "{NAME}"\nversion = 1\n'.encode()


def refusal(content: bytes) -> str:
    """Return the sentence a content is refused with."""
    with pytest.raises(UnreadableFile, match="input") as caught:
        read_document(content, NAME)
    return explain(caught.value)


def problems(content: bytes) -> list[tuple[str, str]]:
    """Return code and path of each problem a content is refused with."""
    with pytest.raises(UnreadableFile, match=r"^\[file-has-problems\]") as caught:
        read_document(content, NAME)
    found: Any = caught.value.facts["problems"]
    return [(problem.code, problem.path) for problem in found]


def test_a_right_file_reads(tmp_path: Path) -> None:
    """A right file gives its tables without head, its name, and its version."""
    path = tmp_path / "right.toml"
    path.write_bytes(HEAD + b'[a]\nb = ["c", 1]\n')

    assert ({"a": {"b": ["c", 1]}}, str(path), 1) == read_document(path, NAME)


def test_a_byte_order_mark_is_let_pass() -> None:
    """A byte order mark, which some editors write, changes nothing."""
    assert {} == read_document(b"\xef\xbb\xbf" + HEAD, NAME).tables


@pytest.mark.parametrize(
    ("content", "expected"),
    [
        (b"", f'input does not say what it is; its first line should be format = "{NAME}".'),
        (b"format = 3", f'input has the format 3; "{NAME}" is read here.'),
        (
            b'format = "springcase/owner"\nversion = 1',
            f'input has the format "springcase/owner"; "{NAME}" is read here.',
        ),
        (HEAD[:-12], "input has no version; version = 1 is the newest."),
        (HEAD[:-2] + b"0", "input has the version 0; right is a whole number from 1 to 1."),
        (HEAD[:-2] + b"true", "input has the version true; right is a whole number from 1 to 1."),
        (HEAD[:-2] + b'"1"', 'input has the version "1"; right is a whole number from 1 to 1.'),
        (
            HEAD[:-2] + b"2",
            "input has version 2, newer than 1, the newest this Springcase reads; "
            "update Springcase.",
        ),
        (
            HEAD + b"[half",
            "input is not TOML: line 3: Expected ']' at the end of a table declaration.",
        ),
        (HEAD + b"a = 1\na = 2", "input is not TOML: line 4: Cannot overwrite a value."),
        (
            HEAD + b'w = "caf\xe9"',
            'input is not UTF-8 text: byte "0xe9" on line 3; save it as UTF-8.',
        ),
        (HEAD + b"a = " + b"[" * 5000, "input nests deeper than 24 levels on line 1; "),
        (HEAD + b"a = " + b"9" * 5000, "input holds a number too long to read; "),
        (
            HEAD + b"\na." + b"b." * 900_000 + b"c = 1",
            "input nests deeper than 24 levels on line 4",
        ),
        (HEAD + b"x" * 2_000_000, "input is too large: 2000045 bytes, at most 2000000 are read."),
    ],
)
def test_refusal_is_one_clear_sentence(content: bytes, expected: str) -> None:
    """A content that is not a file of ours is refused with this sentence."""
    assert refusal(content).startswith(expected)


def test_every_impossible_value_is_listed() -> None:
    """Values no format of ours can hold are all named in one run, in the order of the file."""
    content = HEAD + (
        b"a = inf\nb = [1, nan]\nc = 12345678901234567890\n"
        b'"d\\u001b" = 1\ne = "\\u202e"\nf = "line\\nline\\ttab"\n'
    )

    assert [
        ("not-finite", "a"),
        ("not-finite", "b[1]"),
        ("integer-too-large", "c"),
        ("text-hidden", '"d\\x1b"'),
        ("text-hidden", "e"),
    ] == problems(content)


def test_deep_tables_are_refused_by_path() -> None:
    """Tables nested beyond what the parser minds are refused with their path."""
    nested = b"a = " + b"[" * 40 + b"]" * 40

    assert [("too-deep", "a" + "[0]" * 24)] == problems(HEAD + nested)


def test_a_problem_is_printed_with_its_path() -> None:
    """The sentence of a file with problems names file, path, and what is right, escaped."""
    assert 'input: "d\\x1b" holds a control character or a hidden direction mark: "d\\x1b".' == (
        refusal(HEAD + b'"d\\u001b" = 1')
    )


def test_missing_file_is_named(tmp_path: Path) -> None:
    """A file that is not there is refused by its name."""
    path = tmp_path / "none.toml"
    with pytest.raises(UnreadableFile, match=r"^\[file-missing\]") as caught:
        read_document(path, NAME)

    assert f"{path}: there is no such file." == explain(caught.value)


def test_directory_and_pipe_are_named(tmp_path: Path) -> None:
    """A directory and a pipe are refused by name, and the pipe does not make us wait."""
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(UnreadableFile, match=r"^\[file-is-directory\]"):
        read_document(tmp_path, NAME)
    with pytest.raises(UnreadableFile, match=r"^\[file-not-regular\]"):
        read_document(tmp_path / "pipe", NAME)


@pytest.mark.parametrize("name", ["a\0b", "x" * 5000])
def test_impossible_name_is_refused(name: str) -> None:
    """A name no file can have is refused and not a traceback."""
    with pytest.raises(UnreadableFile, match=r"^\[file-unreadable\]"):
        read_document(name, NAME)


@pytest.mark.skipif(os.geteuid() == 0, reason="the superuser may read everything")
def test_file_without_permission_is_refused(tmp_path: Path) -> None:
    """A file that may not be read is refused with the system's reason."""
    path = tmp_path / "closed.toml"
    path.write_bytes(HEAD)
    path.chmod(0)
    with pytest.raises(UnreadableFile, match=r"^\[file-unreadable\].*Permission denied"):
        read_document(path, NAME)


def test_large_file_is_refused_before_it_is_read(tmp_path: Path) -> None:
    """A file of fifty megabytes is refused by its size."""
    path = tmp_path / "large.toml"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    with pytest.raises(UnreadableFile, match=r"\[file-too-large\].*50000000"):
        read_document(path, NAME)


def test_problem_is_data() -> None:
    """A problem compares by what it says."""
    assert Problem(code="key-missing", path="a") == Problem(code="key-missing", path="a", id="")
