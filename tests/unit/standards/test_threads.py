"""Threads, grades and hexagons are found by the names people write."""

from __future__ import annotations

import pytest

from springcase.errors import OutsideValidity, UnknownName
from springcase.owner import read_owner
from springcase.standards.hexagons import across_flats, screw_of_hexagon
from springcase.standards.register import register
from springcase.standards.strength import (
    grade,
    grade_names,
    nut_factor,
    preload_scatter,
    thread_material,
)
from springcase.standards.threads import thread, threads


@pytest.mark.parametrize(
    ("written", "name"),
    [
        ("3/4-10", "3/4-10"),
        ("3/4-10 UNC", "3/4-10"),
        ("1/4-20 UNC-2A", "1/4-20"),
        ("#10-32", "10-32"),
        ("No. 10-32 UNF", "10-32"),
        ("M12", "M12"),
        ("m12", "M12"),
        ("M12 x 1.75", "M12"),
        ("M16 x 1", "M16x1"),
        ("M16x1.0", "M16x1"),
        ("M10×1.25", "M10x1.25"),
    ],
)
def test_a_thread_is_found_by_what_people_write(written: str, name: str) -> None:
    """Series, spaces and a coarse pitch spelled out make no difference."""
    assert name == thread(written).name


@pytest.mark.parametrize(
    ("written", "nearest"),
    [("M13", "M12"), ("M16x3", "M16x1"), ("3/4-11", "3/4-10"), ("", ""), ("M12x", "")],
)
def test_an_unknown_thread_is_refused_with_the_nearest(written: str, nearest: str) -> None:
    """A thread of no table is refused, with threads of its size or the nearest sizes."""
    with pytest.raises(UnknownName, match=rf"\[name-not-in-table\] thread: .*{nearest}"):
        thread(written)


def test_every_thread_names_a_registered_source() -> None:
    """Each row of the thread table has a source that is in the register."""
    assert set() == {found.source for found in threads().values()} - set(register())


def test_a_fine_thread_has_the_finer_pitch() -> None:
    """The pitch of a fine thread is the one in its name."""
    assert (0.016, 0.001) == pytest.approx((thread("M16x1").diameter, thread("M16x1").pitch))


@pytest.mark.parametrize("name", ["8.8", "ISO 898-1 8.8", "iso 898-1  8.8"])
def test_a_grade_has_several_names(name: str) -> None:
    """A grade is found with or without its standard."""
    assert "8.8" == grade(name, 0.012).name


def test_the_step_of_class_8_8_lies_above_16_mm() -> None:
    """The proof stress of 8.8 is 580 MPa up to 16 mm and 600 MPa above."""
    assert (580e6, 600e6) == (grade("8.8", 0.016).proof_stress, grade("8.8", 0.018).proof_stress)


def test_a_diameter_outside_a_grade_is_refused() -> None:
    """Grade 2 of J429 ends at 1 1/2 in and says nothing of larger screws."""
    with pytest.raises(OutsideValidity, match=r"\[diameter-outside-grade\] grade: 'J429 2'"):
        grade("J429 2", 0.0508)


def test_an_unknown_grade_is_refused_with_the_nearest() -> None:
    """A grade of no table is refused with the nearest."""
    with pytest.raises(UnknownName, match=r"grade: '9.8' \(right: .*8.8"):
        grade("9.8", 0.012)


def test_every_grade_gets_stronger_from_proof_to_tensile() -> None:
    """In each grade proof is below yield and yield below tensile strength."""
    for name in grade_names():
        found = grade(name, 0.0127)

        assert (found.proof_stress or 0) < found.yield_stress < found.tensile_stress


def test_the_owners_nut_factors_are_the_published_ones() -> None:
    """What ships as the owner's nut factor is what the source prints."""
    shipped = read_owner(None).bolting
    printed = [
        nut_factor(state).value
        for state in ("zinc-plated", "non-plated, black", "lubricated", "anti-seize")
    ]

    assert printed == [
        shipped.nut_factor_dry,
        shipped.nut_factor_black,
        shipped.nut_factor_lubricated,
        shipped.nut_factor_anti_seize,
    ]


def test_unknown_states_and_materials_are_refused() -> None:
    """A nut factor, a scatter or a thread material of no table is refused by its field."""
    with pytest.raises(UnknownName, match=r"nut factor: 'oily'"):
        nut_factor("oily")
    with pytest.raises(UnknownName, match=r"thread state: 'oily'"):
        preload_scatter("oily")
    with pytest.raises(UnknownName, match=r"tapped: 'aluminum' \(right: aluminium"):
        thread_material("aluminum")


@pytest.mark.parametrize(
    ("size", "standard", "nominal"),
    [
        ("1/4-20", "", "7/16 in"),
        ("M10x1.25", "", "16 mm"),
        ("M10", "din_931", "17 mm"),
        ("m12", "", "18 mm"),
    ],
)
def test_a_hexagon_is_found_by_its_screw(size: str, standard: str, nominal: str) -> None:
    """The width belongs to the nominal diameter, whatever the pitch; the edition is an argument."""
    assert nominal == across_flats(size, standard=standard).nominal


def test_a_hexagon_of_no_table_is_refused() -> None:
    """An unknown size, standard or width is refused by its field."""
    with pytest.raises(UnknownName, match=r"size: '5/7'"):
        across_flats("5/7")
    with pytest.raises(UnknownName, match=r"standard: 'din_932' \(right: din_931"):
        across_flats("M10", standard="din_932")
    with pytest.raises(UnknownName, match=r"width across flats: '3/8 in'"):
        screw_of_hexagon("3/8 in")
