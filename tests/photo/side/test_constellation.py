"""Old chips as evidence for a laying."""

from math import log

import pytest

from edgetest.photo.side.constellation import FOUND_AGAIN, MOST, chips_evidence
from edgetest.photo.side.laying import Candidate

SPAN = (0.0, 10000.0)
OLD = (3000.0, 80.0, 20.0, -1)


def at(shift_um):
    return Candidate(shift_um, 1.0, 5000.0, 0.5, 100.0, 5.0)


def evidence(before, after, shift_um=0.0):
    return chips_evidence(before, after, at(shift_um), SPAN, 2.0)


def test_a_chip_found_again_speaks_for_the_place_and_a_missing_one_against_it():
    assert evidence([OLD], [OLD]) > 3
    assert evidence([OLD], []) == pytest.approx(log(1 - FOUND_AGAIN))
    assert evidence([OLD], [OLD], shift_um=400.0) == pytest.approx(log(1 - FOUND_AGAIN))


def test_the_shift_carries_the_chip_along():
    moved = (3400.0, *OLD[1:])
    assert evidence([OLD], [moved], shift_um=400.0) == pytest.approx(evidence([OLD], [OLD]))


def test_the_nearer_the_more_it_says():
    by_distance = [evidence([OLD], [(3000.0 + away, *OLD[1:])]) for away in (0, 8, 16)]
    assert by_distance == sorted(by_distance, reverse=True)
    assert by_distance[0] - by_distance[2] > 1


@pytest.mark.parametrize(
    "other",
    [(3000.0, 80.0, 20.0, 1), (3000.0, 80.0, 10.0, -1)],
    ids=["a roll is no chip", "a chip does not heal"],
)
def test_something_else_there_is_not_the_old_chip(other):
    assert evidence([OLD], [other]) == pytest.approx(log(1 - FOUND_AGAIN))


def test_a_grown_chip_is_still_the_old_one():
    assert evidence([OLD], [(3000.0, 160.0, 60.0, -1)]) > 2


def test_one_new_chip_does_not_stand_for_two_old_ones():
    twice = [OLD, (3004.0, *OLD[1:])]
    assert evidence(twice, [OLD]) == pytest.approx(evidence([OLD], [OLD]) + log(0.1), abs=0.2)


def test_a_match_says_less_where_the_second_is_full_of_chips():
    many = [OLD, *((float(place), 80.0, 20.0, -1) for place in range(5000, 9000, 200))]
    assert evidence([OLD], many) < evidence([OLD], [OLD]) - 1


def test_chips_alone_cannot_pass_their_most():
    chips = [(float(place), 80.0, 20.0, -1) for place in range(1000, 9000, 1000)]
    assert evidence(chips, chips) == MOST


def test_what_the_second_does_not_show_says_nothing():
    assert evidence([], [OLD]) == 0.0
    assert evidence([OLD], [], shift_um=9000.0) == 0.0
