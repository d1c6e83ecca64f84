"""A day that names its month, or has its year last, is read where it can be one day alone."""

import pytest

from edgetest.errors import UnusableInput
from edgetest.store.days import day_as_meant, parse_date, senses_of_day
from edgetest.store.records import study_of
from edgetest.study.steel.steel_rows import steel_rows_of
from edgetest.units import Unreadable


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("14/11/2026", "2026-11-14"),
        ("11/14/2026", "2026-11-14"),
        ("14 nov 2026", "2026-11-14"),
        ("November 14, 2026", "2026-11-14"),
        ("4.5.2026", "2026-05-04"),
        ("14/11/26", "2026-11-14"),
        ("20261114", "2026-11-14"),
        ("20261314", "20261314"),
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


@pytest.mark.parametrize("typed", ["4/5/2026", "04-05-2026", "4/5/26"])
def test_a_day_that_may_be_two_is_refused_with_both(typed):
    with pytest.raises(Unreadable, match="can be two days") as fault:
        parse_date(typed)
    assert fault.value.mend == "write 2026-05-04 or 2026-04-05"


@pytest.mark.parametrize("typed", ["4/4/2026", "14/5/2026", "4.5.2026", "2026-05-04", "in May"])
def test_a_day_that_is_one_alone_stays_as_typed(typed):
    assert parse_date(typed) == typed


def test_one_rule_for_the_day_of_a_study_and_of_a_trial(tmp_path):
    with pytest.raises(UnusableInput, match='date: "4/5/2026" can be two days; write 2026-05-04'):
        study_of({"title": "x", "date": "4/5/2026"}, tmp_path)
    trial = {"test": "rope", "result": "same", "day": "4/5/2026"}
    study = study_of({"title": "x", "evidence": {"trials": [trial]}}, tmp_path)
    with pytest.raises(UnusableInput, match='trials 1, day: "4/5/2026" can be two days'):
        steel_rows_of(study)


@pytest.mark.parametrize("typed", ["31.02.2026", "31/31/2026", "30-2-2026"])
def test_a_day_with_its_year_last_that_no_calendar_has_is_refused(typed):
    with pytest.raises(Unreadable, match="is no day of the calendar"):
        parse_date(typed)
