"""
One table into one struct, with every problem of it named.

msgspec converts and stops at its first complaint. When it complains, the table is walked beside
the struct's own description, so that all problems are listed in one run.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator
from datetime import date, datetime
from functools import cache
from typing import Any, TypeVar

import msgspec
import msgspec.inspect as described

from springcase.formats.problem import Problem
from springcase.formats.read import join_path
from springcase.formats.registry import ID_PATTERN

Made = TypeVar("Made", bound=msgspec.Struct)


def convert_table(
    table: object, struct: type[Made], path: str, id: str = ""
) -> tuple[Made | None, list[Problem]]:
    """
    Return a table as a struct, or None and every problem of it.

    Parameters
    ----------
    table : object
        The table as the parser gave it.
    struct : type of msgspec.Struct
        What it must be.
    path : str
        Where it stands, as the file spells it (``part.orifice``); empty for the whole file.
    id : str
        The thing its problems belong to; left out, the last word of `path`.
    """
    try:
        return msgspec.convert(table, struct), []
    except msgspec.ValidationError as error:
        owner = id or path.rsplit(".", 1)[-1]
        problems = list(_walk(table, _describe(struct), path, owner))
        if not problems:
            # A rule of msgspec this walk does not know: its own words are better than silence.
            problems = [Problem(code="value-wrong", path=path, id=owner, right=str(error))]
        return None, problems


@cache
def _describe(struct: type[msgspec.Struct]) -> described.Type:
    return described.type_info(struct)


def _walk(value: Any, kind: described.Type, path: str, id: str) -> Iterator[Problem]:
    """Yield every problem of a value beside the description of what it must be."""
    if isinstance(kind, described.StructType):
        yield from _walk_struct(value, kind, path, id)
    elif isinstance(kind, described.DictType):
        yield from _walk_dict(value, kind, path, id)
    elif isinstance(kind, described.ListType | described.VarTupleType | described.SetType):
        yield from _walk_list(value, kind, path, id)
    elif isinstance(kind, described.UnionType):
        yield from _walk_union(value, kind, path, id)
    elif isinstance(kind, described.LiteralType):
        yield from _walk_listed(value, list(kind.values), path, id)
    elif isinstance(kind, described.EnumType):
        yield from _walk_listed(value, [member.value for member in kind.cls], path, id)
    elif isinstance(kind, described.DateType):
        if not _is_date(value):
            yield Problem(code="not-date", path=path, id=id, value=value)
    elif isinstance(kind, described.StrType):
        yield from _walk_text(value, kind, path, id)
    elif isinstance(kind, described.BoolType):
        if not isinstance(value, bool):
            yield Problem(code="not-true-or-false", path=path, id=id, value=value)
    elif isinstance(kind, described.IntType):
        if isinstance(value, bool) or not isinstance(value, int):
            yield Problem(code="not-whole-number", path=path, id=id, value=value)
        else:
            yield from _walk_number(value, kind, path, id)
    elif isinstance(kind, described.FloatType):
        if isinstance(value, bool) or not isinstance(value, int | float):
            yield Problem(code="not-number", path=path, id=id, value=value)
        else:
            yield from _walk_number(value, kind, path, id)


def _walk_struct(value: Any, kind: described.StructType, path: str, id: str) -> Iterator[Problem]:
    if not isinstance(value, dict):
        yield Problem(code="not-table", path=path, id=id, value=value)
        return
    fields = {field.encode_name: field for field in kind.fields}
    for key, item in value.items():
        below = join_path(path, key)
        if key in fields:
            yield from _walk(item, fields[key].type, below, id)
        elif kind.forbid_unknown_fields:
            near = _nearest(key, [known for known in fields if known not in value])
            if near:
                yield Problem(code="key-unknown-near", path=below, id=id, value=key, right=near)
            else:
                right = sorted(fields)
                yield Problem(code="key-unknown", path=below, id=id, value=key, right=right)
    for name, field in fields.items():
        if field.required and name not in value:
            yield Problem(code="key-missing", path=join_path(path, name), id=id, right=name)


def _walk_dict(value: Any, kind: described.DictType, path: str, id: str) -> Iterator[Problem]:
    if not isinstance(value, dict):
        yield Problem(code="not-table", path=path, id=id, value=value)
        return
    yield from _walk_size(value, kind, path, id)
    for key, item in value.items():
        below = join_path(path, key)
        yield from _walk(key, kind.key_type, below, id)
        yield from _walk(item, kind.value_type, below, id or key)


def _walk_list(
    value: Any,
    kind: described.ListType | described.VarTupleType | described.SetType,
    path: str,
    id: str,
) -> Iterator[Problem]:
    if not isinstance(value, list | tuple):
        yield Problem(code="not-list", path=path, id=id, value=value)
        return
    yield from _walk_size(value, kind, path, id)
    for place, item in enumerate(value):
        yield from _walk(item, kind.item_type, f"{path}[{place}]", id)


def _walk_size(value: Any, kind: Any, path: str, id: str) -> Iterator[Problem]:
    if kind.min_length is not None and len(value) < kind.min_length:
        yield Problem(code="too-few", path=path, id=id, value=len(value), right=kind.min_length)
    if kind.max_length is not None and len(value) > kind.max_length:
        yield Problem(code="too-many", path=path, id=id, value=len(value), right=kind.max_length)


def _walk_union(value: Any, kind: described.UnionType, path: str, id: str) -> Iterator[Problem]:
    """Yield nothing if one of the kinds fits, else the problems of the one it comes nearest to."""
    best: list[Problem] | None = None
    for each in kind.types:
        if isinstance(each, described.NoneType):
            if value is None:
                return
            continue
        found = list(_walk(value, each, path, id))
        if not found:
            return
        # A complaint about the value as a whole says its kind is wrong; one below it is nearer.
        if best is None or (best[0].path == path and found[0].path != path):
            best = found
    yield from best or ()


def _walk_listed(value: Any, right: list[Any], path: str, id: str) -> Iterator[Problem]:
    if not any(value == known and type(value) is type(known) for known in right):
        yield Problem(code="not-listed", path=path, id=id, value=value, right=right)


def _is_date(value: object) -> bool:
    if isinstance(value, str):
        try:
            date.fromisoformat(value)
        except ValueError:
            return False
        return True
    return isinstance(value, date) and not isinstance(value, datetime)


def _walk_text(value: Any, kind: described.StrType, path: str, id: str) -> Iterator[Problem]:
    if not isinstance(value, str):
        yield Problem(code="not-text", path=path, id=id, value=value)
    elif kind.min_length is not None and len(value) < kind.min_length:
        yield Problem(code="text-short", path=path, id=id, value=value, right=kind.min_length)
    elif kind.max_length is not None and len(value) > kind.max_length:
        yield Problem(code="text-long", path=path, id=id, value=value, right=kind.max_length)
    elif kind.pattern is not None and not re.search(kind.pattern, value):
        if kind.pattern == ID_PATTERN:
            yield Problem(code="not-id", path=path, id=id, value=value)
        else:
            yield Problem(code="text-form", path=path, id=id, value=value, right=kind.pattern)


def _walk_number(value: float, kind: Any, path: str, id: str) -> Iterator[Problem]:
    if kind.ge is not None and not value >= kind.ge:
        yield Problem(code="number-small", path=path, id=id, value=value, right=kind.ge)
    elif kind.gt is not None and not value > kind.gt:
        yield Problem(code="number-not-above", path=path, id=id, value=value, right=kind.gt)
    elif kind.le is not None and not value <= kind.le:
        yield Problem(code="number-large", path=path, id=id, value=value, right=kind.le)
    elif kind.lt is not None and not value < kind.lt:
        yield Problem(code="number-not-below", path=path, id=id, value=value, right=kind.lt)


def _nearest(word: str, known: list[str]) -> str:
    """Return the known word most like another, or nothing where none is near."""
    found = difflib.get_close_matches(word[:60], known, n=1, cutoff=0.6)
    return found[0] if found else ""
