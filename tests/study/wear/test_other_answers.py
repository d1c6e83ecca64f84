"""Grades, card sums, other levels, crossing curves, plans: what the study room joins besides."""

import json
from dataclasses import replace

import numpy as np
import pytest

from edgetest.errors import ManyFaults, UnusableInput
from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from edgetest.study.wear.card_readings import card_sums_of
from edgetest.study.wear.grading import analyse_grades
from edgetest.study.wear.other_levels import AtLevel, crossing
from edgetest.study.wear.planning import PlanOptions, make_plan, save_plan, shop_history
from edgetest.study.wear.repeats import repeatability_of
from edgetest.wear.plan.run_order import open_key
from tests.wear.columns import compare_lives

STAGES = (0, 10, 25, 50, 100, 200)


def log_of(tmp_path, text, name="log.csv"):
    path = tmp_path / name
    path.write_text(text, encoding="utf-8")
    return path


def wedge_log(lives, fresh, limit=12.0, *, rng=None, cv=0.01):
    """A log of worn wedges: `lives` by (treatment, blade), `fresh` widths by treatment."""
    rng = rng or np.random.default_rng(3)
    lines = ["blade,heat_treatment,cuts,edge_width_um"]
    for (treatment, blade), life in lives.items():
        w0 = fresh[treatment]
        for cuts in STAGES:
            width = (w0**2 + (limit**2 - w0**2) * cuts / life) ** 0.5
            width *= np.exp(cv * rng.standard_normal())
            lines.append(f"{blade},{treatment},{cuts},{width:.4f}")
    return "\n".join(lines) + "\n"


def test_pass_and_fail_are_intervals_and_a_blade_that_still_passes_is_a_bound(tmp_path):
    text = "blade,heat_treatment,cuts,pass_fail\n"
    text += "A1,soft,50,pass\nA1,soft,75,fail\nA2,soft,75,pass\n"
    text += "B1,hard,100,pass\nB1,hard,150,fail\nB2,hard,200,pass\nB2,hard,300,fail\n"
    found = analyse_grades(open_source(log_of(tmp_path, text)), reading="pass_fail")
    ends = {life.blade: (life.low, life.high) for life in found.lives}
    assert ends == {
        "A1": (50, 75), "A2": (75, np.inf), "B1": (100, 150), "B2": (200, 300),
    }  # fmt: skip
    assert [group.group for group in found.fit.groups] == ["soft", "hard"]
    second, first, ratio = found.fit.ratios[0]
    assert (second, first) == ("hard", "soft")
    assert ratio.low < 2 < ratio.high


def test_grades_without_a_ladder_are_in_no_order(tmp_path):
    text = "blade,cuts,grade\nA1,0,shaves\nA1,50,tears paper\n"
    with pytest.raises(UnusableInput, match="grades on their own are in no order"):
        analyse_grades(open_source(log_of(tmp_path, text)), reading="grade")


def test_card_sums_are_the_first_three_and_all(tmp_path):
    cut = [20.0, 18.0, 16.5, 15.0, 14.2, 13.1]
    text = "blade,cuts,card_mm\n" + "".join(f"A,{i},{mm}\n" for i, mm in enumerate(cut, 1))
    sums = card_sums_of(analyse(open_source(log_of(tmp_path, text)), compare=False))
    assert sums["A"].icp_mm == pytest.approx(54.5)
    assert sums["A"].tcc_mm == pytest.approx(96.8)


def test_a_gap_among_the_cycles_has_no_sum(tmp_path):
    text = "blade,cuts,card_mm\nA,1,20\nA,2,18\nA,4,15\nA,5,14\nA,6,13\n"
    result = analyse(open_source(log_of(tmp_path, text)), compare=False)
    assert card_sums_of(result) == {}


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


def test_the_laws_of_the_reading_are_ranked_with_the_true_one_first(tmp_path):
    lives = {("soft", f"A{i}"): 100.0 for i in range(3)}
    lives |= {("hard", f"B{i}"): 160.0 for i in range(3)}
    path = log_of(tmp_path, wedge_log(lives, {"soft": 2.4, "hard": 2.4}, cv=0.002))
    result = analyse(open_source(path), AnalysisOptions(limit=12))
    assert result.laws[0].law.startswith("wedge")


def thick_study(tmp_path, thickness, angle=None):
    """A study whose hard blades last 1.5 times as long; thickness by blade, mm."""
    lives = {("soft", f"A{i}"): 100 * f for i, f in enumerate((0.95, 1.0, 1.06))}
    lives |= {("hard", f"B{i}"): 150 * f for i, f in enumerate((0.97, 1.0, 1.03))}
    blades = [
        {"id": b, "heat_treatment": t}
        | ({} if angle == "blank" else {"angle_per_side_deg": (angle or {}).get(b, 15)})
        | ({"thickness_behind_edge_mm": thickness[b]} if b in thickness else {})
        for t, b in lives
    ]
    study = new_study(
        tmp_path / "thick", "sisal_rope", "thick", blades=blades,
        heat_treatments=[{"id": "soft", "title": "low"}, {"id": "hard"}],
    )  # fmt: skip
    (study.folder / "log.csv").write_text(wedge_log(lives, {"soft": 2.4, "hard": 2.4}))
    return analyse(open_source(study.folder), AnalysisOptions(limit=12, also=(10.0,)))


def told(result, code):
    return [d.text for d in result.study_doubts if d.code == code]


def test_differing_thickness_behind_the_edge_is_said_with_the_answer(tmp_path):
    thick = {f"A{i}": 0.9 for i in range(3)} | {f"B{i}": 0.6 for i in range(3)}
    result = thick_study(tmp_path, thick)
    (text,) = told(result, "thickness_differs")
    assert "0.9 mm (low) and 0.6 mm (hard)" in text
    assert result.compared.thickness.factor.value == pytest.approx(1.5)
    assert result.to_dict()["thickness"]["left_over"] == pytest.approx(1.0, abs=0.1)
    assert text in result.words()


def test_alike_or_unknown_thickness_is_not_spoken_of(tmp_path):
    alike = thick_study(tmp_path / "1", {f"{g}{i}": 0.6 for g in "AB" for i in range(3)})
    assert not [d for d in alike.study_doubts if d.code.startswith("thickness")]
    unknown = thick_study(tmp_path / "2", {})
    assert unknown.compared.thickness is None
    assert not [d for d in unknown.study_doubts if d.code.startswith("thickness")]


def test_thickness_of_one_heat_treatment_alone_is_said(tmp_path):
    result = thick_study(tmp_path, {f"A{i}": 0.6 for i in range(3)})
    (text,) = told(result, "thickness_half_known")
    assert "any blade of hard" in text


def test_edge_angles_that_nobody_noted_are_unknown_and_it_is_said(tmp_path):
    result = thick_study(tmp_path, {}, angle="blank")
    assert result.compared.angles is None
    (text,) = told(result, "edge_angle_not_noted")
    assert "any blade of low and of hard" in text or "any blade of hard and of low" in text
    with pytest.raises(UnusableInput, match=r"blade A0: the worn area needs the edge angle"):
        analyse(open_source(tmp_path / "thick"), AnalysisOptions(reading="worn_area_um2", limit=12))


def test_differing_edge_angles_are_said_with_the_answer(tmp_path):
    result = thick_study(tmp_path, {}, angle={f"B{i}": 18 for i in range(3)})
    (text,) = told(result, "edge_angle_differs")
    assert "30.0° included (low) and 36.0° (hard)" in text
    factor = np.tan(np.radians(15)) / np.tan(np.radians(18))
    assert result.compared.angles.factor.value == pytest.approx(factor)


def levels_of(*ratios):
    found = []
    for ratio in ratios:
        lives = np.r_[[6.0, 6.02, 6.04], np.log(ratio) + np.array([6.0, 6.02, 6.04])]
        found.append(AtLevel(10.0, compare_lives(range(6), list("AAABBB"), lives), False))
    return found


def test_levels_tell_a_crossing_from_a_doubt_and_from_neither():
    assert crossing(levels_of(0.7, 1.4)) == "cross"
    assert crossing(levels_of(1.3, 1.4)) == ""
    assert crossing(levels_of(0.99, 1.01)) == ""
    beyond = [replace(level, extrapolated=True) for level in levels_of(0.7, 1.4)]
    assert crossing(beyond) == ""


@pytest.fixture
def empty_study(tmp_path):
    treatments = [{"id": "soft", "title": "soft"}, {"id": "hard", "title": "hard"}]
    blades = [
        {"id": f"{letter}{i}", "heat_treatment": name}
        for letter, name in (("A", "soft"), ("B", "hard"))
        for i in (1, 2, 3)
    ]
    return new_study(
        tmp_path / "mine", "sisal_rope", "mine", blades=blades, heat_treatments=treatments,
        control="C",
    )  # fmt: skip


def test_a_plan_shares_every_roll_between_the_treatments_and_can_be_made_again(empty_study):
    source = open_source(empty_study.folder)
    rolls = ("roll 1", "roll 2", "roll 3")
    made, key = make_plan(source, PlanOptions(blocks=rolls, seed=7))
    again, same_key = make_plan(source, PlanOptions(blocks=rolls, seed=7))
    assert made.runs == again.runs
    assert key == same_key
    for roll in rolls:
        names = [run.treatment for run in made.runs if run.block == roll]
        assert sorted(names) == ["control", "hard", "soft"]
    assert open_key(key, made.fingerprint) == made.codes
    assert made.sd_assumed
    assert "assumed" in made.summary()


def test_a_saved_plan_writes_order_key_and_empty_log_but_no_names_into_the_json(empty_study):
    source = open_source(empty_study.folder)
    made, key = make_plan(source, PlanOptions(blocks=("roll 1", "roll 2", "roll 3"), seed=7))
    save_plan(source, made, key)
    again = open_source(empty_study.folder)
    assert again.study.plan["order"] == [[run.block, run.blade] for run in made.runs]
    assert again.faults == ()
    assert len({(row.block, row.blade) for row in again.log.rows}) == len(made.runs)
    assert not set(made.codes.values()) & set(json.dumps(made.to_dict()).split('"'))


def test_a_plan_leaves_a_log_with_readings_alone(empty_study):
    text = "blade,cuts,station_mm,edge_width_um\nA1,0,20,2.5\n"
    (empty_study.folder / "log.csv").write_text(text)
    source = open_source(empty_study.folder)
    made, key = make_plan(source)
    save_plan(source, made, key)
    assert (empty_study.folder / "log.csv").read_text() == text


def test_earlier_studies_give_the_scatter(tmp_path):
    rng = np.random.default_rng(5)
    folders = []
    for number in range(3):
        lives = {
            (t, f"{t}{i}"): m * np.exp(0.12 * rng.standard_normal())
            for t, m in (("soft", 100), ("hard", 150))
            for i in range(4)
        }
        study = new_study(
            tmp_path / f"study{number}", "sisal_rope", "earlier",
            blades=[{"id": b, "heat_treatment": t} for t, b in lives],
            heat_treatments=[{"id": "soft"}, {"id": "hard"}],
        )  # fmt: skip
        (study.folder / "log.csv").write_text(
            wedge_log(lives, {"soft": 2.4, "hard": 2.4}, rng=rng, cv=0.003)
        )
        folders.append(study.folder)
    history = shop_history(folders)
    assert history.studies == 3
    # 18 degrees of freedom: the standard error of the SD is about a sixth of it.
    assert 0.08 < history.sd_log_life < 0.17


def test_repeated_readings_name_the_cell_that_is_no_number(tmp_path):
    path = log_of(tmp_path, "operator;edge_width_um\na;5,1\na;wide\nb;5,2\n", "repeats.csv")
    with pytest.raises(ManyFaults, match=r"repeats\.csv, row 3, edge_width_um"):
        repeatability_of(path)


def test_repeated_readings_by_two_people(tmp_path):
    text = "operator,edge_width_um\n" + "".join(
        f"{who},{value}\n" for who, values in (("a", (5.1, 5.2, 5.0)), ("b", (5.3, 5.4, 5.2)))
        for value in values
    )  # fmt: skip
    found = repeatability_of(log_of(tmp_path, text), relative=False).spread
    assert found.sd_repeat == pytest.approx(0.1, rel=1e-9)
    # Between: mean square of means 3 * 0.02 = 0.06 over within 0.01: (0.06 - 0.01) / 3.
    assert found.sd_between == pytest.approx((0.05 / 3) ** 0.5, rel=1e-9)


def test_a_reading_that_stands_apart_is_named_by_its_row(tmp_path):
    rng = np.random.default_rng(2)
    values = np.round(5 + 0.1 * rng.standard_normal(12), 3).tolist()
    values[4] = 7.5
    text = "operator,edge_width_um\n" + "".join(f"a,{value}\n" for value in values)
    found = repeatability_of(log_of(tmp_path, text), relative=False)
    assert found.standing_apart == ((6, 7.5),)
    assert "Row 6 reads 7.5" in found.summary()
    assert found.spread.readings == 12  # named, not dropped
