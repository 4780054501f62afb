"""The picture of outlet against flow holds what it says."""

from __future__ import annotations

from dataclasses import replace
from xml.etree import ElementTree

import pytest

from springcase.paper.curve_picture import HEIGHT, WIDTH, CurveView, draw_curve, nice_ticks

VIEW = CurveView(
    title="Made: a reducer",
    subtitle="methane, inlet 4.00 bar gauge",
    unit="mbar gauge",
    flows=[0.0, 10.0, 20.0, 30.0],
    rising=[101.0, 98.0, 94.0, None],
    falling=[103.0, 100.0, 96.0, None],
    set_point=100.0,
    band=0.05,
    lock_up=109.5,
    inlet_words="4.00 bar gauge",
    wide_open=400.0,
    is_reducing=True,
)


def words(picture: str) -> list[str]:
    """Return every text of a picture."""
    found = ElementTree.fromstring(picture).iter("{http://www.w3.org/2000/svg}text")
    return [each.text or "" for each in found]


def test_the_picture_names_what_it_shows() -> None:
    """Set point with its band, lock-up with its inlet and wide open stand in the picture."""
    said = words(draw_curve(VIEW))

    assert "set point 100 mbar gauge, ±5 %" in said
    assert "lock-up 109.5 mbar gauge at inlet 4.00 bar gauge" in said
    assert "wide open 400 Nm³/h" in said


def test_a_flow_that_does_not_pass_is_not_drawn() -> None:
    """A gap in the curve is a gap in its line, not a fall to nothing."""
    lines = [line for line in draw_curve(VIEW).splitlines() if 'stroke-width="2.6"' in line]

    assert [2] == [line.count("L") for line in lines]


@pytest.mark.parametrize("wide_open", [31.0, 400.0])
@pytest.mark.parametrize("is_reducing", [True, False])
def test_every_text_begins_on_the_page(wide_open: float, is_reducing: bool) -> None:
    """No text is placed off the page, whether wide open is on the scale or beyond it."""
    view = replace(VIEW, wide_open=wide_open, is_reducing=is_reducing)
    root = ElementTree.fromstring(draw_curve(view))
    places = [
        (float(each.attrib["x"]), float(each.attrib["y"]))
        for each in root.findall("{http://www.w3.org/2000/svg}text")
    ]

    assert all(0 < x < WIDTH and 0 < y < HEIGHT for x, y in places)


def test_markup_in_a_name_stays_text() -> None:
    """A name with markup in it is shown as it is written."""
    picture = draw_curve(replace(VIEW, title="a <b> & c"))

    assert "a <b> & c" in words(picture)


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [(0.0, 35.0, [0, 5, 10, 15, 20, 25, 30, 35]), (1.94, 2.06, [1.94, 1.96, 1.98, 2.0])],
)
def test_ticks_are_round(low: float, high: float, expected: list[float]) -> None:
    """Ticks stand at round values and at most at eight of them."""
    assert nice_ticks(low, high)[: len(expected)] == pytest.approx(expected)
