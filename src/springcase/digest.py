"""
The digest: one SHA-256 over one canonical text, equal in Python and in the browser.

The canonical text is JSON in UTF-8: keys sorted by code point, no spaces, strings in NFC, and
only strings, whole numbers, booleans, null, arrays and objects. A number that was typed enters
as the string that was typed, a computed one as decimal text, because two languages write the
same float differently. Whole numbers end at 2^53 - 1, the last a browser holds exactly. The
vectors in ``tests/vectors/digest.json`` are what both sides must agree on.
"""

from __future__ import annotations

import hashlib
import json
import unicodedata
from collections.abc import Mapping
from typing import Final

from springcase.errors import BadInput

LARGEST_INTEGER: Final = 2**53 - 1
DEEPEST: Final = 100
PREFIX: Final = "sha256:"


def digest(value: object) -> str:
    """
    Return the digest of a value as ``sha256:`` and 64 hexadecimal figures.

    Raises
    ------
    BadInput
        If the value holds what the canonical text cannot.

    Examples
    --------
    >>> digest({})
    'sha256:44136fa355b3678a1146ad16f7e8649e94fb4fc21fe77e8310c060f61caaff8a'
    """
    return PREFIX + hashlib.sha256(canonical_text(value).encode()).hexdigest()


def canonical_text(value: object) -> str:
    """
    Return the canonical text of a value.

    Raises
    ------
    BadInput
        If it holds a float, a whole number beyond 2^53 - 1, a key that is no string, two keys
        that are one in NFC, half a surrogate pair, another type, or nests beyond 100 levels.

    Examples
    --------
    >>> canonical_text({"b": [1, True, None], "a": "x"})
    '{"a":"x","b":[1,true,null]}'
    """
    return "".join(_pieces(value, "$", 0))


def _pieces(value: object, path: str, depth: int) -> list[str]:
    if depth > DEEPEST:
        raise BadInput("digest-too-deep", field="digest", right=DEEPEST)
    if value is None:
        return ["null"]
    if isinstance(value, bool):
        return ["true" if value else "false"]
    if isinstance(value, str):
        return [_quote(value, path)]
    if isinstance(value, int):
        if abs(value) > LARGEST_INTEGER:
            raise BadInput("digest-integer-too-large", field=path, right=LARGEST_INTEGER)
        return [str(int(value))]
    if isinstance(value, float):
        raise BadInput("digest-float", field=path, value=value)
    if isinstance(value, list | tuple):
        return _array(value, path, depth)
    if isinstance(value, Mapping):
        return _object(value, path, depth)
    raise BadInput("digest-type", field=path, value=type(value).__name__)


def _array(value: list[object] | tuple[object, ...], path: str, depth: int) -> list[str]:
    pieces = ["["]
    for place, item in enumerate(value):
        if place:
            pieces.append(",")
        pieces += _pieces(item, f"{path}[{place}]", depth + 1)
    pieces.append("]")
    return pieces


def _object(value: Mapping[object, object], path: str, depth: int) -> list[str]:
    normal: dict[str, object] = {}
    for key, item in value.items():
        if not isinstance(key, str):
            raise BadInput("digest-key", field=path, value=str(key))
        name = unicodedata.normalize("NFC", key)
        if name in normal:
            raise BadInput("digest-keys-equal", field=path, value=name)
        normal[name] = item
    pieces = ["{"]
    for place, name in enumerate(sorted(normal)):
        below = f"{path}.{name}"
        pieces += ["," if place else "", _quote(name, below), ":"]
        pieces += _pieces(normal[name], below, depth + 1)
    pieces.append("}")
    return pieces


def _quote(text: str, path: str) -> str:
    if any("\ud800" <= sign <= "\udfff" for sign in text):
        raise BadInput("digest-surrogate", field=path)
    return json.dumps(unicodedata.normalize("NFC", text), ensure_ascii=False)
