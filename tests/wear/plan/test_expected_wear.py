"""How sure is a life from given stages, by the model's own formula written out?"""

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.wear.plan.expected_wear import ExpectedWear, check_limit, stage_se


def by_hand(cuts, life, p, cv, deviation):
    """The wedge w^p = w0^p + K n from 1 to 10, by log fresh, log life and log p."""
    n = np.array(cuts, float)
    limit, power = 10.0, p

    def log_reading(log_fresh, log_life, log_p):
        q = np.exp(log_p)
        rate = (limit**q - np.exp(q * log_fresh)) / np.exp(log_life)
        return np.log(np.exp(q * log_fresh) + rate * n) / q

    at, step = (0.0, np.log(life), np.log(power)), 1e-5
    jac = np.stack(
        [
            (log_reading(*(np.add(at, step * e))) - log_reading(*(np.add(at, -step * e))))
            / (2 * step)
            for e in np.eye(3)
        ],
        axis=-1,
    )
    cov = cv**2 * np.eye(len(n))
    assert deviation == 0
    information = jac.T @ np.linalg.solve(cov, jac) + np.diag([1.0, 0.0, 4.0])
    return np.sqrt(np.linalg.inv(information)[1, 1])


@pytest.mark.parametrize(
    ("cuts", "life", "p", "cv"),
    [([0, 30, 60, 100], 90.0, 2.0, 0.05), ([5, 20, 200], 150.0, 1.4, 0.1)],
)
def test_without_departure_it_is_the_information_matrix_of_the_law(cuts, life, p, cv):
    wear = ExpectedWear(life, reading_cv=cv, bend=p, deviation=0.0)
    assert stage_se(cuts, wear) == pytest.approx(by_hand(cuts, life, p, cv, 0.0), rel=1e-4)


def test_a_departure_from_the_law_adds_to_it_and_less_near_the_life():
    cuts = [[0, 50, 100], [0, 50, 200]]
    bare = stage_se(cuts, ExpectedWear(100.0, deviation=0.0))
    walked = stage_se(cuts, ExpectedWear(100.0, deviation=0.2))
    assert walked.shape == (2,)
    assert (walked > bare).all()
    added = walked**2 - bare**2
    assert added[0] < added[1]  # a reading at the life itself sees the departure there


@pytest.mark.parametrize(
    ("wear", "bend"),
    [
        (ExpectedWear(9.0), 2.0),
        (ExpectedWear(9.0, bend=1.3), 1.3),
        (ExpectedWear(9.0, law="saturating"), 1.0),
        (ExpectedWear(9.0, 10.0, 4.0, law="falling_power"), 0.5),
        # What is left of the falling part at 4 of 10 is half of it: 0.2.
        (ExpectedWear(9.0, 10.0, 4.0, law="falling_exponential"), 1 / np.log(5)),
        (ExpectedWear(9.0, 10.0, 4.0, law="falling_hyperbolic"), 0.25),
    ],
)
def test_bend_that_a_law_is_thought_to_have(wear, bend):
    assert wear.usual_bend == pytest.approx(bend)


@pytest.mark.parametrize(
    ("wear", "says"),
    [
        (ExpectedWear(9.0, 5.0, 5.0), "5 is not above the fresh edge's 5"),
        (ExpectedWear(9.0, 0.0, 5.0), "5 is not above the fresh edge's 0"),
        (ExpectedWear(9.0, 5.0, 5.0, law="falling_power"), "5 is not below"),
        (ExpectedWear(9.0, law="none"), '"none" is not a law'),
    ],
)
def test_a_limit_lies_where_the_law_goes(wear, says):
    with pytest.raises(UnusableInput, match=says):
        check_limit(wear)
    check_limit(ExpectedWear(9.0, 5.0, 5.1))
    check_limit(ExpectedWear(9.0, 5.1, 5.0, law="falling_power"))
