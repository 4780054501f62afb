"""
Reading a file of ours: bytes to tables of the newest version, or one clear refusal.

Everything a hostile or broken file can do is met here, once: size, encoding, syntax, depth,
numbers no format of ours can hold, characters that make text read differently than it stands.
"""

from __future__ import annotations

import json
import math
import os
import re
import stat
import tomllib
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import Any, Final, NamedTuple

from springcase.errors import UnreadableFile
from springcase.formats.problem import Problem, raise_problems
from springcase.formats.registry import Tables, find_format, upgrade

LARGEST_FILE: Final = 2_000_000
"""Bytes a file may have; larger ones are refused before they are parsed."""
DEEPEST: Final = 24
LARGEST_INTEGER: Final = 2**53 - 1

_PLACE = re.compile(
    r"^(?P<reason>.*?) \(at (?:line (?P<line>\d+), column (?P<column>\d+)|.*)\)$", re.S
)
# A dotted key costs the parser the square of its parts, so a long one is refused beforehand.
# Possessive repeats keep this search itself linear.
_KEY_PART = r"""(?:[A-Za-z0-9_-]++|"[^"\n]*+"|'[^'\n]*+')"""
_LONG_KEY = re.compile(
    rf"(?<![A-Za-z0-9_-]){_KEY_PART}(?:[ \t]*+\.[ \t]*+{_KEY_PART}){{{DEEPEST},}}+"
)
_BARE_KEY = re.compile(r"^[A-Za-z0-9_-]+$")
_HIDDEN_DIRECTIONS: Final = frozenset("\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")


class Document(NamedTuple):
    """A file of ours as read: its tables without head, what to call it, the version it had."""

    tables: Tables
    name: str
    version: int


def join_path(path: str, key: str) -> str:
    """Return the path of a key below another, quoted where the key is not a plain word."""
    plain = key if _BARE_KEY.match(key) else '"' + key.encode("unicode_escape").decode() + '"'
    return f"{path}.{plain}" if path else plain


def read_document(path: str | os.PathLike[str] | bytes, expected: str) -> Document:
    """
    Return the tables of a file of ours, upgraded to the newest version.

    Parameters
    ----------
    path : path or bytes
        The file, or its content.
    expected : str
        The registered format this door reads, ``springcase/…``.

    Raises
    ------
    UnreadableFile
        If it cannot be read, is over 2 MB, not UTF-8, not TOML, of another format, of a newer
        version, or holds values no format of ours can hold.
    """
    name, text = _read_text(path)
    return _open_document(name, _parse(name, text), expected)


def read_json_document(path: str | os.PathLike[str] | bytes, expected: str) -> Document:
    """
    Return the tables of a JSON document of ours, upgraded to the newest version.

    Parameters and refusals as `read_document`, for what `--json` printed.

    Raises
    ------
    UnreadableFile
        As `read_document`, and if it is not JSON or not one object.
    """
    name, text = _read_text(path)
    try:
        tables = json.loads(text)
    except json.JSONDecodeError as error:
        raise UnreadableFile(
            "file-not-json", field=name, line=error.lineno, reason=error.msg
        ) from None
    except RecursionError:
        raise UnreadableFile("file-too-deep", field=name, right=DEEPEST, line=1) from None
    except ValueError:
        raise UnreadableFile("file-number-too-long", field=name, right=LARGEST_INTEGER) from None
    if not isinstance(tables, dict):
        raise UnreadableFile("file-not-json", field=name, line=1, reason="not one object")
    return _open_document(name, tables, expected)


def _read_text(path: str | os.PathLike[str] | bytes) -> tuple[str, str]:
    """Return what to call a file, and its text."""
    if isinstance(path, bytes):
        name, content = "input", path
        _refuse_large(name, len(content))
    else:
        name = os.fspath(path) or "."
        content = _read_bytes(name)
    return name, _decode(name, content)


def _open_document(name: str, tables: Tables, expected: str) -> Document:
    """Return parsed tables as a document, once they hold nothing no format of ours can hold."""
    raise_problems(list(_scan(tables)), name)
    version = _check_head(name, tables, expected)
    body = {key: value for key, value in tables.items() if key not in ("format", "version")}
    return Document(upgrade(expected, version, body), name, version)


def _refuse_large(name: str, size: int) -> None:
    if size > LARGEST_FILE:
        raise UnreadableFile("file-too-large", field=name, value=size, right=LARGEST_FILE)


def _read_bytes(name: str) -> bytes:
    try:
        mode = Path(name).stat().st_mode
        if stat.S_ISDIR(mode):
            raise UnreadableFile("file-is-directory", field=name)
        # A pipe may never answer and a device never end.
        if not stat.S_ISREG(mode):
            raise UnreadableFile("file-not-regular", field=name)
        with Path(name).open("rb") as file:
            content = file.read(LARGEST_FILE + 1)
            size = max(len(content), os.fstat(file.fileno()).st_size)
    except UnreadableFile:
        raise
    except FileNotFoundError:
        raise UnreadableFile("file-missing", field=name) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise UnreadableFile("file-unreadable", field=name, reason=reason) from None
    _refuse_large(name, size)
    return content


def _decode(name: str, content: bytes) -> str:
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        byte = f"0x{content[error.start]:02x}"
        raise UnreadableFile("file-not-utf8", field=name, value=byte, line=line) from None


def _parse(name: str, text: str) -> Tables:
    long_key = _LONG_KEY.search(text)
    if long_key is not None:
        line = text.count("\n", 0, long_key.start()) + 1
        raise UnreadableFile("file-too-deep", field=name, right=DEEPEST, line=line)
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        match = _PLACE.match(str(error))
        reason = match["reason"] if match else str(error)
        line = int(match["line"]) if match and match["line"] else text.count("\n") + 1
        raise UnreadableFile("file-not-toml", field=name, line=line, reason=reason) from None
    except RecursionError:
        raise UnreadableFile("file-too-deep", field=name, right=DEEPEST, line=1) from None
    except ValueError:
        # Python refuses to read a decimal integer of more than 4300 figures.
        raise UnreadableFile("file-number-too-long", field=name, right=LARGEST_INTEGER) from None


def _scan(tables: Tables) -> Iterator[Problem]:
    """Yield what no format of ours can hold, wherever it stands in the file."""
    waiting: list[tuple[str, str, int, Any]] = [("", "", 0, tables)]
    while waiting:
        path, key, depth, value = waiting.pop()
        if _has_hidden(key) or "\n" in key or "\t" in key:
            yield Problem(code="text-hidden", path=path, value=key)
        if depth > DEEPEST:
            yield Problem(code="too-deep", path=path, right=DEEPEST)
        elif isinstance(value, dict):
            below = [(join_path(path, name), name, depth + 1, value[name]) for name in value]
            waiting.extend(reversed(below))
        elif isinstance(value, list):
            items = [(f"{path}[{place}]", "", depth + 1, item) for place, item in enumerate(value)]
            waiting.extend(reversed(items))
        elif isinstance(value, str):
            if _has_hidden(value):
                yield Problem(code="text-hidden", path=path, value=value)
        elif isinstance(value, float):
            if not math.isfinite(value):
                yield Problem(code="not-finite", path=path, value=str(value))
        elif isinstance(value, int) and abs(value) > LARGEST_INTEGER:
            # Its decimal text may itself be refused, so the figure is not repeated.
            yield Problem(code="integer-too-large", path=path, right=LARGEST_INTEGER)


def _has_hidden(text: str) -> bool:
    """Return whether text holds controls or direction marks that change how it reads."""
    if text.isprintable():
        return False
    return any(
        (unicodedata.category(sign) == "Cc" and sign not in "\n\t") or sign in _HIDDEN_DIRECTIONS
        for sign in text
    )


def _check_head(name: str, tables: Tables, expected: str) -> int:
    """Return the version a file says it has, once its format is the one this door reads."""
    if "format" not in tables:
        raise UnreadableFile("format-missing", field=name, right=expected)
    if tables["format"] != expected:
        given = tables["format"]
        raise UnreadableFile("format-other", field=name, value=given, right=expected)
    newest = find_format(expected).version
    if "version" not in tables:
        raise UnreadableFile("version-missing", field=name, right=newest)
    version = tables["version"]
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise UnreadableFile("version-wrong", field=name, value=version, right=newest)
    if version > newest:
        raise UnreadableFile("version-newer", field=name, value=version, right=newest)
    return version
