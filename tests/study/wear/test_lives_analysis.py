"""Grades, pass and fail, and noted lives: one path to lives and the comparison."""

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions
from edgetest.study.wear.wear_answer import comparison_of, curves_of
from tests.study.wear.logs_of_wedges import log_of
from tests.wear.columns import codes


def answer(tmp_path, text, **options):
    return comparison_of(open_source(log_of(tmp_path, text)), AnalysisOptions(**options))


def checked(lives, step=50, heading="blade,heat_treatment,block,cuts,pass_fail\n"):
    """Rows of checks every `step` cuts of (blade, heat treatment, block) with their lives."""
    rows = [
        f"{blade},{treatment},{block},{cuts},{'pass' if cuts < life else 'fail'}"
        for (blade, treatment, block), life in lives.items()
        for cuts in range(0, int(life) + 2 * step, step)
    ]
    return heading + "\n".join(rows)


def noted(lives, heading="blade,heat_treatment,life"):
    return "\n".join([heading, *lives])


FOUR = {
    ("A1", "soft", ""): 120, ("A2", "soft", ""): 160,
    ("B1", "hard", ""): 220, ("B2", "hard", ""): 310,
}  # fmt: skip


def test_a_blade_that_failed_and_passed_again_is_not_said_to_be_cut_on(tmp_path):
    text = "blade,heat_treatment,cuts,pass_fail\n"
    text += "A1,soft,50,pass\nA1,soft,75,fail\nA2,soft,75,pass\nA2,soft,100,fail\n"
    text += "B1,hard,100,pass\nB1,hard,150,fail\nB1,hard,200,pass\nB2,hard,200,pass\n"
    found = answer(tmp_path, text)
    cut_on = {one.where.blade for one in found.doubts if "ut it further" in one.text}
    assert cut_on == {"B2"}
    told = [one for one in found.doubts if one.code == "grade_came_back"]
    assert [one.where.blade for one in told] == ["B1"]
    assert "failed at 150 and passed again at 200" in told[0].text


def test_pass_and_fail_are_intervals_and_a_blade_that_still_passes_is_a_bound(tmp_path):
    text = "blade,heat_treatment,cuts,pass_fail\n"
    text += "A1,soft,50,pass\nA1,soft,75,fail\nA2,soft,75,pass\n"
    text += "B1,hard,100,pass\nB1,hard,150,fail\nB2,hard,200,pass\nB2,hard,300,fail\n"
    found = answer(tmp_path, text)
    ends = {life.blade: (life.low, life.high) for life in found.fit.blades}
    assert ends == {
        "A1": (50, 75), "A2": (75, np.inf), "B1": (100, 150), "B2": (200, 300),
    }  # fmt: skip
    assert (found.comparison.first, found.comparison.second) == ("soft", "hard")
    assert found.ratio.low < 2 < found.ratio.high


def test_options_of_a_comparison_are_honoured(tmp_path):
    text = checked(FOUR)
    usual = answer(tmp_path, text)
    turned = answer(tmp_path, text, reference="hard", level=0.9, margin=0.3)
    assert (turned.comparison.first, turned.comparison.second) == ("hard", "soft")
    assert turned.comparison.practical.margin == 0.3
    assert turned.ratio.level == 0.9
    assert np.log(turned.ratio.high / turned.ratio.low) < np.log(usual.ratio.high / usual.ratio.low)


def test_a_control_without_a_heat_treatment_leaves_the_answer(tmp_path):
    rolls = ("roll 1", "roll 2")
    lives = {(b, t, roll): life for (b, t, _), life in FOUR.items() for roll in rolls}
    lives |= {("C", "", roll): 150 for roll in rolls}
    found = answer(tmp_path, checked(lives), control="C")
    assert {group.treatment for group in found.comparison.groups} == {"soft", "hard"}
    assert "no_comparison" not in codes(found)


def test_a_blade_on_three_rolls_is_three_runs_and_counts_once(tmp_path):
    lives = {
        ("A", "soft", "roll 1"): 90, ("A", "soft", "roll 2"): 110, ("A", "soft", "roll 3"): 190,
        ("B", "hard", "roll 1"): 240, ("B", "hard", "roll 2"): 260, ("B", "hard", "roll 3"): 310,
    }  # fmt: skip
    found = answer(tmp_path, checked(lives))
    runs = [(life.blade, life.low, life.high) for life in found.fit.blades[:3]]
    assert runs == [("A · roll 1", 50, 100), ("A · roll 2", 100, 150), ("A · roll 3", 150, 200)]
    assert found.comparison.scope == "blades"
    assert "runs_averaged" in codes(found)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (
            checked({("A1", "soft", ""): 60, ("B1", "hard", ""): 110}, step=50),
            "A1 50 to 100 cuts and B1 100 to 150 cuts",
        ),
        (noted(["A1,soft,340", "B1,hard,510"]), "A1 340 cuts and B1 510 cuts"),
        (noted(["A1,soft,<340", "B1,hard,>510"]), "A1 under 340 cuts and B1 over 510 cuts"),
    ],
)
def test_from_one_blade_each_nothing_is_claimed(tmp_path, text, told):
    found = answer(tmp_path, text)
    assert found.comparison.scope == "blades"
    assert found.comparison.practical.verdict == "cannot_tell"
    assert found.comparison.probability_longer is None
    assert (found.ratio.low, found.ratio.high) == (0, np.inf)
    assert told in found.summary()
    assert "about these blades, not about the heat treatments soft and hard" in found.words()


@pytest.mark.parametrize(
    ("persons", "told"), [(("me", "me", "Jon", "Jon"), 1), (("me", "Jon") * 2, 0)]
)
def test_a_person_for_each_heat_treatment_decides_what_noted_lives_tell_too(
    tmp_path, persons, told
):
    rows = ("A1,soft,120", "A2,soft,160", "B1,hard,220", "B2,hard,310")
    lives = (f"{row},{who}" for row, who in zip(rows, persons, strict=True))
    found = answer(tmp_path, noted(lives, "blade,heat_treatment,life,operator"))
    hands = [one.text for one in found.doubts if one.code == "treatment_of_one_hand"]
    assert len(hands) == told
    assert all(text in found.headline.summary() for text in hands)


def test_noted_lives_go_the_same_way(tmp_path):
    lives = ["A1,soft,340", "A2,soft,>300", "A3,soft,310", "B1,hard,510-550", "B2,hard,480"]
    found = answer(tmp_path, noted([*lives, "B3,hard,560"]))
    assert found.comparison.second == "hard"
    assert found.comparison.practical.verdict == "longer"
    assert found.words().splitlines()[2:5] == [
        "A1: 340 cuts", "A2: over 300 cuts", "A3: 310 cuts",
    ]  # fmt: skip
    again = answer(tmp_path, noted(["A1,soft,340", "A1,soft,320"]))
    assert [life.blade for life in again.fit.blades] == ["A1", "A1 (2)"]


def test_lives_that_are_all_alike_show_no_scatter(tmp_path):
    found = answer(tmp_path, noted(["A1,soft,300", "A2,soft,300", "B1,hard,200", "B2,hard,200"]))
    assert found.summary().startswith("No ratio can be given: soft and hard leave no scatter")
    assert found.comparison.practical.verdict == "cannot_tell"


def test_lives_of_one_factor_in_every_block_give_no_ratio_and_no_blade_stands_out(tmp_path):
    """Every blade of B lasts 1.2 times as long as that of A on its roll, to the last digit."""
    lives = {1: 100, 2: 110, 3: 90, 4: 105}
    rows = [f"{treatment}{roll},{treatment},r{roll},{life * times:g}"
            for roll, life in lives.items()
            for treatment, times in (("A", 1), ("B", 1.2))]  # fmt: skip
    heading = "blade,heat_treatment,block,life"
    found = answer(tmp_path, noted(rows, heading))
    codes = [one.code for one in found.doubts]
    assert found.comparison.practical.verdict == "cannot_tell"
    assert "no_scatter" in codes
    assert "blade_stands_out" not in codes
    assert "all alike" not in found.summary()  # they last from 90 to 132 cuts
    odd = answer(tmp_path, noted([*rows[:-1], "B4,B,r4,300"], heading))
    (pair,) = [one for one in odd.doubts if one.code == "pair_stands_out"]
    assert {pair.where.blade, pair.where.other} == {"A4", "B4"}  # the log tells no more
    assert " on r4 differ otherwise " in pair.text


def test_a_heat_treatment_that_was_never_dull_has_no_ratio_but_a_bound(tmp_path):
    lives = ["A1,soft,>600", "A2,soft,>700", "A3,soft,>650"]
    found = answer(tmp_path, noted([*lives, "B1,hard,210", "B2,hard,230", "B3,hard,250"]))
    ratio = found.comparison_to_dict()["ratio"]
    assert (ratio["estimate"], ratio["low"]) == (None, 0)
    assert ratio["high"] < 0.5
    assert found.comparison.practical.verdict == "shorter"
    assert found.summary().startswith("Soft lasts at least ")


def test_lives_without_heat_treatments_are_blades(tmp_path):
    found = answer(tmp_path, "blade,life\nA,340\nB,300\n")
    assert [group.treatment for group in found.comparison.groups] == ["A", "B"]


def test_blades_of_which_nothing_is_known_are_told(tmp_path):
    text = "blade,heat_treatment,cuts,pass_fail\nA1,soft,0,fail\nB1,hard,0,fail\n"
    found = answer(tmp_path, text)
    assert found.comparison is None
    assert found.summary() == "Nothing to compare: no blade has a life; see what is said of each."
    assert "never_had_grade" in codes(found)


@pytest.mark.parametrize("given", [{"limit": "12"}, {"power": 2.0}, {"robust": True},
                                   {"also": (8.0,)}])  # fmt: skip
def test_options_of_curves_are_refused_where_there_are_none(tmp_path, given):
    with pytest.raises(UnusableInput, match=f"^{next(iter(given))} .* no"):
        answer(tmp_path, noted(["A1,soft,340", "B1,hard,510"]), **given)


def test_grades_without_a_ladder_are_in_no_order(tmp_path):
    text = "blade,cuts,grade\nA1,0,shaves\nA1,50,tears paper\n"
    with pytest.raises(UnusableInput, match="grades on their own are in no order"):
        answer(tmp_path, text, reading="grade")


GRADES = """blade,cuts,grade
A1,0,shaves
A1,25,slices copy paper
A1,50,tears copy paper
B1,0,shaves
B1,50,slices copy paper
B1,100,tears copy paper
"""


def study(folder, limit=None):
    """A study of grades, with the limit that its study.toml names."""
    made = new_study(
        folder, "sisal_rope", "Two tempers",
        heat_treatments=[{"id": "low"}, {"id": "high"}],
        blades=[{"id": "A1", "heat_treatment": "low"}, {"id": "B1", "heat_treatment": "high"}],
    )  # fmt: skip
    file = made.folder / "study.toml"
    keys = 'reading = "grade"\n' + (f'limit = "{limit}"\n' if limit else "")
    file.write_text(keys + file.read_text(encoding="utf-8"), encoding="utf-8")
    (made.folder / "log.csv").write_text(GRADES, encoding="utf-8")
    return open_source(made.folder)


def test_a_grade_is_asked_for_where_nothing_says_it(tmp_path):
    with pytest.raises(UnusableInput, match=r"nothing says which grade.*one of \"shaves\", "):
        comparison_of(study(tmp_path / "s"))


def test_the_grade_that_the_study_names_is_taken_and_told(tmp_path):
    found = comparison_of(study(tmp_path / "s", limit="slices copy paper"))
    assert [(life.low, life.high) for life in found.fit.blades] == [(25, 50), (50, 100)]
    (told,) = [one for one in found.doubts if one.code == "grade_taken"]
    assert '"slices copy paper", because the study\'s limit says so' in told.text
    asked = comparison_of(study(tmp_path / "t", limit="slices copy paper"),
                          AnalysisOptions(limit="shaves"))  # fmt: skip
    assert "grade_taken" not in codes(asked)
    assert [life.high for life in asked.fit.blades] == [25, 50]


def test_noted_lives_of_a_study_need_no_limit(tmp_path):
    source = study(tmp_path / "s")
    (source.path / "log.csv").write_text("blade,life\nA1,340\nB1,>500\n", encoding="utf-8")
    found = comparison_of(open_source(source.path))
    assert found.reading == "life"
    assert found.comparison.scope == "blades"


def test_medians_and_scatter_stand_beside_the_lives(tmp_path):
    found = curves_of(open_source(log_of(tmp_path, noted(
        ["A1,soft,340", "A2,soft,300", "B1,hard,510", "B2,hard,480"]
    ))))  # fmt: skip
    assert found.comparison is None
    assert [group.group for group in found.fit.together.groups] == ["soft", "hard"]
    assert "soft: half of the blades last 319" in found.curve_words()
    assert "SD of log life between blades: 0.0" in found.curve_words()
