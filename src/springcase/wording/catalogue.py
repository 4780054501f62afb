"""
The catalogue: every sentence a door shows, by key, one set of files a language.

A key is a table of any file ``*_en.toml`` beside this module, with one entry `text`; a file may
also hold plain strings, whose keys begin with the file's first word (`title` of
``stackup_en.toml`` is `stackup-title`). Names in braces are the facts a sentence wants. Nothing
is filled in silently: an unknown key or a missing fact is a KeyError.
"""

from __future__ import annotations

import string
import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Any, Final

LANGUAGES: Final = ("en",)
LONGEST_LIST: Final = 40


def sentence(key: str, /, *, language: str = "en", **facts: object) -> str:
    """
    Return the sentence of a key with its facts filled in.

    Parameters
    ----------
    key : str
        A key of the catalogue.
    language : str
        One of `LANGUAGES`.
    **facts : object
        What the sentence names: text, numbers, lists (joined with commas).

    Raises
    ------
    KeyError
        If the key, the language, or a fact the sentence names is missing.
    """
    template = read_catalogue(language)[key]
    try:
        return _Filler().vformat(template, (), facts)
    except KeyError as error:
        raise KeyError(f"the sentence {key} wants the fact {error.args[0]}") from None


@cache
def read_catalogue(language: str = "en") -> Mapping[str, str]:
    """
    Return every sentence of a language by key.

    Raises
    ------
    KeyError
        If there is no such language.
    ValueError
        If a table is not one `text` (our own fault).
    """
    return {key: text for _, key, text in read_entries(language)}


def read_entries(language: str = "en") -> list[tuple[str, str, str]]:
    """
    Return file, key and sentence of every entry of a language; no key may stand there twice.

    Raises
    ------
    KeyError
        If there is no such language.
    ValueError
        If a table is not one `text` (our own fault).
    """
    if language not in LANGUAGES:
        raise KeyError(f"no catalogue in {language}")
    entries = []
    folder = resources.files("springcase.wording")
    for file in sorted(folder.iterdir(), key=lambda entry: entry.name):
        if file.name.endswith(f"_{language}.toml"):
            found = _entries(tomllib.loads(file.read_text("utf-8")), file.name)
            entries += [(file.name, key, text) for key, text in found]
    return entries


def _entries(tables: Mapping[str, Any], file: str) -> list[tuple[str, str]]:
    """Return the sentences of a file; a plain string is named with its file's first word."""
    entries = []
    for key, table in tables.items():
        if isinstance(table, str):
            entries.append((f"{file.partition('_')[0]}-{key}", table))
        elif isinstance(table, dict) and set(table) == {"text"}:
            entries.append((key, str(table["text"])))
        else:
            raise ValueError(f"{file}: {key} must be a string, or a table with one text")
    return entries


class _Filler(string.Formatter):
    """Fills a sentence: lists joined, truth in words, nothing that a terminal would obey."""

    def get_field(self, field_name: str, args: Any, kwargs: Any) -> tuple[Any, str]:
        """Return a fact by its plain name; a sentence never reaches into a fact."""
        return kwargs[field_name], field_name

    def format_field(self, value: Any, format_spec: str) -> str:
        """Return a fact as text."""
        return format(value, format_spec) if format_spec else as_text(value)


def as_text(value: object) -> str:
    """Return a fact as a person reads it, on one line and safe for a terminal."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float) and value.is_integer() and abs(value) < 2**53:
        return str(int(value))
    if isinstance(value, Mapping):
        return as_text([f"{key} {as_text(item)}" for key, item in value.items()])
    if isinstance(value, set | frozenset):
        return as_text(sorted(as_text(item) for item in value))
    if isinstance(value, list | tuple):
        shown = [as_text(item) for item in value[:LONGEST_LIST]]
        if len(value) > LONGEST_LIST:
            shown.append(sentence("and-more", count=len(value) - LONGEST_LIST))
        return ", ".join(shown)
    return "".join(
        sign if sign.isprintable() else sign.encode("unicode_escape").decode()
        for sign in str(value)
    )
