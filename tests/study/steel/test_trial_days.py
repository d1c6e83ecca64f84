"""A day that names its month, or has its year last, is read where it can be one day alone."""

import pytest

from edgetest.study.steel.trial_days import day_as_meant, senses_of_day


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("14/11/2026", "2026-11-14"),
        ("11/14/2026", "2026-11-14"),
        ("14 nov 2026", "2026-11-14"),
        ("November 14, 2026", "2026-11-14"),
        ("4/5/2026", "4/5/2026"),
        ("31/31/2026", "31/31/2026"),
        ("the first frost", "the first frost"),
        ("2026-11-14", "2026-11-14"),
        ("", ""),
    ],
)
def test_the_day_that_is_meant(typed, meant):
    assert day_as_meant(typed) == meant


def test_a_day_that_may_be_two_is_told_as_both():
    assert [str(one) for one in senses_of_day("4/5/2026")] == ["2026-05-04", "2026-04-05"]
