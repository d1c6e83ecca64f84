"""Less weight for outlying readings that changes no life says so; one that does is silent."""

from dataclasses import replace
from types import SimpleNamespace

import pytest

from edgetest.doubts import Where, doubt
from edgetest.study.wear.robust_told import MEND, fit_told_of_robust
from edgetest.wear.curve.blade_life import Life
from edgetest.wear.curve.curve_result import CurveFit, StudyFit
from edgetest.wear.curve.study_curves import FitOptions


def fit_of(*lives):
    blades = tuple(
        CurveFit(f"B{i}", "wedge", {}, cuts and Life(
            cuts, cuts / 2, cuts * 2, False, False, 9.0, 5.0, 0.1, 9.0
        ), 0.1, (), [0.0], [1.0], ["20"], [0.0])
        for i, cuts in enumerate(lives)
    )  # fmt: skip
    return StudyFit("wedge", None, blades, (doubt("stages_scatter"),))


def told(fit, plain, *, robust=True):
    asked = []
    fits = SimpleNamespace(of=lambda _, how: asked.append(how.robust) or plain)
    found = fit_told_of_robust(fit, None, FitOptions(limit=9.0, robust=robust), fits)
    assert asked in ([], [False])
    return [one.code for one in found.doubts], [one.study_doubts for one in found.blades]


def test_lives_that_are_printed_alike_are_told_with_the_study_and_each_blade():
    codes, of_blades = told(fit_of(300.0, 200.0), fit_of(300.001, 200.0))
    assert codes == ["stages_scatter", "robust_changed_nothing"]
    assert all(one.code == "robust_changed_nothing" for (one,) in of_blades)


@pytest.mark.parametrize("named", [False, True])
def test_readings_are_to_be_mended_only_where_some_are_named(named):
    fit = fit_of(300.0, 200.0)
    odd = doubt("outlying_reading", where=Where("log.csv", 4), met=1, cuts=2, expected=3)
    first = replace(fit.blades[0], doubts=(odd,) * named)
    fit = replace(fit, blades=(first, *fit.blades[1:]))
    fits = SimpleNamespace(of=lambda *_: fit)
    found = fit_told_of_robust(fit, None, FitOptions(limit=9.0, robust=True), fits)
    assert found.doubts[-1].text.endswith(MEND) == named


@pytest.mark.parametrize(
    ("lives", "plain", "robust"),
    [((300.0,), (400.0,), True), ((300.0,), (300.0,), False), ((None,), (None,), True)],
    ids=["changed", "not asked for", "no life"],
)
def test_otherwise_nothing_is_told(lives, plain, robust):
    assert told(fit_of(*lives), fit_of(*plain), robust=robust)[0] == ["stages_scatter"]
