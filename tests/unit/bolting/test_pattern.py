"""Bolt order, positions and passes."""

from __future__ import annotations

import math

import pytest

from springcase.bolting.pattern import (
    COVERS,
    Pass,
    bolt_order,
    bolt_positions,
    check_passes,
    plan_passes,
    tightening_order,
)
from springcase.errors import OutsideValidity, UnknownName

COUNTS = range(3, 33)


def gap(one: int, other: int, count: int) -> int:
    """Return the steps between two bolts, the shorter way round."""
    return min((one - other) % count, (other - one) % count)


@pytest.mark.parametrize("count", COUNTS)
def test_every_bolt_is_tightened_once(count: int) -> None:
    """A bolt order is a permutation that begins with bolt 1."""
    order = bolt_order(count)

    assert (1, list(range(1, count + 1))) == (order[0], sorted(order))


@pytest.mark.parametrize("count", COUNTS)
def test_each_next_bolt_is_among_the_farthest_free(count: int) -> None:
    """No free bolt is farther from all tightened ones than the next one is."""
    order = bolt_order(count)
    for place in range(1, count):
        reach = {
            bolt: min(gap(bolt, done, count) for done in order[:place]) for bolt in order[place:]
        }

        assert reach[order[place]] == max(reach.values())


@pytest.mark.parametrize("count", [count for count in COUNTS if count % 2 == 0])
def test_bolts_come_in_opposite_pairs(count: int) -> None:
    """With an even count each second bolt is exactly opposite the one before."""
    order = bolt_order(count)
    apart = {gap(order[i], order[i + 1], count) for i in range(0, count, 2)}

    assert {count // 2} == apart


@pytest.mark.parametrize("count", [count for count in COUNTS if count % 4 == 0])
def test_each_second_pair_is_square_to_the_first(count: int) -> None:
    """With a multiple of four each second pair stands a quarter turn from the one before."""
    order = bolt_order(count)
    turned = {gap(order[i], order[i + 2], count) for i in range(0, count, 4)}

    assert {count // 4} == turned


def test_powers_of_two_are_the_bit_reversal() -> None:
    """Four, eight and sixteen bolts follow the reversed bits of their places."""
    for bits in (2, 3, 4):
        reversed_bits = [int(f"{place:0{bits}b}"[::-1], 2) + 1 for place in range(2**bits)]

        assert reversed_bits == list(bolt_order(2**bits))


@pytest.mark.parametrize("count", [-1, 0, 1, 2, 33, 1000])
def test_other_counts_have_no_order(count: int) -> None:
    """Fewer than 3 and more than 32 bolts are refused."""
    with pytest.raises(OutsideValidity, match=r"\[bolt-count\] bolts: .*3 to 32 bolts"):
        bolt_order(count)


def test_other_patterns_have_their_own_order() -> None:
    """Circle goes round, alternate takes every second one first, two screws need no cross."""
    orders = (
        tightening_order("circle", 4),
        tightening_order("alternate", 5),
        tightening_order("cross", 2),
        tightening_order("cross", 6),
    )

    assert ((1, 2, 3, 4), (1, 3, 5, 2, 4), (1, 2), (1, 4, 2, 5, 3, 6)) == orders


def test_an_unknown_pattern_or_cover_is_refused_with_the_nearest() -> None:
    """A misspelt pattern or cover is refused with the nearest known name."""
    with pytest.raises(UnknownName, match=r"pattern: 'cros' \(right: cross\)"):
        tightening_order("cros", 4)
    with pytest.raises(UnknownName, match=r"cover: 'rond' \(right: round\)"):
        bolt_positions(4, "rond")


@pytest.mark.parametrize("cover", COVERS)
@pytest.mark.parametrize("count", COUNTS)
def test_bolts_sit_apart_and_clockwise(count: int, cover: str) -> None:
    """No two bolts share a place, and the numbers run clockwise from the top."""
    places = bolt_positions(count, cover)
    turns = [math.atan2(x, y) % math.tau for x, y in places]
    turns[0] = 0.0 if math.isclose(turns[0], math.tau, abs_tol=1e-6) else turns[0]
    nearest = min(
        math.dist(one, other) for i, one in enumerate(places) for other in places[i + 1 :]
    )

    assert turns == sorted(turns)
    assert nearest > 0.15


@pytest.mark.parametrize("cover", ["round", "oval"])
@pytest.mark.parametrize("count", COUNTS)
def test_bolt_one_stands_at_twelve_o_clock(count: int, cover: str) -> None:
    """On a round or oval cover bolt 1 is at the very top."""
    assert (0.0, 1.0) == pytest.approx(bolt_positions(count, cover)[0])


@pytest.mark.parametrize("count", [4, 8, 12, 16, 20, 24, 28, 32])
def test_a_square_cover_has_a_bolt_in_every_corner(count: int) -> None:
    """With a multiple of four, each corner of a square cover has its bolt."""
    places = {(round(x, 6), round(y, 6)) for x, y in bolt_positions(count, "square")}

    assert {(1, 1), (1, -1), (-1, -1), (-1, 1)} <= places


def test_the_usual_passes_end_with_a_round() -> None:
    """Three rising ranges, then one round at full torque."""
    passes = plan_passes(100.0)
    shown = [(one.torque_low, one.torque_high, one.order) for one in passes]

    assert [
        (20.0, 30.0, "cross"),
        (50.0, 70.0, "cross"),
        (100.0, 100.0, "cross"),
        (100.0, 100.0, "circular"),
    ] == shown


@pytest.mark.parametrize(
    ("ranges", "code"),
    [
        (((0.5, 0.7), (0.2, 0.3), (1.0, 1.0)), "passes-not-increasing"),
        (((0.3, 0.3), (0.3, 0.3), (1.0, 1.0)), "passes-not-increasing"),
        (((0.2, 0.6), (0.5, 0.7), (1.0, 1.0)), "passes-not-increasing"),
        (((0.2, 0.3), (0.5, 0.7)), "passes-not-full"),
        ((), "passes-not-full"),
        (((0.0, 0.3), (1.0, 1.0)), "pass-outside"),
        (((0.3, 0.2), (1.0, 1.0)), "pass-outside"),
        (((0.3, 0.3), (1.2, 1.2)), "pass-outside"),
    ],
)
def test_passes_that_do_not_rise_to_the_full_torque_are_refused(
    ranges: tuple[tuple[float, float], ...], code: str
) -> None:
    """Each pass lies above the one before, and the last is the full torque."""
    with pytest.raises(OutsideValidity, match=rf"\[{code}\] passes"):
        plan_passes(50.0, ranges)


@pytest.mark.parametrize(
    "ranges",
    [((0.3, 0.3), (0.6, 0.6), (1.0, 1.0)), ((0.2, 0.2), (0.4, 0.4), (0.8, 0.8), (1.0, 1.0))],
)
def test_public_procedures_are_accepted(ranges: tuple[tuple[float, float], ...]) -> None:
    """30/60/100 and 20/40/80/100 with a closing round are passes that may be used."""
    assert [*(low * 50 for low, _ in ranges), 50.0] == [
        one.torque_low for one in plan_passes(50.0, ranges)
    ]


def test_passes_without_a_closing_round_are_refused() -> None:
    """The closing circular round is never left out."""
    with pytest.raises(OutsideValidity, match=r"\[passes-no-closing-round\] passes"):
        check_passes(plan_passes(50.0)[:-1])


def test_a_closing_round_below_full_torque_is_refused() -> None:
    """The closing round is made at the full torque."""
    weak = Pass(share_low=0.5, share_high=0.5, torque_low=25.0, torque_high=25.0, order="circular")

    with pytest.raises(OutsideValidity, match=r"\[passes-no-closing-round\] passes"):
        check_passes((*plan_passes(50.0)[:-1], weak))


def test_a_torque_that_is_not_more_than_zero_has_no_passes() -> None:
    """Passes need a torque above zero."""
    with pytest.raises(OutsideValidity, match=r"\[not-positive\] torque"):
        plan_passes(0.0)
