"""The chop log as trials of a steel beside the known blade."""

import pytest

from edgetest.store.workspace import new_study
from edgetest.study.steel.evidence_edit import add_row, name_blades
from edgetest.study.steel.judge_steel import judge_steel
from tests.study.steel.found_steel import PIECE, make_study

HEAD = "blade,kind,order,chops,width_mm,thickness_mm,species,chips_count,rolls_count"
ROWS = """{b},inspection,,,,,,0,0
{b},billet,1,60,60,60,Douglas-fir,,
{b},billet,2,60,60,60,Douglas-fir,,
{b},billet,3,80,60,60,Douglas-fir,,
{b},inspection,,,,,,{chips},{rolls}
"""


@pytest.mark.parametrize(
    ("own", "known", "result", "edge"),
    [
        ((9, 1), (0, 0), "worse", "chipped"),
        ((1, 9), (0, 1), "worse", "rolled"),
        ((0, 0), (9, 1), "better", "sound"),
        ((0, 0), (0, 0), None, "sound"),
        ((2, 0), (1, 0), None, None),  # two against one: nothing is claimed
    ],
)
def test_new_chips_and_rolls_beside_the_known_blade(tmp_path, own, known, result, edge):
    length = "edge_length_mm = 100"
    folder = make_study(
        tmp_path / "s", {"R": 200, "A": 200}, head='reference = "R"',
        blades={"A": f'piece = "leaf"\n{length}', "R": length}, evidence=PIECE,
    )  # fmt: skip
    rows = "".join(
        ROWS.format(b=b, chips=chips, rolls=rolls)
        for b, (chips, rolls) in (("A", own), ("R", known))
    )
    (folder / "chops.csv").write_text(f"{HEAD}\n{rows}", encoding="utf-8")
    chopped = [t for t in judge_steel(folder, try_numbers=False).seen.trials if t.trial == "chop"]
    assert [(t.result, t.edge) for t in chopped] == ([(result, edge)] if result or edge else [])


def test_a_chop_log_that_waits_is_no_trial_and_stops_nobody(tmp_path):
    new_study(tmp_path / "s", "billet_chop", "Pack chopper", blades=["A", "R"])
    add_row(tmp_path / "s", "pieces", {"id": "leaf", "coating": "none"})
    name_blades(tmp_path / "s", {"A": "leaf"}, "R")
    assert judge_steel(tmp_path / "s", try_numbers=False).seen.trials == ()
