"""Lives beside the known blade as trials: the bound, the interval and the verdict at each limit."""

from math import exp, inf, log
from types import SimpleNamespace

import pytest
from scipy.stats import norm, t

from edgetest.study.steel import steel_lives as module
from edgetest.study.steel.blade_heats import Home
from edgetest.study.steel.steel_lives import (
    LifeRatio,
    analysed_lives,
    life_against_reference,
    life_ratios,
)
from edgetest.wear.compare.comparison_result import Ratio

LEAF = Home("leaf", None, True)


def ratio(estimate, low, high, *, df=None, level=0.95):
    return Ratio(estimate, low, high, level, "pooled t", df)


def fact(run, blade):
    return SimpleNamespace(run=run, blade=blade, block="")


@pytest.fixture
def weighed(monkeypatch):
    """The one life ratio of a study whose comparison came out as given."""
    monkeypatch.setattr(module, "reference_blades", lambda _: ("R",))
    monkeypatch.setattr(
        module, "fitted_lives",
        lambda lives, **columns: SimpleNamespace(blade=columns["blade"], **{"told": columns}),
    )  # fmt: skip
    asked = {}

    def of(found, *, control=None, where=None, runs=("R", "A"), scope="heat_treatments"):
        groups = [SimpleNamespace(treatment="reference", blades=("R",)),
                  SimpleNamespace(treatment="steel", blades=("A", "B"))]  # fmt: skip
        comparison = SimpleNamespace(ratio=found, groups=groups, scope=scope)

        def compare(lives, options):
            asked.update(lives=lives, options=options)
            return comparison

        monkeypatch.setattr(module, "compare_lives", compare)
        fits = [SimpleNamespace(blade=run, life=object()) for run in runs]
        study = SimpleNamespace(control=control)
        result = SimpleNamespace(study=study, readings=[fact(run, run[0]) for run in runs],
                                 fit=SimpleNamespace(blades=fits))  # fmt: skip
        return life_ratios(result, where or {"A": LEAF}), asked

    return of


@pytest.mark.parametrize(
    ("found", "result"),
    [
        # The interval of two standard uncertainties wholly below 0.8, above 1.25, or short of both.
        (ratio(0.5, 0.5 / 1.2, 0.5 * 1.2), "worse"),
        (ratio(0.7, 0.7 / 1.2, 0.7 * 1.2), None),
        (ratio(2.0, 2.0 / 1.2, 2.0 * 1.2), "better"),
        (ratio(1.4, 1.4 / 1.2, 1.4 * 1.2), "same"),
        (ratio(1.0, 1 / 1.2, 1.2), "same"),
        (ratio(0.9, 0.9 / 1.2, 0.9 * 1.2), None),
    ],
)
def test_a_ratio_says_better_worse_or_same_where_its_interval_does(weighed, found, result):
    ((one,), _) = weighed(found)
    assert one.trial.result == result
    assert (one.trial.piece, one.trial.trial, one.trial.heat) == ("leaf", "rope", ("A", 1))
    assert one.trial.carburised
    assert one.trial.life_ratio == found.estimate
    assert one.trial.life_ratio_log_u == pytest.approx(log(1.2) / norm.ppf(0.975))
    assert one.code is None


@pytest.mark.parametrize(
    ("df", "level", "reach"),
    [(3.0, 0.95, t.ppf(0.975, 3)), (inf, 0.9, norm.ppf(0.95)), (None, 0.8, norm.ppf(0.9))],
)
def test_an_interval_is_as_many_uncertainties_wide_as_student_says(weighed, df, level, reach):
    ((one,), _) = weighed(ratio(1.0, 0.5, 2.0, df=df, level=level))
    assert one.trial.life_ratio_log_u == pytest.approx(log(2.0) / reach)


@pytest.mark.parametrize(
    ("low", "told"), [(1.0, "same"), (0.99, None), (1.25, "same"), (1.26, "better")]
)
def test_a_life_without_an_end_counts_from_the_reference_s_own_on(weighed, low, told):
    ((one,), _) = weighed(ratio(inf, low, inf))
    assert one.code == "life_at_least"
    assert (one.trial is not None) == (low >= 1)
    if one.trial:
        assert (one.trial.life_ratio, one.trial.life_ratio_log_u) == (low, None)
        assert one.trial.result == told
    assert one.doubt.where.blade == "A, B"
    assert life_against_reference(one) == f"A and B lasted at least {low:.2f} times as long as R."


def test_a_reference_that_was_stopped_tells_nothing(weighed):
    ((one,), _) = weighed(ratio(1.0, 0.0, 2.0))
    assert (one.code, one.trial) == ("reference_stopped", None)
    assert one.doubt.where.blade == "R"
    assert life_against_reference(one) == "R was stopped too early to say how A and B compares."
    assert one.to_dict()["weighed"] is False


@pytest.mark.parametrize(
    ("scope", "tail"), [("heat_treatments", "R."), ("blades", "R, reading uncertainty alone.")]
)
def test_a_ratio_is_read_out_with_what_its_interval_holds(weighed, scope, tail):
    ((one,), _) = weighed(ratio(1.5, 1.2, 1.9), scope=scope)
    assert (
        life_against_reference(one) == f"A and B lasted 1.50 (1.20 to 1.90) times as long as {tail}"
    )
    assert one.to_dict()["weighed"] is True


def test_each_piece_and_heat_treatment_is_one_ratio(weighed):
    other = Home("coil")
    found, asked = weighed(ratio(1.0, 0.8, 1.2), where={"A": LEAF, "B": other, "D": LEAF},
                           runs=("R", "A", "B", "D"))  # fmt: skip
    assert [one.where for one in found] == [LEAF, other]
    assert asked["lives"].blade == ["R", "B"]
    assert asked["lives"].told["treatment"] == ["reference", "steel"]
    assert asked["options"].reference == "reference"


def test_a_control_of_its_own_takes_part_as_control(weighed):
    _, asked = weighed(ratio(1.0, 0.8, 1.2), control="K", runs=("R", "A", "K"))
    assert asked["lives"].blade == ["R", "A", "K"]
    assert asked["options"].control == "K"
    _, asked = weighed(ratio(1.0, 0.8, 1.2), control="R", runs=("R", "A"))
    assert asked["options"].control is None
    _, asked = weighed(ratio(1.0, 0.8, 1.2), control="K", runs=("R", "A"))
    assert asked["options"].control is None


def test_without_a_life_of_the_reference_there_is_no_ratio(weighed):
    assert weighed(ratio(1.0, 0.8, 1.2), runs=("A",))[0] == ()
    assert weighed(ratio(1.0, 0.8, 1.2), runs=("R",))[0] == ()
    assert life_ratios(SimpleNamespace(study=None), {}) == ()


def test_a_log_without_a_reading_or_of_grades_says_why_there_are_no_lives(monkeypatch):
    waiting, read = SimpleNamespace(waiting=True), SimpleNamespace(waiting=False)
    monkeypatch.setattr(module, "reading_of", lambda _: "grade")
    monkeypatch.setattr(module, "gives_lives", lambda *_: True)
    monkeypatch.setattr(module, "analyse", lambda *_, **__: "curves")

    def source(*rows):
        return SimpleNamespace(log=SimpleNamespace(rows=rows))

    assert analysed_lives(source(waiting)) == (None, "no_life_yet")
    assert analysed_lives(source(waiting, read)) == (None, "lives_by_grade")
    monkeypatch.setattr(module, "gives_lives", lambda *_: False)
    assert analysed_lives(source(read)) == ("curves", None)


def test_a_trial_is_plain_for_json(weighed):
    ((one,), _) = weighed(ratio(1.0, 0.8, 1.2))
    told = one.to_dict()
    assert (told["piece"], told["blades"], told["reference_blades"]) == ("leaf", ["A", "B"], ["R"])
    assert isinstance(one, LifeRatio)
    assert exp(0) == told["ratio"]["estimate"]
