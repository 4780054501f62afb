"""
The profile of a part: its shape and sizes, read from the text of a family file.

A profile says where a part sits (`axis`, `order`), what it looks like (`shape`) and how large it
is. Sizes come out in metres; `length` is along the axis, `outer` and `inner` are diameters.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Final

from springcase.assembly.model import Part
from springcase.errors import BadInput, SpringcaseError
from springcase.units import parse_quantity

PLACE_KEYS: Final = ("axis", "order", "shape")
MOST_COILS: Final = 60.0


@dataclass(frozen=True, slots=True, kw_only=True)
class ShapeKeys:
    """The sizes a shape must have and those it may have."""

    needed: tuple[str, ...]
    allowed: tuple[str, ...] = ()


SHAPES: Final[Mapping[str, ShapeKeys]] = {
    "ring": ShapeKeys(needed=("length", "outer", "inner")),
    "disc": ShapeKeys(needed=("length", "outer"), allowed=("inner",)),
    "plate": ShapeKeys(needed=("length", "outer"), allowed=("hub", "hub_length", "inner")),
    "cup": ShapeKeys(needed=("length", "outer", "wall"), allowed=("inner",)),
    "cap": ShapeKeys(needed=("length", "outer", "wall"), allowed=("inner",)),
    "spring": ShapeKeys(needed=("length", "outer", "wire", "coils"), allowed=("inner",)),
    "screw": ShapeKeys(needed=("length", "outer"), allowed=("head_outer", "head_length", "inner")),
    "bolts": ShapeKeys(needed=("length", "outer", "circle"), allowed=("head_outer", "head_length")),
    "nut": ShapeKeys(needed=("length", "outer"), allowed=("inner",)),
    "o-ring": ShapeKeys(needed=("section", "outer"), allowed=("length", "inner")),
    "tube": ShapeKeys(needed=("length", "outer", "inner")),
    "lever": ShapeKeys(needed=("length", "arm"), allowed=("outer", "inner")),
    "cone": ShapeKeys(needed=("length", "outer"), allowed=("inner",)),
    "body": ShapeKeys(needed=("length", "outer"), allowed=("bore", "flange", "inner")),
    "convoluted": ShapeKeys(
        needed=("outer", "thickness"), allowed=("length", "convolution", "inner")
    ),
}

# What must be smaller than what: (smaller, factor on it, larger).
_SMALLER: Final = (
    ("inner", 1.0, "outer"),
    ("hub", 1.0, "outer"),
    ("hub_length", 1.0, "length"),
    ("head_length", 1.0, "length"),
    ("outer", 1.0, "head_outer"),
    ("outer", 1.0, "circle"),
    ("wall", 2.0, "outer"),
    ("wall", 1.0, "length"),
    ("wire", 2.0, "outer"),
    ("section", 2.0, "outer"),
    ("bore", 1.0, "length"),
    ("bore", 1.0, "flange"),
    ("thickness", 1.0, "outer"),
    ("convolution", 4.0, "outer"),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """Where a part sits and how large it is. Sizes in metres. [m]"""

    part: str
    axis: str
    order: float
    shape: str
    sizes: Mapping[str, float]
    coils: float = 0.0

    @property
    def height(self) -> float:
        """How far the part reaches along its axis. [m]"""
        sizes = self.sizes
        if self.shape == "o-ring":
            return sizes["section"]
        if self.shape == "convoluted":
            stands = sizes["thickness"] + sizes.get("convolution", 0.0)
            return max(sizes.get("length", 0.0), stands)
        if self.shape == "body":
            return max(sizes["length"], sizes.get("flange", 0.0))
        return sizes["length"]


def _number(text: str, field: str, example: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        raise BadInput("profile-number", field=field, value=text, right=example)
    return value


def _size(text: str, field: str) -> float:
    value = parse_quantity(text, "length", field=field).value
    if value <= 0:
        raise BadInput("profile-not-positive", field=field, value=text, right="more than 0 mm")
    return value


class _Reader:
    """Reads one profile and keeps every problem it meets."""

    def __init__(self, part: Part) -> None:
        self.part = part.id
        self.raw = part.profile
        self.problems: list[SpringcaseError] = []
        self.sizes: dict[str, float] = {}

    def field(self, key: str) -> str:
        return f"part.{self.part}.profile.{key}"

    def missing(self, key: str, right: str) -> None:
        self.problems.append(
            BadInput("profile-key-missing", field=self.field(key), value="", right=right)
        )

    def number(self, key: str, example: str) -> float:
        if key not in self.raw:
            self.missing(key, example)
            return 0.0
        try:
            return _number(self.raw[key], self.field(key), example)
        except SpringcaseError as problem:
            self.problems.append(problem)
            return 0.0

    def shape(self) -> ShapeKeys | None:
        name = self.raw.get("shape", "")
        if name in SHAPES:
            return SHAPES[name]
        known = get_close_matches(name, SHAPES, n=1) or list(SHAPES)
        self.problems.append(
            BadInput(
                "profile-shape-unknown",
                field=self.field("shape"),
                value=name,
                right=", ".join(known),
            )
        )
        return None

    def read_sizes(self, keys: ShapeKeys) -> None:
        lengths = [key for key in (*keys.needed, *keys.allowed) if key != "coils"]
        for key in lengths:
            if key not in self.raw:
                if key in keys.needed:
                    self.missing(key, "a length such as 12 mm")
                continue
            try:
                self.sizes[key] = _size(self.raw[key], self.field(key))
            except SpringcaseError as problem:
                self.problems.append(problem)
        known = {*PLACE_KEYS, *keys.needed, *keys.allowed}
        for key in self.raw:
            if key not in known:
                self.problems.append(
                    BadInput(
                        "profile-key-unknown",
                        field=self.field(key),
                        value=self.raw[key],
                        right=", ".join(get_close_matches(key, known, n=1) or sorted(known)),
                    )
                )

    def compare(self) -> None:
        for smaller, factor, larger in _SMALLER:
            if smaller not in self.sizes or larger not in self.sizes:
                continue
            if self.sizes[smaller] * factor >= self.sizes[larger]:
                share = f"1/{factor:.0f} of " if factor > 1 else ""
                self.problems.append(
                    BadInput(
                        "profile-size",
                        field=self.field(smaller),
                        value=self.raw[smaller],
                        right=f"less than {share}{larger} {self.raw[larger]}",
                    )
                )

    def coils(self, keys: ShapeKeys) -> float:
        if "coils" not in keys.needed:
            return 0.0
        coils = self.number("coils", "a number such as 8")
        if self.problems:
            return coils
        most = min(MOST_COILS, self.sizes["length"] / self.sizes["wire"])
        # A spring wound solid is length over wire coils; a hair more is rounding in the file.
        if not 0.5 <= coils <= most * 1.001:
            self.problems.append(
                BadInput(
                    "profile-size",
                    field=self.field("coils"),
                    value=self.raw["coils"],
                    right=f"0.5 to {most:.1f}, so that the coils fit into the length",
                )
            )
        return coils

    def read(self, axes: Collection[str] | None) -> Profile | None:
        keys = self.shape()
        order = self.number("order", "a number such as 40")
        axis = self.raw.get("axis", "")
        if not axis:
            self.missing("axis", "the id of an axis")
        elif axes is not None and axis not in axes:
            self.problems.append(
                BadInput(
                    "profile-axis-unknown",
                    field=self.field("axis"),
                    value=axis,
                    right=", ".join(axes) or "an axis named in the file",
                )
            )
        if keys is None:
            return None
        self.read_sizes(keys)
        coils = self.coils(keys)
        self.compare()
        if self.problems:
            return None
        return Profile(
            part=self.part,
            axis=axis,
            order=order,
            shape=self.raw["shape"],
            sizes=self.sizes,
            coils=coils,
        )


def read_profile(part: Part, axes: Collection[str] | None = None) -> Profile:
    """
    Return the profile of a part that has one. Sizes in metres. [m]

    Raises BadInput (or the error of the unit reader) naming the part and the key at fault.
    """
    reader = _Reader(part)
    profile = reader.read(axes)
    if profile is None:
        raise reader.problems[0]
    return profile


def validate_profile(part: Part, axes: Collection[str] | None = None) -> list[SpringcaseError]:
    """
    Return everything wrong with a part's profile, as error data.

    A part without a profile is not drawn, which is no problem. Where `axes` is given the
    profile's axis must be one of them.
    """
    if not part.profile:
        return []
    reader = _Reader(part)
    reader.read(axes)
    return reader.problems
