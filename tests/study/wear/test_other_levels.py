"""The ratio at other levels, and curves that cross."""

from dataclasses import replace

import numpy as np
import pytest

from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from edgetest.study.wear.other_levels import AtLevel, Carried, crossing, where_curves_cross
from tests.study.wear.logs_of_wedges import log_of, wedge_log
from tests.wear.columns import compare_lives


def test_the_ratio_at_other_levels_stands_beside_the_answer(tmp_path):
    lives = {("soft", f"A{i}"): 100 * f for i, f in enumerate((0.95, 1.0, 1.06))}
    lives |= {("hard", f"B{i}"): 160 * f for i, f in enumerate((0.97, 1.0, 1.03))}
    path = log_of(tmp_path, wedge_log(lives, {"soft": 2.4, "hard": 2.4}))
    result = analyse(open_source(path), AnalysisOptions(limit=12, also=(8.0, 10.0)))
    assert [each.level_value for each in result.compared.levels] == [8.0, 10.0]
    for each in result.compared.levels:
        assert each.comparison.ratio.low < 1.6 < each.comparison.ratio.high
    assert not [d for d in result.study_doubts if d.code.startswith("curves")]


def test_crossing_curves_are_said_instead_of_one_ratio(tmp_path):
    # The soft ones start keen and wear fast, the hard ones start blunt and wear slowly.
    lives = {("keen", f"A{i}"): 100 * f for i, f in enumerate((0.98, 1.0, 1.02))}
    lives |= {("blunt", f"B{i}"): 190 * f for i, f in enumerate((0.98, 1.0, 1.02))}
    text = wedge_log(lives, {"keen": 1.5, "blunt": 7.0})
    options = AnalysisOptions(limit=11.5, also=(7.6,))
    result = analyse(open_source(log_of(tmp_path, text)), options)
    assert result.comparison.ratio.low > 1
    assert result.compared.levels[0].comparison.ratio.high < 1
    assert "curves_cross" in [one.code for one in result.study_doubts]


def levels_of(*ratios):
    found = []
    for ratio in ratios:
        lives = np.r_[[6.0, 6.02, 6.04], np.log(ratio) + np.array([6.0, 6.02, 6.04])]
        found.append(AtLevel(10.0, compare_lives(range(6), list("AAABBB"), lives), Carried(6)))
    return found


def test_levels_tell_a_crossing_from_a_doubt_and_from_neither():
    assert crossing(levels_of(0.7, 1.4)) == "cross"
    assert crossing(levels_of(1.3, 1.4)) == ""
    assert crossing(levels_of(0.99, 1.01)) == ""
    beyond = [replace(level, carried=Carried(6, 6)) for level in levels_of(0.7, 1.4)]
    assert crossing(beyond) == ""


def test_levels_lie_within_the_readings_and_one_fit_serves_them(tmp_path):
    lives = {("soft", f"A{i}"): 100 * f for i, f in enumerate((0.95, 1.0, 1.06))}
    lives |= {("hard", f"B{i}"): 160 * f for i, f in enumerate((0.97, 1.0, 1.03))}
    source = open_source(log_of(tmp_path, wedge_log(lives, {"soft": 2.4, "hard": 2.4})))
    result = analyse(source, AnalysisOptions(limit=12))
    values = [each.level_value for each in result.compared.levels]
    assert len(values) >= 4
    assert min(values) > 2.4
    top = max(curve.predict(curve.cuts.max()).value[0] for curve in result.fit.blades)
    assert max(values) <= top
    again = analyse(source, AnalysisOptions(limit=values[1]))
    there = result.compared.levels[1].comparison.ratio
    assert abs(np.log(there.estimate / again.ratio.estimate)) < 1e-9


def test_levels_beyond_reach_are_named_and_have_no_ratio(tmp_path):
    lives = {("soft", f"A{i}"): 100 * f for i, f in enumerate((0.95, 1.0, 1.06))}
    lives |= {("hard", f"B{i}"): 160 * f for i, f in enumerate((0.97, 1.0, 1.03))}
    path = log_of(tmp_path, wedge_log(lives, {"soft": 2.4, "hard": 2.4}))
    result = analyse(open_source(path), AnalysisOptions(limit=12, also=(8.0, 375.0)))
    assert [each.level_value for each in result.compared.levels] == [8.0]
    assert "; to 375" not in result.words()
    assert any("Not compared to 375:" in one.text for one in result.doubts)
    beyond = analyse(open_source(path), AnalysisOptions(limit=12, also=(375.0,))).compared.levels
    usual = analyse(open_source(path), AnalysisOptions(limit=12)).compared.levels
    assert [each.level_value for each in beyond] == [each.level_value for each in usual]
    assert len(usual) > 3


def test_a_level_that_most_blades_of_one_side_never_came_near_has_no_ratio(tmp_path):
    lives = {("soft", f"A{i}"): 100 * f for i, f in enumerate((0.95, 1.0, 1.06))}
    lives |= {("hard", f"B{i}"): 400 * f for i, f in enumerate((0.3, 1.0, 1.03))}
    path = log_of(tmp_path, wedge_log(lives, {"soft": 2.4, "hard": 2.4}))
    result = analyse(open_source(path), AnalysisOptions(limit=8, also=(6.0, 13.0)))
    at = result.fit.to_limit(13.0)
    assert sorted(each.blade for each in at.blades if each.life.beyond_reach) == ["B1", "B2"]
    assert [each.level_value for each in result.compared.levels] == [6.0]
    assert any("Not compared to 13:" in one.text for one in result.doubts)


def test_the_level_at_which_curves_cross():
    low, high = levels_of(0.8, 1.25)
    found = where_curves_cross([replace(high, level_value=12.0), replace(low, level_value=3.0)])
    assert found[0] == pytest.approx(6)
    assert found[1:] == (3.0, 12.0)
    assert where_curves_cross(levels_of(1.2, 1.3)) is None


def test_ratios_by_the_limit_of_one_blade_each_name_the_blades(tmp_path):
    lives = {("soft", "A0"): 100, ("hard", "B0"): 160}
    path = log_of(tmp_path, wedge_log(lives, {"soft": 2.4, "hard": 2.4}))
    said = analyse(open_source(path), AnalysisOptions(limit=12, also=(8.0,))).level_words()
    assert said.says.startswith("How many times as long B0 lasts as A0, by the edge width")


def test_ratios_by_the_limit_name_what_lasts_longer_than_what(tmp_path):
    lives = {("hard", f"B{i}"): 160 * f for i, f in enumerate((0.97, 1.0, 1.03))}
    lives |= {("soft", f"A{i}"): 100 * f for i, f in enumerate((0.95, 1.0, 1.06))}
    source = open_source(log_of(tmp_path, wedge_log(lives, {"soft": 2.4, "hard": 2.4})))
    result = analyse(source, AnalysisOptions(limit=12, also=(8.0, 10.0)))
    assert result.comparison.second == "soft"
    said = result.level_words()
    start = "How many times as long hard lasts as soft, by the edge width that ends a life, in µm: "
    assert said.summary().startswith(f"{start}8: 1.")
    assert said.summary() in result.words()
    assert all(level.comparison.ratio.high < 1 for level in result.compared.levels)


def test_lives_that_no_stage_reached_are_counted_at_every_limit(tmp_path):
    """B2 lasts 3 times as long as the rest: its life to 13 is a bound while the others are cut."""
    lives = {("soft", f"A{i}"): 100 * f for i, f in enumerate((0.95, 1.0, 1.06))}
    lives |= {("hard", f"B{i}"): 160 * f for i, f in enumerate((0.97, 1.0, 3.0))}
    path = log_of(tmp_path, wedge_log(lives, {"soft": 2.4, "hard": 2.4}))
    result = analyse(open_source(path), AnalysisOptions(limit=8, also=(6.0, 13.0)))
    near, far = (each.to_dict() for each in result.compared.levels)
    assert (near["lives"], near["beyond_last_stage"], near["least_lives"]) == (6, 0, 0)
    at = [each.life for each in result.fit.to_limit(13.0).blades]
    bounds = sum(life.beyond_reach for life in at)
    by_law = sum(life.extrapolated and not life.beyond_reach for life in at)
    assert (far["beyond_last_stage"], far["least_lives"]) == (by_law, bounds)
    assert bounds > 0
    assert f"{bounds} known only to be longer" in result.words()
