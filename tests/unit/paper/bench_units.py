"""Hand-made builds for the tests of the stack-up picture."""

from __future__ import annotations

from collections.abc import Mapping

from springcase.assembly.model import Part, PartKind, Structure

_KINDS = {
    "S": PartKind.SOFT,
    "H": PartKind.HARD,
    "F": PartKind.FASTENER,
    "P": PartKind.SPRING,
    "L": PartKind.LOCKING,
}

# id | words | kind | material | count | size | axis | shape | sizes
_LEVER_UNIT = """
closing-cap|closing cap|H|aluminium|1|M42 x 1.5|main|cup|length=18 outer=46 wall=3
cap-gasket|cap gasket|S|fibre|1|46 x 40 x 1|main|ring|length=1 outer=46 inner=40
adjusting-screw|adjusting screw|H|brass|1|M36 x 1.5|main|screw|length=14 outer=36
control-spring|control spring|P|steel|1|wire 4 mm|main|spring|length=110 outer=36 wire=4 coils=8
case-screws|case screw|F|steel|8|M6 x 25|main|bolts|length=25 outer=6 circle=186 head_outer=10
spring-case|spring case|H|aluminium|1|| main|cup|length=70 outer=200 wall=5 inner=40
stack-nut|centre nut|F|steel|1|M10|main|nut|length=8 outer=17 inner=10
stack-washer|lock washer|L|stainless|1|| main|ring|length=2 outer=18 inner=10
upper-plate|diaphragm plate|H|zinc|1|| main|plate|length=8 outer=130 hub=30 hub_length=5 inner=10
diaphragm|diaphragm|S|nbr-fabric|1|200 mm|main|convoluted|outer=200 thickness=1 convolution=8
pusher|pusher post|H|brass|1|| main|tube|length=40 outer=14 inner=8
lower-case|lower casing|H|aluminium|1|| main|cap|length=40 outer=200 wall=5 inner=60
case-seal|casing O-ring|S|nbr|1|61.6 x 2.6|main|o-ring|section=2.6 outer=66.8
body|body|H|cast-iron|1|DN 25|main|body|length=80 outer=140 bore=25 flange=80 inner=50
lever-pin|lever pin|H|stainless|1|4 x 20|lever|tube|length=20 outer=6 inner=2
lever|lever|H|stainless|1|| lever|lever|length=4 arm=62
stem|valve stem|H|stainless|1|| lever|screw|length=34 outer=6
stem-seal|stem O-ring|S|fkm|1|dash 008|lever|o-ring|section=1.8 outer=8
seat-disc|seat disc|S|nbr|1|14 x 4 mm|lever|disc|length=4 outer=14
orifice|orifice|H|brass|1|M16 x 1, bore 6.35 mm|lever|ring|length=18 outer=20 inner=6.35
orifice-washer|orifice washer|H|copper|1|| lever|ring|length=1 outer=22 inner=16
tube|sense tube|H|copper|1|8 mm|sense|tube|length=60 outer=8 inner=6
ferrule|ferrule|H|brass|2|| sense|cone|length=6 outer=12 inner=8
screen|vent screen|H|stainless|1|| vent|disc|length=1 outer=20
"""

_AXES = {
    "main": {"words": "main axis"},
    "lever": {"words": "lever", "branch_of": "main", "at_part": "pusher", "direction": "right"},
    "sense": {
        "words": "sense tube",
        "branch_of": "main",
        "at_part": "body",
        "direction": "right",
    },
    "vent": {"words": "vent", "branch_of": "main", "at_part": "spring-case", "direction": "right"},
}


def make_part(part: str, profile: Mapping[str, str], **keys: object) -> Part:
    """Return a part with a profile."""
    known: dict[str, object] = {"words": part.replace("-", " "), "kind": PartKind.HARD, **keys}
    return Part(id=part, profile=profile, **known)  # type: ignore[arg-type]


def make_structure(
    parts: Mapping[str, Part], axes: Mapping[str, Mapping[str, str]] | None = None
) -> Structure:
    """Return a build that has nothing but parts and axes."""
    return Structure(
        family="trial",
        name="Trial",
        words="lever-operated low-pressure reducer",
        edition="1",
        family_digest="",
        action="reducing",
        options={"sensing": "external"},
        option_words={"sensing": "sensing"},
        value_words={"sensing": "by a line to the main"},
        unusual=("sensing",),
        defaulted=(),
        services=("nitrogen",),
        side_up="",
        parts=parts,
        joints={},
        operations={},
        energies={},
        axes=axes or {"main": {"words": "main axis"}},
    )


def lever_unit() -> Structure:
    """Return a lever-operated unit with four axes."""
    parts = {}
    for order, line in enumerate(_LEVER_UNIT.strip().splitlines()):
        part, words, kind, material, count, size, axis, shape, sizes = (
            cell.strip() for cell in line.split("|")
        )
        profile = {"axis": axis, "shape": shape, "order": str(order * 10)}
        for pair in sizes.split():
            key, value = pair.split("=")
            profile[key] = value if key == "coils" else f"{value} mm"
        parts[part] = make_part(
            part,
            profile,
            words=words,
            kind=_KINDS[kind],
            material=material,
            count=int(count),
            size=size,
        )
    parts["thread-paste"] = Part(
        id="thread-paste", words="thread sealant", kind=PartKind.SEALANT, material="paste"
    )
    return make_structure(parts, _AXES)
