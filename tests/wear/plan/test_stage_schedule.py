"""At which cuts are blades read, as worked by hand?"""

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.errors import UnusableInput
from edgetest.wear.plan.expected_wear import ExpectedWear, stage_se
from edgetest.wear.plan.stage_schedule import (
    Schedule,
    best_schedule,
    geometric_schedule,
    handy,
    typical_se,
)

WEAR = ExpectedWear(100.0)


@pytest.mark.parametrize(
    ("stages", "last", "first", "cuts"),
    [
        (5, 80, None, [0, 10, 20, 40, 80]),
        (3, 100, None, [0, 50, 100]),
        (6, 8, None, [0, 1, 2, 3, 5, 8]),
        (4, 100, 1, [0, 1, 10, 100]),
        (5, 5, None, [0, 1, 2, 3, 5]),
        (4, 1000, 990, [0, 990, 995, 1000]),
        (6, 6, 5, [0, 2, 3, 4, 5, 6]),
    ],
)
def test_doubling_stages_are_whole_and_rise(stages, last, first, cuts):
    found = geometric_schedule(stages, last, first=first)
    assert len(found) == stages
    assert (found[0], found[-1]) == (0, last)
    assert (np.diff(found) >= 1).all()
    if cuts is not None and stages < 6:
        assert found.tolist() == cuts


@pytest.mark.parametrize(
    ("stages", "last", "says"), [(2, 100, "2 stages"), (5, 4, "4 cuts for 5 stages")]
)
def test_too_few_stages_or_cuts_are_refused(stages, last, says):
    with pytest.raises(UnusableInput, match=says):
        geometric_schedule(stages, last)


def test_as_many_cuts_as_stages_will_do():
    assert geometric_schedule(3, 3).tolist() == [0, 2, 3]


def test_numbers_that_are_easily_counted_to():
    cuts = [0, 1, 7, 9.4, 9.6, 12, 13, 47, 98, 101, 104, 106, 994, 1049, 1051, 1520]
    easy = [0, 1, 7, 9, 10, 10, 15, 45, 100, 100, 100, 110, 990, 1000, 1100, 1500]
    assert_allclose(handy(cuts), easy)


def test_what_is_typical_is_the_geometric_mean_of_nine_cases():
    cuts = np.array([0, 20, 50, 100])
    cases = [
        stage_se(cuts, ExpectedWear(100.0 * a, bend=2.0 * b))
        for a in (1 / 1.5, 1, 1.5)
        for b in (1 / 1.5, 1, 1.5)
    ]
    assert typical_se(cuts, WEAR) == pytest.approx(np.exp(np.log(cases).mean()))


def test_loss_is_how_much_wider_other_stages_leave_it():
    found = Schedule((0, 50, 100), 0.10, (0, 25, 100), 0.12, (0, 100), 0.08)
    assert (found.loss, found.own_loss) == pytest.approx((0.2, -0.2))
    assert found.summary() == (
        "Stop and read at 0, 50, 100 cuts. The protocol's own stages leave the life 20 % more "
        "sure. Doubling stages leave the life 20 % less sure."
    )
    even = Schedule((0, 50, 100), 0.10, (0, 25, 100), 0.1004)
    assert even.own_loss is None
    assert even.summary().endswith("Doubling stages leave the life just as sure.")
    assert found.to_dict()["own_cuts"] == [0, 100]


def test_the_best_stages_are_no_worse_and_lie_apart():
    found = best_schedule(5, 120, WEAR, own=(0, 30, 60, 90, 120))
    assert found.cuts[0] == 0
    assert len(found.cuts) == 5
    assert np.diff(found.cuts).min() >= 0.05 * 120
    assert max(found.cuts) <= 120
    assert found.loss >= 0
    assert found.own_loss >= 0
    assert found.se == pytest.approx(float(typical_se(found.cuts, WEAR)))
    assert found.own_se == pytest.approx(float(typical_se([0, 30, 60, 90, 120], WEAR)))
    later = best_schedule(5, 120, WEAR, first=10)
    assert later.cuts[0] == 10
    assert min(later.cuts[1:]) > 10
    assert later.own_se is None
