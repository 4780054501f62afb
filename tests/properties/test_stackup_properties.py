"""Random builds: whatever the sizes, the stack-up picture stays legible."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from springcase.assembly.model import Part, PartKind, Structure
from springcase.assembly.profile import SHAPES, validate_profile
from springcase.paper.stackup import draw_stack_up
from springcase.paper.stackup.hatch import MATERIALS
from springcase.paper.stackup.layout import HEIGHT, WIDTH
from unit.paper.bench_units import make_part, make_structure
from unit.paper.drawing import check_page, parse

SIZES = st.floats(min_value=0.3, max_value=400)
WORDS = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cs", "Mn", "Me", "Cf"]), max_size=60
)


@st.composite
def profiles(draw: st.DrawFn, axis: str, order: int) -> dict[str, str]:
    """Draw a profile whose sizes fit each other."""
    shape = draw(st.sampled_from(sorted(SHAPES)))
    outer, length = draw(SIZES), draw(SIZES)
    share = draw(st.floats(min_value=0.05, max_value=0.9))
    sizes = {
        "outer": outer,
        "length": length,
        "inner": outer * share,
        "hub": outer * share,
        "hub_length": length * share,
        "wall": min(outer / 2, length) * share,
        "wire": min(outer / 2, length) * share,
        "head_outer": outer * (1 + share),
        "head_length": length * share,
        "circle": outer * (1 + 5 * share),
        "section": outer / 2 * share,
        "arm": outer * 4,
        "bore": length * share * 0.9,
        "flange": length * (1 + share),
        "thickness": outer * share * 0.2,
        "convolution": outer / 4 * share,
    }
    keys = SHAPES[shape]
    optional = [key for key in keys.allowed if draw(st.booleans())]
    chosen = [key for key in (*keys.needed, *optional) if key != "coils"]
    profile = {key: f"{sizes[key]:.6f} mm" for key in chosen}
    if "coils" in keys.needed:
        profile["coils"] = f"{max(0.5, length / sizes['wire'] * 0.8):.3f}"
        profile["wire"] = f"{min(sizes['wire'], length / 1.0):.6f} mm"
        profile["coils"] = f"{min(float(profile['coils']), 60.0):.3f}"
    return {"axis": axis, "order": str(order), "shape": shape, **profile}


@st.composite
def builds(draw: st.DrawFn) -> Structure:
    """Draw a build of up to forty parts on up to four axes."""
    names = ["main", "lever", "pilot", "sense"][: draw(st.integers(1, 4))]
    parts: dict[str, Part] = {}
    for number in range(draw(st.integers(1, 40))):
        axis = draw(st.sampled_from(names))
        name = f"part-{number}"
        parts[name] = make_part(
            name,
            draw(profiles(axis, draw(st.integers(0, 9)))),
            words=draw(WORDS) or "part",
            size=draw(WORDS),
            count=draw(st.integers(1, 40)),
            material=draw(st.sampled_from(("", *MATERIALS))),
            kind=draw(st.sampled_from(list(PartKind))),
        )
    axes = {"main": {"words": "main axis"}}
    for name in names[1:]:
        axes[name] = {
            "words": name,
            "branch_of": "main",
            "at_part": draw(st.sampled_from(sorted(parts))),
            "direction": draw(st.sampled_from(["", "left", "right"])),
        }
    return make_structure(parts, axes)


@given(builds())
@settings(max_examples=60, deadline=None)
def test_any_build_is_drawn_whole_and_without_overlap(structure: Structure) -> None:
    """Every part stands once, in order, clear of others; labels and leaders never collide."""
    assert [p for part in structure.parts.values() for p in validate_profile(part)] == []

    pages = draw_stack_up(structure, {"part-0": 1})
    found = [part for page in pages for part in check_page(parse(page), structure)]

    assert sorted(found) == sorted(structure.parts)
    assert all(f'viewBox="0 0 {WIDTH:g} {HEIGHT:g}"' in page for page in pages)


@given(profiles("main", 1), st.dictionaries(st.text(max_size=8), st.text(max_size=8), max_size=3))
@settings(max_examples=150, deadline=None)
def test_a_profile_is_either_drawn_or_refused_as_data(
    profile: dict[str, str], noise: dict[str, str]
) -> None:
    """With any keys added or changed a profile gives problems naming it, or a drawing."""
    part = make_part("thing", {**profile, **noise})
    problems = validate_profile(part, ["main"])
    if problems:
        assert all(problem.field.startswith("part.thing.profile.") for problem in problems)
    else:
        assert len(draw_stack_up(make_structure({"thing": part}), {})) == 1
