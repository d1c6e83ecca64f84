"""Lives of blades against the reference as trials of their steel."""

from math import exp

import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.study.steel.evidence_edit import add_row, name_blades
from edgetest.study.steel.judge_steel import judge_steel
from tests.study.steel.found_steel import PIECE, make_study

TWO_PIECES = PIECE + PIECE.replace('"leaf"', '"other leaf"')
OF_LEAF, OF_OTHER = 'piece = "leaf"', 'piece = "other leaf"'


def test_each_piece_has_its_own_life_and_its_own_verdict(tmp_path):
    folder = make_study(
        tmp_path / "s", {"R": 200, "A": 260, "B": 60}, head='reference = "R"',
        blades={"A": OF_LEAF, "B": OF_OTHER}, evidence=TWO_PIECES,
    )  # fmt: skip
    result = judge_steel(folder)
    trials = {trial.piece: trial for trial in result.seen.trials}
    assert trials["leaf"].life_ratio == pytest.approx(1.3, rel=0.1)
    assert trials["other leaf"].result == "worse"
    assert [each.piece for each in result.others] == ["other leaf"]
    asked = judge_steel(folder, piece="other leaf")
    assert asked.asked.piece == "other leaf"
    assert asked.asked.belief.chance_fit < result.asked.belief.chance_fit
    with pytest.raises(UnusableInput, match='piece "spring" is not in the evidence'):
        judge_steel(folder, piece="spring")


def test_blades_as_replicates_are_one_trial(tmp_path):
    known = 'heat_treatment = "known"'
    folder = make_study(
        tmp_path / "s", {"R1": 190, "R2": 210, "A1": 240, "A2": 270},
        head='reference = "R1"', evidence='[[heat_treatments]]\nid = "known"\n' + PIECE,
        blades={"R1": known, "R2": known, "A1": OF_LEAF, "A2": OF_LEAF},
    )  # fmt: skip
    result = judge_steel(folder)
    (ratio,) = result.lives
    assert ratio.comparison.scope == "heat_treatments"
    assert ratio.references == ("R1", "R2")
    (trial,) = result.seen.trials
    low = trial.life_ratio * exp(-2 * trial.life_ratio_log_u)
    assert low < 255 / 200 < trial.life_ratio * exp(2 * trial.life_ratio_log_u)


def test_a_trial_typed_and_in_the_log_is_one(tmp_path):
    folder = make_study(
        tmp_path / "s", {"R": 200, "A": 260}, head='reference = "R"', blades={"A": OF_LEAF},
        evidence=PIECE,
    )  # fmt: skip
    add_row(folder, "trials", {"test": "rope", "blade": "A", "edge": "rolled"})
    (trial,) = judge_steel(folder).seen.trials
    assert trial.edge == "rolled"
    assert trial.life_ratio == pytest.approx(1.3, rel=0.1)


def test_a_blade_without_its_piece_is_asked_for(tmp_path):
    folder = make_study(
        tmp_path / "s", {"R": 200, "A": 260}, head='reference = "R"', evidence=TWO_PIECES
    )
    doubts = {one.code: one for one in judge_steel(folder).doubts}
    assert "forged from: A." in doubts["blade_without_piece"].text
    assert doubts["blade_without_piece"].where.blade == "A"
    assert judge_steel(folder).lives == ()
    name_blades(folder, {"A": "leaf"}, "R")
    assert judge_steel(folder).lives[0].where.piece == "leaf"


def test_without_a_reference_there_is_no_life(tmp_path):
    folder = make_study(tmp_path / "s", {"A": 260}, evidence=PIECE)
    result = judge_steel(folder)
    assert result.lives == ()
    assert "no_reference" in codes(result.doubts)


@pytest.mark.parametrize(
    ("lives", "last", "code", "weighed"),
    [
        ({"R": 110, "A": 1e9}, 100, "life_at_least", False),  # stopped before the known blade's end
        ({"R": 20, "A": 1e9}, 100, "life_at_least", True),  # it outlived the known blade
        ({"R": 1e9, "A": 200}, 100, "reference_stopped", False),
    ],
)
def test_a_life_without_an_end_counts_as_the_least_it_can_be(tmp_path, lives, last, code, weighed):
    folder = make_study(
        tmp_path / "s", lives, head='reference = "R"', blades={"A": OF_LEAF}, evidence=PIECE,
        last={"R": 100, "A": last},
    )  # fmt: skip
    result = judge_steel(folder)
    (ratio,) = result.lives
    assert ratio.code == code
    assert code in codes(result.doubts)
    assert (ratio.trial is not None) == weighed
    assert len(result.seen.trials) == weighed
    if weighed:  # at the bound itself: nothing is claimed beyond what was seen
        assert ratio.trial.life_ratio == pytest.approx(ratio.comparison.ratio.low)
