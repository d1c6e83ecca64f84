from math import inf, log

import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.study.steel.evidence_edit import (
    name_blades,
    put_criteria,
)
from edgetest.study.steel.judge_steel import judge_steel
from tests.study.steel.found_steel import PIECE, make_study

TWO_PIECES = PIECE + PIECE.replace('"leaf"', '"other leaf"')
OF_LEAF, OF_OTHER = 'piece = "leaf"', 'piece = "other leaf"'


def test_lives_of_two_pieces_speak_for_the_lot(tmp_path):
    evidence = TWO_PIECES + "".join(
        f'[[evidence.tempered]]\npiece = "{p}"\ntemperature_c = 200\nhardness = [60, 60.5]\n'
        for p in ("leaf", "other leaf")
    )
    folder = make_study(
        tmp_path / "s", {"R": 200, "A": 260, "B": 250}, head='reference = "R"',
        blades={"A": OF_LEAF, "B": OF_OTHER}, evidence=evidence,
    )  # fmt: skip
    result = judge_steel(folder)
    assert (result.best.scope, result.best.piece) == ("lot", None)
    assert len(result.routes[0].lives) == 2
    asked = judge_steel(folder, piece="leaf")
    assert (asked.best.scope, asked.best.piece) == ("piece", "leaf")
    with pytest.raises(UnusableInput, match='piece "spring" is not in the evidence'):
        judge_steel(folder, piece="spring")


def test_blades_as_replicates_carry_their_own_scatter(tmp_path):
    known = 'heat_treatment = "known"'
    folder = make_study(
        tmp_path / "s", {"R1": 190, "R2": 210, "A1": 240, "A2": 270},
        head='reference = "R1"', evidence='[[heat_treatments]]\nid = "known"\n' + PIECE,
        blades={"R1": known, "R2": known, "A1": OF_LEAF, "A2": OF_LEAF},
    )  # fmt: skip
    (ratio,) = judge_steel(folder).routes[0].lives
    assert ratio.comparison.scope == "heat_treatments"
    assert ratio.references == ("R1", "R2")
    assert ratio.evidence.between_blades_in_se
    assert (ratio.evidence.blades, ratio.evidence.reference_blades) == (2, 2)
    assert ratio.evidence.df < inf


def test_a_blade_without_its_piece_is_asked_for(tmp_path):
    folder = make_study(
        tmp_path / "s", {"R": 200, "A": 260}, head='reference = "R"', evidence=TWO_PIECES
    )
    doubts = {one.code: one for one in judge_steel(folder).doubts}
    assert "forged: A." in doubts["blade_without_piece"].text
    assert doubts["blade_without_piece"].where.blade == "A"
    assert judge_steel(folder).routes[0].lives == ()
    name_blades(folder, {"A": "leaf"}, "R")
    assert judge_steel(folder).routes[0].lives[0].where.piece == "leaf"


def test_without_a_reference_there_is_no_life_evidence(tmp_path):
    folder = make_study(tmp_path / "s", {"A": 260}, evidence=PIECE)
    result = judge_steel(folder)
    assert result.routes[0].lives == ()
    assert "no_reference" in codes(result.doubts)


@pytest.mark.parametrize(
    ("lives", "code", "weighed"),
    [
        ({"R": 110, "A": 1e9}, "life_at_least", True),  # the test blade shows no wear
        ({"R": 1e9, "A": 200}, "reference_stopped", False),
    ],
)
def test_a_life_without_an_end_counts_as_the_least_it_can_be(tmp_path, lives, code, weighed):
    folder = make_study(
        tmp_path / "s", lives, head='reference = "R"', blades={"A": OF_LEAF}, evidence=PIECE,
        last={"R": 100, "A": 100},
    )  # fmt: skip
    result = judge_steel(folder)
    (ratio,) = result.routes[0].lives
    assert ratio.code == code
    assert code in codes(result.doubts)
    assert (ratio.evidence is not None) == weighed
    if weighed:  # at the bound itself: nothing is claimed beyond what was seen
        assert ratio.evidence.log_ratio == pytest.approx(log(ratio.comparison.ratio.low))
    assert next(c for c in result.best.criteria if c.name == "life").evidence == weighed


CHOPS = """blade,kind,order,chops,width_mm,thickness_mm,species,chips_count,rolls_count
A,inspection,,,,,,0,0
A,billet,1,60,60,60,Douglas-fir,,
A,billet,2,60,60,60,Douglas-fir,,
A,billet,3,80,60,60,Douglas-fir,,
A,inspection,,,,,,3,1
"""


def test_new_chips_and_rolls_of_the_chop_log_are_weighed(tmp_path):
    folder = make_study(
        tmp_path / "s", {"R": 200, "A": 260}, head='reference = "R"',
        blades={"A": OF_LEAF + "\nedge_length_mm = 100"}, evidence=PIECE,
    )  # fmt: skip
    (folder / "chops.csv").write_text(CHOPS, encoding="utf-8")
    put_criteria(folder, {}, {"damage_per_100": 1.0})
    result = judge_steel(folder)
    (damage,) = result.routes[0].damage
    assert damage.per_100 == pytest.approx(2.0)  # four in 200 chops
    assert damage.level == 0.95
    criterion = next(c for c in result.best.criteria if c.name == "damage")
    assert criterion.evidence
    assert criterion.probability_full < 0.2
    (folder / "chops.csv").write_text(CHOPS.replace(",3,1\n", ",0,0\n"), encoding="utf-8")
    (damage,) = judge_steel(folder).routes[0].damage
    assert (damage.per_100, damage.level) == (0.0, pytest.approx(0.90))  # a one-sided bound
