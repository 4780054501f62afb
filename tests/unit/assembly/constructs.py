"""
Which family shows which construct of the format, read from the format's own tables.

    PYTHONPATH=tests python -m unit.assembly.constructs    writes docs/constructs.md anew
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, Final

import msgspec
import msgspec.inspect as described

from springcase.assembly.family import Family
from springcase.assembly.family_file import read_family
from springcase.assembly.profile import SHAPES
from springcase.assembly.references import LOSS_ANSWERS, LOSSES, MATERIALS
from springcase.scenario import FAMILIES, family_path

PAGE: Final = Path(__file__).resolve().parents[3] / "docs" / "constructs.md"
HEAD: Final = """# Which family shows which construct

Every key and every listed value of the family format, and the families of the scenario that use
it. Written from the files by `tests/unit/assembly/constructs.py`; a test holds it current and
refuses a construct that no family shows. [How to add a family](families.md) explains each.

"""
ALTERNATIVES: Final = "`after` with alternatives"
LISTED: Final[Mapping[str, tuple[str, ...]]] = {
    "part.material": MATERIALS,
    "part.profile.shape": tuple(SHAPES),
    "family.on_loss": LOSSES,
    "family.on_loss (answer)": LOSS_ANSWERS,
}
"""What the format lists outside its types."""
OTHER_PAGES: Final = ("regulator",)
"""Tables that describe the physics of a regulator, not how it comes apart."""


def every_construct() -> list[str]:
    """Return every key and listed value the format has, in its order."""
    found = dict.fromkeys(_of_type(described.type_info(Family), ""))
    for path, values in LISTED.items():
        found |= dict.fromkeys(f"{path} = {value}" for value in values)
    return [ALTERNATIVES, *(each for each in found if each.split(".")[0] not in OTHER_PAGES)]


def _of_type(kind: described.Type, path: str) -> Iterator[str]:
    """Yield the constructs of a type; a table is named after where it stands."""
    if isinstance(kind, described.StructType):
        for field in kind.fields:
            below = f"{path}.{field.encode_name}" if path else field.encode_name
            if isinstance(field.type, described.BoolType):
                # Named by what it says when it is written at all.
                yield f"{below} = {str(not field.default).lower()}"
                continue
            if path:
                yield below
            yield from _of_type(field.type, below)
    elif isinstance(kind, described.UnionType):
        for each in kind.types:
            yield from _of_type(each, path)
    elif isinstance(kind, described.DictType):
        yield from _of_type(kind.value_type, path)
    elif isinstance(kind, described.ListType):
        yield from _of_type(kind.item_type, path)
    elif isinstance(kind, described.LiteralType):
        yield from (f"{path} = {value}" for value in kind.values if value)


def constructs_of(family: Family) -> set[str]:
    """Return the constructs a family shows."""
    found = set(_of_value(family, ""))
    parts = family.part.values()
    variants = [variant for part in parts for variant in part.variant]
    found |= {f"part.material = {part.material}" for part in (*parts, *variants)}
    found |= {f"part.profile.shape = {part.profile.get('shape')}" for part in parts}
    found |= {f"family.on_loss = {loss}" for loss in family.family.on_loss}
    found |= {f"family.on_loss (answer) = {each}" for each in family.family.on_loss.values()}
    return found


def _of_value(value: Any, path: str) -> Iterator[str]:
    """Yield the constructs of a value: its keys that are not left at their default."""
    if isinstance(value, msgspec.Struct):
        for field in msgspec.structs.fields(value):
            item = getattr(value, field.name)
            below = f"{path}.{field.encode_name}" if path else field.encode_name
            if isinstance(item, bool):
                yield f"{below} = {str(item).lower()}"
            if item is msgspec.UNSET or item is None or isinstance(item, bool):
                continue
            if path and (field.required or (item != field.default and item not in ([], {}))):
                yield below
            if field.name == "after" and len(item) > 1:
                yield ALTERNATIVES
            yield from _of_value(item, below)
    elif isinstance(value, dict):
        for item in value.values():
            yield from _of_value(item, path)
    elif isinstance(value, list):
        for item in value:
            yield from _of_value(item, path)
    elif isinstance(value, str):
        yield f"{path} = {value}"


def shown() -> dict[str, list[str]]:
    """Return, for each construct, the families that show it."""
    families = {name: constructs_of(read_family(family_path(name))) for name in FAMILIES}
    return {
        construct: [name for name, has in families.items() if construct in has]
        for construct in every_construct()
    }


def render(table: Mapping[str, list[str]]) -> str:
    """Return the page, with what no family shows at its end."""
    lines = ["| construct | " + " | ".join(FAMILIES) + " |", "|---" * (len(FAMILIES) + 1) + "|"]
    for construct, names in table.items():
        word = construct if "`" in construct else f"`{construct}`"
        ticks = " | ".join("x" if name in names else "" for name in FAMILIES)
        lines.append(f"| {word} | {ticks} |")
    missing = [f"`{construct}`" for construct, names in table.items() if not names]
    end = f"\nShown by none yet: {', '.join(missing)}.\n" if missing else ""
    return HEAD + "\n".join(lines) + "\n" + end


if __name__ == "__main__":
    PAGE.write_text(render(shown()), encoding="utf-8")
