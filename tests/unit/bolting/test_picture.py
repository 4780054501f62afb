"""The bolt order as a picture."""

from __future__ import annotations

from xml.etree import ElementTree

import pytest

from springcase.bolting.pattern import COVERS, bolt_order
from springcase.bolting.picture import draw_bolt_order

SVG = "{http://www.w3.org/2000/svg}"


def bolts(drawn: str) -> list[dict[str, str]]:
    """Return the attributes of the bolts of a picture."""
    root = ElementTree.fromstring(drawn)
    return [dict(found.attrib) for found in root.iter(f"{SVG}circle")]


@pytest.mark.parametrize("cover", COVERS)
@pytest.mark.parametrize("count", [3, 5, 8, 12, 17, 32])
def test_every_bolt_has_its_number_and_turn(count: int, cover: str) -> None:
    """Each bolt is drawn once with its number and its place in the order."""
    drawn = {
        int(found["data-bolt"]): int(found["data-turn"])
        for found in bolts(draw_bolt_order(count, cover=cover))
    }

    assert {bolt: turn for turn, bolt in enumerate(bolt_order(count), start=1)} == drawn


@pytest.mark.parametrize("cover", COVERS)
@pytest.mark.parametrize("count", range(3, 33))
def test_bolts_do_not_touch_and_stay_on_the_paper(count: int, cover: str) -> None:
    """No two bolts overlap and all lie inside the picture."""
    drawn = draw_bolt_order(count, cover=cover)
    root = ElementTree.fromstring(drawn)
    wide, high = float(root.attrib["width"]), float(root.attrib["height"])
    circles = [(float(b["cx"]), float(b["cy"]), float(b["r"])) for b in bolts(drawn)]
    for place, (x0, y0, radius) in enumerate(circles):
        assert radius < x0 < wide - radius
        assert radius < y0 < high - radius
        for x1, y1, other in circles[place + 1 :]:
            assert (x1 - x0) ** 2 + (y1 - y0) ** 2 > (radius + other) ** 2


def test_the_first_bolt_is_the_heavy_one_at_the_top() -> None:
    """Bolt 1 of a round cover is the highest and drawn heavier than all others."""
    drawn = bolts(draw_bolt_order(8))
    highest = min(drawn, key=lambda bolt: float(bolt["cy"]))
    heaviest = max(drawn, key=lambda bolt: float(bolt["stroke-width"]))

    assert ("1", "1") == (highest["data-bolt"], heaviest["data-bolt"])


def test_the_order_stands_below_in_words() -> None:
    """The whole order is written under the cover, a line for every twelve bolts."""
    root = ElementTree.fromstring(draw_bolt_order(16))
    lines = [found.text or "" for found in root.iter(f"{SVG}text") if "class" in found.attrib]

    assert "Order: " + " ".join(map(str, bolt_order(16))) == " ".join(lines)


def test_only_black_and_white_carry_meaning() -> None:
    """A photocopy shows the same: every colour is black or white."""
    root = ElementTree.fromstring(draw_bolt_order(12, cover="oval"))
    colours = {
        found.attrib[name]
        for found in root.iter()
        for name in ("fill", "stroke")
        if name in found.attrib
    }

    assert {"#000", "#fff", "none"} == colours
