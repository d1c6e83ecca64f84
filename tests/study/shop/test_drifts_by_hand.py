"""Yearly changes against a line by least squares of another library; when none is told."""

from types import SimpleNamespace

import pytest
from scipy.stats import linregress, t

from edgetest.estimate import Estimate
from edgetest.study.shop.drifts import Drifts, drifts, years_of
from edgetest.study.shop.study_lives import ArmLife

K = "control blade K"


def study(year, **arms):
    """Log lives by arm, "K" the control's."""
    runs = [ArmLife(K if arm == "K" else arm, arm, "", life, 0.02)
            for arm, lives in arms.items() for life in lives]  # fmt: skip
    return SimpleNamespace(date=year, read_runs=runs)


def line(years, values):
    """Slope and its 95 % interval by Student's t."""
    fit = linregress(years, values)
    half = t.ppf(0.975, len(years) - 2) * fit.stderr
    return pytest.approx((fit.slope, fit.slope - half, fit.slope + half), abs=1e-9)


def ends(estimate):
    return estimate.value, estimate.low, estimate.high


@pytest.mark.parametrize(
    ("day", "year"),
    [
        ("2019", 2019.5),
        ("2019-01", 2019 + 0.5 / 12),
        ("2019-07", 2019 + 6.5 / 12),
        ("2019-07-01", 2019 + 6 / 12),
        (" 2019-12-16 ", 2019 + (11 + 15 / 31) / 12),
        ("spring 2019", None),
        ("", None),
    ],
)
def test_a_day_is_a_place_on_the_line_of_years(day, year):
    assert years_of(day) == (None if year is None else pytest.approx(year, abs=1e-9))


YEARS = [2010, 2011, 2012, 2014, 2015]
LIVES = [5.0, 5.3, 5.1, 5.6, 5.5]


def test_the_control_alone_is_a_line_through_its_mean_lives():
    told = drifts(
        [study(str(y), K=[v - 0.1, v + 0.1]) for y, v in zip(YEARS, LIVES, strict=True)], K
    )
    assert ends(told.together) == line(YEARS, LIVES)
    assert told.medium is told.control is None
    assert (told.together.level, told.together.unit) == (0.95, "a year")


def test_a_heat_treatment_in_every_study_is_the_medium_s_line():
    told = drifts([study(str(y), a=[v]) for y, v in zip(YEARS, LIVES, strict=True)], "")
    assert ends(told.medium) == line(YEARS, LIVES)
    assert told.control is told.together is None


def test_the_control_against_fresh_blades_is_a_line_through_their_differences():
    both = [
        study(str(y), K=[v + 1], a=[2 * y / 1000 + v]) for y, v in zip(YEARS, LIVES, strict=True)
    ]
    differences = [1 - 2 * y / 1000 for y in YEARS]
    told = drifts(both, K)
    assert ends(told.control) == line(YEARS, differences)
    bent = [study(str(y), K=[v], a=[5.0]) for y, v in zip(YEARS, LIVES, strict=True)]
    assert ends(drifts(bent, K).control) == line(YEARS, LIVES)
    narrow = drifts(bent, K, level=0.5).control
    fit = linregress(YEARS, LIVES)
    assert narrow.high - narrow.value == pytest.approx(t.ppf(0.75, 3) * fit.stderr)
    assert narrow.level == 0.5


def test_blades_of_one_study_share_its_luck_so_that_studies_are_counted():
    """Lives of two heat treatments move together: as the line through the studies' means."""
    shared = [0.3, -0.3, 0.2, -0.2, 0.1, -0.1]
    found = [study(str(2010 + n), a=[5 + s + 0.02 * (-1) ** (n // 2)],
                   b=[5.2 + s - 0.02 * (-1) ** (n // 2)])
             for n, s in enumerate(shared)]  # fmt: skip
    told = drifts(found, "").medium
    fit = linregress(range(6), [5.1 + s for s in shared])
    assert told.value == pytest.approx(fit.slope)
    # The ratio of the variances is looked for in steps of a fifth.
    assert told.high - told.value == pytest.approx(t.ppf(0.975, 4) * fit.stderr, rel=0.1)
    assert told.method == "REML, t of studies"


def spaced(years, gap):
    return drifts([study(f"{2000 + n * gap:.0f}", K=[5.0 + 0.1 * n]) for n in range(years)], K)


def test_three_studies_tell_once_they_lie_far_enough_apart():
    """With a scatter of 0.2 in life t(1) 0.975 = 12.706 makes 1.8 of one year, 0.6 of three."""
    assert spaced(3, 2).together is None
    assert spaced(3, 3).together is not None
    assert spaced(2, 9).together is None


def test_studies_without_a_date_or_all_of_one_day_tell_nothing():
    undated = [study("", K=[5.0], a=[5.0]) for _ in range(5)]
    one_day = [study("2012", K=[5.0 + 0.1 * n], a=[5.0]) for n in range(5)]
    for found in (undated, one_day):
        told = drifts(found, K)
        assert told.medium is told.control is told.together is None


def test_a_control_against_one_fresh_blade_in_two_studies_is_not_told():
    few = [study("2000", K=[5.0], a=[5.0]), study("2010", K=[5.2], a=[5.0]), study("2020", K=[5.1])]
    assert drifts(few, K).control is None
    more = [*few, study("2030", K=[5.3], a=[5.1])]
    assert drifts(more, K).control is not None


SLOPE = Estimate(-0.0202027, -0.0408220, 0.00995033, "a year")
SAID = "-2 % (-4 to +1 %) a year"


@pytest.mark.parametrize(
    ("told", "control", "lines"),
    [
        (Drifts(SLOPE), "", [f"By fresh blades the medium changes lives by {SAID}."]),
        (
            Drifts(SLOPE, SLOPE, SLOPE),
            K,
            [f"By fresh blades the medium changes lives by {SAID}.",
             f"Control blade K changes by {SAID} against fresh blades."],
        ),
        (
            Drifts(None, None, SLOPE),
            K,
            ["Whether the medium changes over the years cannot be told: it takes a heat treatment "
             "in four studies or more, over two years or more.",
             f"Control blade K and the medium together change by {SAID}."],
        ),
    ],
)  # fmt: skip
def test_slopes_are_told_as_shares_a_year(told, control, lines):
    assert list(told.sentences(control)) == lines
    assert len(list(Drifts().sentences(""))) == 1
    assert list(Drifts().sentences(K))[1].startswith(f"Whether {K} changes over the years cannot")
