"""Which readings surely differ, are surely hard or soft, and may be held against each other."""

import pytest

from edgetest.steel.surely import all_harder, comparable, is_hard, is_soft, of_place, surely_harder
from edgetest.steel.surely import true_readings as of_the_steel
from tests.steel.seen_steel import files, number


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [
        # Two numbers of 1 HRC each: 2 × sqrt(2) is less than the 3 HRC that always count.
        (number(58), number(54.9), True),
        (number(58), number(55.0), False),
        # Less sure ones: 2 × hypot(1.5, 2).
        (number(60, u=1.5), number(54.9, u=2.0), True),
        (number(60, u=1.5), number(55.1, u=2.0), False),
        # Files against files: the ends of the brackets, 1 HRC of feel each.
        (files(60, 65), files(50, 56.9), True),
        (files(60, 65), files(50, 57.1), False),
        # Between files and an instrument another 1 HRC: 2 × sqrt(3) = 3.46.
        (files(60, 65), number(56.5), True),
        (files(60, 65), number(56.6), False),
        (number(60), files(None, 40), True),
        (number(60), files(40, None), False),
        (files(None, 65), number(20), False),
    ],
)
def test_two_readings_differ_by_more_than_their_doubt(one, other, apart):
    assert surely_harder(one, other) is apart
    assert not surely_harder(other, one)


def test_hard_and_soft_are_judged_at_the_near_end():
    """55 HRC is hard, 50 soft; a number by its standard uncertainty, a bracket by its end."""
    assert is_hard(files(55, 60))
    assert not is_hard(files(54, 60))
    assert is_hard(number(56))
    assert not is_hard(number(55.5))
    assert not is_hard(files(None, 65))
    assert is_soft(files(45, 50))
    assert not is_soft(files(45, 51))
    assert is_soft(number(49))
    assert not is_soft(number(49.5))
    assert not is_soft(files(40, None))


SKIN, BELOW, LOOSE = files(50, 55, "skin"), files(60, 65, "below"), files(55, 60)


def test_below_the_skin_speaks_of_the_steel_before_all_else():
    assert of_the_steel((SKIN, LOOSE, BELOW)) == (BELOW,)
    assert of_the_steel((SKIN, LOOSE)) == (LOOSE,)
    assert of_the_steel((SKIN,)) == (SKIN,)
    assert of_the_steel(()) == ()
    assert of_place((SKIN, BELOW), "skin") == (SKIN,)


def test_skin_is_not_held_against_what_lies_below_it():
    assert comparable((SKIN, BELOW), (BELOW,)) == ((BELOW,), (BELOW,))
    assert comparable((SKIN,), (SKIN, BELOW)) == ((SKIN,), (SKIN,))
    assert comparable((SKIN,), (BELOW,)) == ((), ())
    assert comparable((LOOSE,), (BELOW,)) == ((LOOSE,), (BELOW,))
    assert comparable((), (BELOW,)) == ((), ())


def test_all_of_some_must_lie_above_all_of_the_others():
    assert all_harder((BELOW, number(62)), (number(55), number(50)))
    assert not all_harder((BELOW, number(56)), (number(55), number(50)))
    assert not all_harder((), (number(50),))
    assert not all_harder((BELOW,), ())
