"""Agreement of two looks against the published worked example.

J. M. Bland, D. G. Altman, "Statistical methods for assessing agreement between two methods of
clinical measurement", Lancet 327 (1986) 307-310, table 1: peak expiratory flow rate of 17
persons, two readings with each of two meters, l/min. The readings were looked up in public
copies of the table; the published results are from memory of the paper.
"""

import pytest

from edgetest.stats.agreement import agreement

LARGE = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
LARGE_AGAIN = [490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421]
SMALL = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451]
SMALL_AGAIN = [525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443]


def test_bias_and_limits_of_agreement_of_two_meters():
    found = agreement(SMALL, LARGE, unit="l/min")
    assert found.bias.value == pytest.approx(-2.1, abs=0.05)
    assert (found.bias.low, found.bias.high) == pytest.approx((-22.0, 17.8), abs=0.1)
    assert found.sd_difference == pytest.approx(38.8, abs=0.05)
    # Published with 2 standard deviations in place of 1.96, and 3 s^2/n in place of 2.92 s^2/n.
    assert (found.lower.value, found.upper.value) == pytest.approx((-79.7, 75.5), abs=1.7)
    assert (found.lower.low, found.lower.high) == pytest.approx((-114.3, -45.1), abs=2.0)
    assert (found.upper.low, found.upper.high) == pytest.approx((40.9, 110.1), abs=2.0)


@pytest.mark.parametrize(
    ("first", "again", "published"),
    [(LARGE, LARGE_AGAIN, 43.2), (SMALL, SMALL_AGAIN, 56.4)],
    ids=["large meter", "small meter"],
)
def test_coefficient_of_repeatability(first, again, published):
    found = agreement(first, again)
    assert found.repeatability * 2 / 1.96 == pytest.approx(published, abs=0.15)
    # The standard deviation of one reading, as given in the paper of 1999: 15.3 and 19.9 l/min.
    assert found.within.value == pytest.approx({43.2: 15.3, 56.4: 19.9}[published], abs=0.06)
