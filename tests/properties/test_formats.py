"""Nothing that can be in a file makes reading it fail in any way but one clear sentence."""

from __future__ import annotations

import string
import tomllib

from hypothesis import given
from hypothesis import strategies as st

from springcase.assembly.family import Family
from springcase.errors import UnreadableFile
from springcase.formats import convert_table, read_document
from springcase.owner import OWNER_FORMAT, read_owner
from springcase.wording import explain

HEAD = b'format = "springcase/owner"\nversion = 1\n'
SYNTAX = st.text(st.sampled_from("[]{}=\".\n '#,_-+:\\abu019éTZ\x00\x7f"), max_size=60)
WORDS = [*OWNER_FORMAT.struct.__struct_fields__, "value", "joint", "metal", "zz", "id"]
JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.sampled_from(WORDS) | st.text(max_size=3), inner, max_size=4)
    ),
    max_leaves=20,
)


def is_one_sentence(error: UnreadableFile) -> bool:
    """Whether an error is one printable line that ends as a sentence does."""
    sentence = explain(error)
    return sentence.isprintable() and sentence.endswith(".")


def reads_or_refuses(content: bytes) -> bool:
    """Whether a content reads as an owner's file, or is refused in one sentence."""
    try:
        read_owner(content)
    except UnreadableFile as error:
        return is_one_sentence(error)
    return True


@given(st.binary(max_size=200))
def test_random_bytes_never_give_a_traceback(content: bytes) -> None:
    """Random bytes, with and without our head, are read or refused in one sentence."""
    assert reads_or_refuses(content)
    assert reads_or_refuses(HEAD + content)


@given(SYNTAX)
def test_random_syntax_never_gives_a_traceback(text: str) -> None:
    """Text made of what TOML is made of is read or refused in one sentence."""
    assert reads_or_refuses(HEAD + text.encode())


@given(JSON)
def test_random_tables_convert_or_list_their_problems(table: object) -> None:
    """Any value beside a family's tables gives a struct or at least one problem, never both."""
    for struct in (Family, OWNER_FORMAT.struct):
        value, problems = convert_table(table, struct, "")

        assert (value is None) == bool(problems)
        assert all(problem.code for problem in problems)


@given(
    st.sampled_from(["tool_change", "turn_over", "renewal"]),
    st.integers(0, 20),
    st.sampled_from(string.ascii_lowercase),
)
def test_a_mistyped_key_is_met_with_the_nearest_known(key: str, place: int, letter: str) -> None:
    """One letter put into a known key is refused, and that key is what is suggested."""
    typed = key[: place % len(key)] + letter + key[place % len(key) :]
    document = read_document(HEAD + f"[planning]\n{typed} = 1\n".encode(), OWNER_FORMAT.name)
    _, problems = convert_table(document.tables, OWNER_FORMAT.struct, "")

    assert [("key-unknown-near", f"planning.{typed}", key)] == [
        (problem.code, problem.path, problem.right) for problem in problems
    ]


def test_the_head_alone_is_an_owner_file() -> None:
    """The head these tests put before garbage is itself right, so the garbage is what is tried."""
    assert {} == read_document(HEAD, OWNER_FORMAT.name).tables
    assert {"format": "springcase/owner", "version": 1} == tomllib.loads(HEAD.decode())
