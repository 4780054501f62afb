"""O-rings, glands and rubbers."""

from __future__ import annotations

import math
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from springcase.errors import BadInput, OutsideValidity, UnknownName
from springcase.sources import Standing
from springcase.standards import o_rings, rubbers


@pytest.mark.parametrize("written", ["112", "-112", " 112 "])
def test_a_ring_is_found_by_its_dash_number(written: str) -> None:
    """A dash number is found with its dash or without."""
    assert "12.37 x 2.62 mm" == o_rings.o_ring(written).size


def test_a_short_number_is_filled_up() -> None:
    """Dash 12 is 012."""
    assert "012" == o_rings.o_ring("12").dash


def test_an_unknown_dash_number_is_refused() -> None:
    """A dash number of no table is refused; the 900 series is not held."""
    with pytest.raises(UnknownName, match=r"o-ring: '903'"):
        o_rings.o_ring("903")


@pytest.mark.parametrize("dash", sorted(o_rings.o_rings()))
def test_every_ring_is_the_likeliest_match_of_its_own_size(dash: str) -> None:
    """Measured exactly, each ring is found by its diameter and section."""
    ring = o_rings.o_ring(dash)

    assert dash == o_rings.match_o_ring(ring.inner, ring.section)[0].dash


def test_a_ring_is_never_matched_by_diameter_alone() -> None:
    """349 and 425 share their inner diameter and are told apart by their section."""
    found = [
        [ring.dash for ring in o_rings.match_o_ring(0.11367, section)]
        for section in (0.00533, 0.00699)
    ]

    assert "349" in found[0] and "425" not in found[0]
    assert "425" in found[1] and "349" not in found[1]


def test_a_size_near_no_ring_matches_nothing() -> None:
    """A section that is no standard one gives no ring."""
    assert () == o_rings.match_o_ring(0.020, 0.0042)


def test_a_size_that_is_not_more_than_zero_is_refused() -> None:
    """Diameter and section are more than zero."""
    with pytest.raises(OutsideValidity, match=r"\[not-positive\] section"):
        o_rings.match_o_ring(0.02, 0.0)


def test_a_gland_of_no_table_is_refused() -> None:
    """An unknown use or section is refused with the known ones."""
    with pytest.raises(UnknownName, match=r"use: 'static' \(right: static-"):
        o_rings.squeeze_limits(3.53e-3, "static")
    with pytest.raises(UnknownName, match=r"section: '4.00'"):
        o_rings.squeeze_limits(4e-3, "dynamic")


@given(st.floats(1e-3, 7e-3), st.floats(0, 0.15e-3), st.floats(0.6, 0.9), st.floats(0, 0.1))
def test_the_worst_squeeze_encloses_the_nominal(
    section: float, tolerance: float, share: float, spread: float
) -> None:
    """The least squeeze is never above the nominal one, the greatest never below."""
    low, high = section * share, section * (share + spread)
    least, greatest = o_rings.squeeze(section, tolerance, low, high)
    nominal = 1 - (low + high) / 2 / section

    assert least <= nominal + 1e-12
    assert nominal <= greatest + 1e-12


def test_fill_is_judged_at_its_worst() -> None:
    """A gland that is right at nominal size and over 90 % at worst is not accepted."""
    ring = o_rings.o_ring("222")
    good = o_rings.judge_fill(ring, 4.57e-3, 2.87e-3, 2.79e-3)
    tight = o_rings.judge_fill(ring, 4.57e-3, 2.87e-3, 2.50e-3)

    assert (True, False) == (good.within, tight.within)


def test_a_gland_without_width_is_refused() -> None:
    """A gland has a width and a depth."""
    with pytest.raises(OutsideValidity, match=r"\[not-positive\] gland"):
        o_rings.gland_fill(3.53e-3, 0.0, 2.8e-3)


@pytest.mark.parametrize(("share", "allowed"), [(0.05, True), (0.051, False), (-0.01, False)])
def test_stretch_has_a_limit(share: float, allowed: bool) -> None:
    """A ring is stretched by at most 5 % and never loose on its groove."""
    assert allowed == o_rings.stretch_is_allowed(share)


def test_a_spacer_that_does_not_squeeze_is_refused() -> None:
    """A compression set needs a spacer thinner than the rubber."""
    with pytest.raises(OutsideValidity, match=r"\[not-positive\] squeeze"):
        o_rings.compression_set(3.53e-3, 3.5e-3, 3.53e-3)


def test_volume_is_kept_when_a_ring_is_stretched() -> None:
    """A ring four times as long would be half as thick."""
    assert math.isclose(0.5, o_rings.section_thinning(3.0))


@pytest.mark.parametrize(
    ("quarter", "day"),
    [
        ("3Q2019", date(2019, 9, 30)),
        ("3Q19", date(2019, 9, 30)),
        ("1/20", date(2020, 3, 31)),
        ("4q2021", date(2021, 12, 31)),
        ("2 Q 2024", date(2024, 6, 30)),
        ("3/94", date(1994, 9, 30)),
    ],
)
def test_a_cure_date_is_the_last_day_of_its_quarter(quarter: str, day: date) -> None:
    """A quarter is read in the ways it is stamped."""
    assert day == rubbers.cure_date(quarter)


@pytest.mark.parametrize("quarter", ["", "5Q2019", "0/19", "2019", "3Q", "3Q1819", "Q3 2019"])
def test_what_is_no_quarter_is_refused(quarter: str) -> None:
    """A text that is no quarter and year is refused."""
    with pytest.raises(BadInput, match=r"\[cure-quarter-unreadable\] cure date"):
        rubbers.cure_date(quarter)


def test_a_conflict_of_sources_is_shown() -> None:
    """For SBR the shorter life is used, and the conflict is said with the dates."""
    dates = rubbers.storage_dates("SBR", "3Q2019", "sae_as5316")

    assert (date(2022, 9, 30), "sources give 3 years and 15 years; the shorter is used") == (
        dates.end,
        dates.conflict,
    )


def test_unlimited_storage_has_no_end() -> None:
    """Where storage is unlimited there is no day of inspection and none of the end."""
    dates = rubbers.storage_dates("FKM", "3Q2019", "sae_as5316")

    assert (date(2019, 9, 30), None, None) == (dates.cured, dates.inspect, dates.end)


def test_a_row_from_memory_says_so() -> None:
    """The storage life of SBR by ISO 2230 is from memory and marked."""
    assert Standing.MEMORY is rubbers.storage_life("SBR", "iso_2230_2002").standing


def test_family_materials_stand_for_their_rubber() -> None:
    """A fabric diaphragm is judged by its rubber."""
    assert ("NBR", "FKM", "AU", "EPDM") == tuple(
        rubbers.rubber_of_material(name) for name in ("nbr-fabric", "fkm-fabric", "pur", "epdm")
    )


def test_unknown_names_of_rubbers_are_refused() -> None:
    """Editions, rubbers, media, elastomers and bases of no table are refused by their field."""
    with pytest.raises(UnknownName, match=r"edition: 'iso_2230' \(right: iso_2230_2002"):
        rubbers.storage_life("NBR", "iso_2230")
    with pytest.raises(UnknownName, match=r"rubber: 'cork'"):
        rubbers.storage_life("cork")
    with pytest.raises(UnknownName, match=r"medium: 'oxygen'"):
        rubbers.compatibility("oxygen", "NBR")
    with pytest.raises(UnknownName, match=r"elastomer: 'cork'"):
        rubbers.compatibility("methane", "cork")
    with pytest.raises(UnknownName, match=r"lubricant base: 'butter'"):
        rubbers.lubricant_attacks("butter", "NBR")
    with pytest.raises(UnknownName, match=r"elastomer: 'cork'"):
        rubbers.temperature_range("cork")


def test_every_compatibility_lies_on_its_scale() -> None:
    """Each cell is a span of 1 to 4, best first."""
    for medium in rubbers.media():
        for rubber in ("NBR", "FKM", "EPDM", "CR", "PTFE", "FFKM"):
            found = rubbers.compatibility(medium, rubber)

            assert 1 <= found.best <= found.worst <= 4


def test_a_lubricant_is_judged_by_the_rubber_of_a_fabric() -> None:
    """Silicone grease is right for a nitrile diaphragm with fabric."""
    assert not rubbers.lubricant_attacks("silicone", "nbr-fabric")
