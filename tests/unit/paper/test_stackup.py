"""The stack-up picture, read back from its SVG."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from xml.etree import ElementTree

import pytest

from springcase.assembly.expand import build_structure
from springcase.assembly.family_file import read_family
from springcase.assembly.model import PartKind, Structure
from springcase.assembly.profile import SHAPES, read_profile, validate_profile
from springcase.assembly.soundness import every_build
from springcase.errors import BadInput, UnknownName
from springcase.paper.stackup import draw_stack_up
from springcase.paper.stackup.hatch import MATERIALS, hatch_of, pattern
from springcase.paper.stackup.labels import LETTER, spread
from springcase.paper.stackup.layout import nice_scale, scale_text
from springcase.paper.stackup.pen import columns, segments_cross, wrap
from springcase.scenario import FAMILIES, family_path
from unit.paper.bench_units import lever_unit, make_part, make_structure
from unit.paper.drawing import (
    axes_of,
    boxes_of_axis,
    check_page,
    crossings,
    groups,
    leaders,
    lines_of,
    overlaps,
    parse,
    part_boxes,
)

MOST_BUILDS = 12


def numbers_of(structure: Structure) -> dict[str, int]:
    """Number every part of a build, last first, so that file order is not rebuild order."""
    return {part: number for number, part in enumerate(reversed(structure.parts), start=1)}


def some_builds(name: str) -> Iterator[Structure]:
    """Yield up to a dozen builds of a family, spread over all its options allow."""
    path = family_path(name)
    if not path.exists():
        pytest.skip(f"family {name} is not written yet")
    family = read_family(path)
    builds = list(every_build(family))
    for options in builds[:: math.ceil(len(builds) / MOST_BUILDS)]:
        yield build_structure(family, options)


def change(structure: Structure, part: str, **profile: str) -> Structure:
    """Return the build with some keys of one part's profile changed."""
    old = structure.parts[part]
    new = replace(old, profile={**old.profile, **profile})
    return replace(structure, parts={**structure.parts, part: new})


@pytest.mark.parametrize("name", FAMILIES)
def test_every_family_is_drawn_in_order_and_without_overlap(name: str) -> None:
    """Of many builds of every family the picture keeps order, place, labels and leaders."""
    drawn = 0
    for structure in some_builds(name):
        pages = draw_stack_up(structure, numbers_of(structure))
        found = [part for page in pages for part in check_page(parse(page), structure)]
        drawn += 1

        assert sorted(found) == sorted(p.id for p in structure.parts.values() if p.profile)
    assert drawn > 1


def test_order_along_the_axis_is_the_order_of_the_profiles() -> None:
    """Parts stand from top to bottom as their profiles order them, whatever the file's order."""
    structure = lever_unit()
    turned = replace(structure, parts=dict(reversed(structure.parts.items())))
    (page,) = draw_stack_up(turned, numbers_of(structure))
    main = [box.part for box in boxes_of_axis(parse(page), "main")]
    expected = [part.id for part in structure.parts.values() if part.profile.get("axis") == "main"]

    assert main == expected


def test_the_same_build_gives_the_same_bytes() -> None:
    """A picture is a pure function of its input."""
    structure = lever_unit()

    assert draw_stack_up(structure, {"body": 1}) == draw_stack_up(lever_unit(), {"body": 1})


def test_numbers_on_the_drawing_are_the_numbers_given() -> None:
    """Every label's circle holds the rebuild number, and a dash where there is none."""
    structure = lever_unit()
    numbers = {"orifice": 31, "seat-disc": 7}
    circles = {
        label.get("data-part"): next(label.iter("{http://www.w3.org/2000/svg}text")).text
        for page in draw_stack_up(structure, numbers)
        for label in groups(parse(page), "label-")
    }

    assert circles == {
        part.id: str(numbers.get(part.id, "–")) for part in structure.parts.values() if part.profile
    }


def test_a_longer_part_is_drawn_longer_and_moves_those_below() -> None:
    """Changing one length changes that part's height by the scale and pushes its neighbours."""
    structure = lever_unit()
    (before,), (after,) = (
        draw_stack_up(each, numbers_of(each))
        for each in (structure, change(structure, "pusher", length="60 mm"))
    )
    old, new = part_boxes(parse(before)), part_boxes(parse(after))
    scale = axes_of(parse(after))["main"]
    assert scale == axes_of(parse(before))["main"]

    assert new["pusher"].height - old["pusher"].height == pytest.approx(20 * scale, abs=0.02)
    assert new["diaphragm"].y < old["diaphragm"].y


def test_drawn_sizes_are_the_true_sizes_at_the_stated_scale() -> None:
    """Outer diameter and length of a part above the least thickness are to scale."""
    root = parse(draw_stack_up(lever_unit(), numbers_of(lever_unit()))[0])
    case, scale = part_boxes(root)["spring-case"], axes_of(root)["main"]

    assert case.width == pytest.approx(200 * scale, abs=0.02)
    assert case.height == pytest.approx(70 * scale, abs=0.02)


def test_thin_parts_have_the_stated_least_thickness() -> None:
    """A gasket of one millimetre is still 1.6 mm high on paper, and the drawing says so."""
    page = draw_stack_up(lever_unit(), numbers_of(lever_unit()))[0]

    assert part_boxes(parse(page))["cap-gasket"].height == 1.6
    assert "thinner than 1.6\u00a0mm" in page


def test_a_very_long_part_is_drawn_shorter_and_says_so() -> None:
    """A tube that would force a tiny scale is broken, with the mark in the legend."""
    structure = make_structure(
        {
            "tube": make_part(
                "tube", profile("tube", length="900 mm", outer="20 mm", inner="16 mm")
            ),
            "ring": make_part(
                "ring", profile("ring", order="2", length="8 mm", outer="60 mm", inner="20 mm")
            ),
        }
    )
    (page,) = draw_stack_up(structure, numbers_of(structure))
    boxes, scale = part_boxes(parse(page)), axes_of(parse(page))["main"]

    assert boxes["tube"].height < 900 * scale
    assert "drawn shorter" in page
    assert "drawn shorter" not in draw_stack_up(lever_unit(), numbers_of(lever_unit()))[0]


def test_side_axes_are_joined_to_the_part_they_spring_from() -> None:
    """A thin line runs from the named part to the head of its side axis."""
    root = parse(draw_stack_up(lever_unit(), numbers_of(lever_unit()))[0])
    pusher, lever = part_boxes(root)["pusher"], part_boxes(root)["lever-pin"]
    (line,) = lines_of(root, "join-lever")

    assert line[0][0] == pytest.approx(pusher.x + pusher.width, abs=0.02)
    assert pusher.y < line[0][1] < pusher.y + pusher.height
    assert line[-1][0] == pytest.approx(lever.x + lever.width / 2, abs=0.02)
    assert line[-1][1] < lever.y


def test_highlight_and_done_are_told_by_shape_and_word() -> None:
    """The part of this step is thick, framed and worded; a done part is dashed and worded."""
    structure = lever_unit()
    (plain,) = draw_stack_up(structure, numbers_of(structure))
    (page,) = draw_stack_up(
        structure, numbers_of(structure), highlight=["orifice"], done=["closing-cap", "orifice"]
    )
    root = parse(page)
    parts = {group.get("data-part"): group for group in groups(root, "part-")}
    outline = next(parts["closing-cap"].iter("{http://www.w3.org/2000/svg}path"))

    assert parts["orifice"].get("data-state") == "highlight"
    assert outline.get("stroke-dasharray") is not None
    assert {"this step", "done"} <= texts(root)
    assert not {"this step", "done"} & texts(parse(plain))


def test_every_material_has_a_pattern_of_its_own() -> None:
    """No two materials share ground and marks, and every material of the format has one."""
    looks = {
        (hatch.is_black, hatch.turn, hatch.width, hatch.height, hatch.marks, hatch.stroke)
        for hatch in (hatch_of(material) for material in MATERIALS)
        if hatch is not None
    }
    named = (
        "aluminium brass steel stainless cast-iron zinc plastic nbr fkm epdm cr ptfe pur fibre "
        "graphite nbr-fabric fkm-fabric copper paste paper"
    )

    assert len(looks) == len(MATERIALS) == 20
    assert sorted(MATERIALS) == sorted(named.split())


def test_the_drawing_has_no_colour() -> None:
    """Black and white are the only inks, so a photocopy loses nothing."""
    structure = lever_unit()
    (page,) = draw_stack_up(structure, numbers_of(structure), highlight=["orifice"], done=["body"])
    everything = page + "".join(pattern(material, "name") for material in MATERIALS)
    inks = set(re.findall(r'(?:fill|stroke)="([^"]+)"', everything))

    assert {ink for ink in inks if not ink.startswith("url(")} == {"none", "#000", "#fff"}


def test_soft_parts_carry_a_letter() -> None:
    """Exactly the soft parts have the letter S beside their name."""
    structure = lever_unit()
    root = parse(draw_stack_up(structure, numbers_of(structure))[0])
    marked = {
        label.get("data-part")
        for label in groups(root, "label-")
        if any(line.text == "S" for line in label.iter("{http://www.w3.org/2000/svg}text"))
    }

    assert marked == {p.id for p in structure.parts.values() if p.kind is PartKind.SOFT}


def test_count_size_and_name_stand_beside_the_number() -> None:
    """A label says the name, how many, and the size."""
    root = parse(draw_stack_up(lever_unit(), numbers_of(lever_unit()))[0])
    label = next(group for group in groups(root, "label-case-screws"))

    assert {"case screw", "x 8, M6 x 25"} <= texts(label)


def test_parts_without_a_profile_are_named_under_the_drawing() -> None:
    """What cannot be drawn is said, with its number."""
    pages = draw_stack_up(lever_unit(), {"thread-paste": 12})

    assert all("Not drawn: 12 thread sealant." in page for page in pages)


def test_lettering_is_high_enough_to_read() -> None:
    """The smallest lettering is 2.6 mm high at print: capitals are 0.729 of the font size."""
    sizes = [
        float(size)
        for size in re.findall(
            r'font-size="([^"]+)"', draw_stack_up(lever_unit(), numbers_of(lever_unit()))[0]
        )
    ]

    assert min(sizes) * 0.729 >= 2.6
    assert min(sizes) == LETTER


def test_text_is_escaped_and_ids_are_unique() -> None:
    """Marks of XML and characters it cannot hold do no harm, and no id stands twice."""
    structure = lever_unit()
    odd = replace(structure.parts["body"], words='<b>&"\x01', size="]]>")
    structure = replace(structure, parts={**structure.parts, "body": odd}, name="<A&B>")
    pages = draw_stack_up(structure, numbers_of(structure))
    ids = [node.get("id") for page in pages for node in parse(page).iter() if node.get("id")]

    assert len(ids) == len(set(ids))
    assert "<b>" not in "".join(pages)


def test_a_build_of_seventy_parts_takes_several_pages() -> None:
    """A long axis is cut over pages, every part stands on one, and each cut says what follows."""
    parts = {
        f"part-{n}": make_part(
            f"part-{n}",
            profile("ring", order=str(n), length=f"{3 + n % 9} mm", outer="80 mm", inner="30 mm"),
            words=f"part number {n} of the stack",
            size="80 x 30 mm",
        )
        for n in range(70)
    }
    structure = make_structure(parts)
    pages = draw_stack_up(structure, numbers_of(structure))
    found = [part for page in pages for part in check_page(parse(page), structure)]

    assert found == list(parts)
    assert 1 < len(pages) <= 4
    assert all(f"to page {n + 2}" in page for n, page in enumerate(pages[:-1]))


def test_a_build_without_profiles_gives_no_page() -> None:
    """Nothing to draw is no drawing, not an empty sheet."""
    structure = lever_unit()
    bare = {name: replace(part, profile={}) for name, part in structure.parts.items()}

    assert draw_stack_up(replace(structure, parts=bare), {}) == ()


@pytest.mark.parametrize("what", ["numbers", "highlight", "done"])
def test_a_part_the_build_lacks_is_refused(what: str) -> None:
    """A number or a mark for a part that is not there is refused by name."""
    given: Mapping[str, object] = {"numbers": {}, what: {"flywheel": 3}}
    with pytest.raises(UnknownName, match=f"{what}: 'flywheel'"):
        draw_stack_up(lever_unit(), **given)  # type: ignore[arg-type]


def test_a_language_without_words_is_refused() -> None:
    """A language the catalogue lacks is refused, naming those it has."""
    with pytest.raises(BadInput, match=r"language: 'xx' \(right: en\)"):
        draw_stack_up(lever_unit(), {}, language="xx")


def profile(shape: str, **keys: str) -> dict[str, str]:
    """Return a profile on the main axis."""
    return {"axis": "main", "order": "1", "shape": shape, **keys}


BAD_PROFILES = [
    ({"shape": "rign"}, "profile.shape: 'rign' .right: ring"),
    ({"length": "three mm"}, "profile.length: 'three mm'"),
    ({"length": "3"}, "profile.length: '3'"),
    ({"length": "3 bar"}, "profile.length: '3 bar'"),
    ({"length": "0 mm"}, "profile.length: '0 mm'"),
    ({"inner": "50 mm"}, "profile.inner: '50 mm' .right: less than outer 40 mm"),
    ({"order": "first"}, "profile.order: 'first'"),
    ({"order": "nan"}, "profile.order: 'nan'"),
    ({"axis": "north"}, "profile.axis: 'north' .right: main"),
    ({"innner": "3 mm"}, "profile.innner: '3 mm' .right: inner"),
]


@pytest.mark.parametrize(("keys", "message"), BAD_PROFILES)
def test_a_profile_that_cannot_be_drawn_names_part_and_key(
    keys: dict[str, str], message: str
) -> None:
    """Each fault of a profile is refused with the part, the key, the value and what is right."""
    good = profile("ring", length="3 mm", outer="40 mm", inner="20 mm")
    structure = make_structure({"washer": make_part("washer", {**good, **keys})})

    assert not validate_profile(make_part("washer", good), ["main"])
    with pytest.raises(BadInput, match=f"part.washer.{message}"):
        draw_stack_up(structure, numbers_of(structure))


@pytest.mark.parametrize("shape", SHAPES)
def test_every_size_a_shape_needs_is_asked_for(shape: str) -> None:
    """A profile of nothing but its shape is told every key it lacks, all at once."""
    problems = validate_profile(make_part("thing", profile(shape)))
    asked = {problem.field.rpartition(".")[2] for problem in problems}

    assert asked == set(SHAPES[shape].needed)


def test_a_spring_cannot_hold_more_wire_than_its_length() -> None:
    """Ten coils of 4 mm wire do not fit into 30 mm."""
    spring = profile("spring", length="30 mm", outer="30 mm", wire="4 mm", coils="10")
    with pytest.raises(BadInput, match=r"profile.coils: '10' \(right: 0.5 to 7.5"):
        read_profile(make_part("spring", spring))


def test_an_inch_profile_is_read_as_millimetres() -> None:
    """Sizes may be typed in any unit of length."""
    sizes = read_profile(
        make_part("ring", profile("ring", length="1/8 in", outer="2 in", inner="1 in"))
    ).sizes

    assert sizes["outer"] == pytest.approx(0.0508)


@pytest.mark.parametrize(
    ("limit", "scale", "words"),
    [
        (0.9, 0.8, "1 : 1.25"),
        (0.26, 0.25, "1 : 4"),
        (0.011, 0.01, "1 : 100"),
        (1.7, 1.5, "1.5 : 1"),
    ],
)
def test_scales_are_those_of_a_drawing_office(limit: float, scale: float, words: str) -> None:
    """The scale is the largest usual one that fits, said as a ratio."""
    assert nice_scale(limit) == pytest.approx(scale)
    assert scale_text(nice_scale(limit)) == words


def test_labels_that_want_one_place_share_it_around_its_middle() -> None:
    """Three labels that all want the same height are spread evenly about it."""
    assert spread([50, 50, 50], [8, 8, 8], 0, 100, 2) == [40, 50, 60]
    assert spread([2, 50], [8, 8], 0, 100, 2) == [4, 50]
    assert spread([50, 50, 50], [8, 8, 8], 0, 20, 2) is None


def test_lines_break_between_words_and_keep_a_figure_with_its_unit() -> None:
    """A size is not torn from its unit, a long word is cut, and what is left out is marked."""
    assert wrap("free length 110 mm", 14) == ("free length", "110\u00a0mm")
    assert wrap("x" * 12, 5) == ("xxxxx", "xxxxx", "xx")
    assert wrap("one two three four", 5, most=2) == ("one", "two…")
    assert columns("ｗ") == 2


def test_touching_segments_count_as_crossing() -> None:
    """The segment test sees crossings, touching ends and overlaps, and nothing else."""
    assert segments_cross((0, 0), (2, 2), (0, 2), (2, 0))
    assert segments_cross((0, 0), (2, 0), (1, 0), (1, 5))
    assert segments_cross((0, 0), (2, 0), (1, 0), (3, 0))
    assert not segments_cross((0, 0), (2, 0), (0, 1), (2, 1))


def test_typesetter_takes_every_page_without_a_warning() -> None:
    """The PDF maker reads the picture as an image, with its own fonts and no warning."""
    typst = pytest.importorskip("typst")
    structure = lever_unit()
    (page,) = draw_stack_up(structure, numbers_of(structure), highlight=["body"], done=["tube"])
    source = (
        "#set page(width: 180mm, height: 247mm, margin: 0mm)\n"
        f'#image(bytes("{page.translate(_QUOTED)}"), format: "svg", width: 180mm)'
    )
    compiler = typst.Compiler(ignore_system_fonts=True)
    made, warnings = compiler.compile_with_warnings(input=source.encode(), format="pdf")

    assert made.startswith(b"%PDF")
    assert list(warnings) == []


_QUOTED = str.maketrans({'"': '\\"', "\\": "\\\\", "\n": "\\n"})


def texts(node: ElementTree.Element) -> set[str]:
    """Return every line of lettering under a node."""
    return {line.text or "" for line in node.iter("{http://www.w3.org/2000/svg}text")}


def test_the_checks_of_the_drawing_can_fail() -> None:
    """Overlap and crossing are found where they are planted."""

    @dataclass(frozen=True)
    class Planted:
        x: float
        y: float
        width: float
        height: float

    boxes = [Planted(0, 0, 10, 10), Planted(5, 9, 10, 10), Planted(30, 0, 5, 5)]

    assert overlaps(boxes) == 1  # type: ignore[arg-type]
    assert crossings([[(0, 0), (10, 10)], [(0, 10), (10, 0)]]) == 1
    assert (
        len(
            list(
                itertools.chain(
                    leaders(parse(draw_stack_up(lever_unit(), numbers_of(lever_unit()))[0]))
                )
            )
        )
        == 24
    )
