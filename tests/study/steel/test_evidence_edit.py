import pytest

from edgetest.errors import UnusableInput
from edgetest.store.records import load_study
from edgetest.study.steel.evidence_edit import (
    add_row,
    put_criteria,
    put_piece,
    take_out,
)
from edgetest.study.steel.evidence_records import wishes_of
from edgetest.study.steel.judge_steel import judge_steel
from tests.study.steel.found_steel import LADDER, PIECE, make_study


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ({"medium": "brine", "hardness": [60]}, '"brine" is not known'),
        ({"medium": "oil", "hardness": ["hard"]}, "hard"),
        ({"medium": "oil", "hardnes": [60]}, "did you mean hardness"),
        ({"medium": "oil", "hardness": ["60-65"], "scale": "HV"}, "files are rated in HRC"),
        ({"medium": "oil", "blade": "Z9", "hardness": [60]}, '"Z9" is not a blade'),
        ({"medium": "oil", "piece": "other", "hardness": [60]}, '"other" is not a piece'),
    ],
)
def test_a_row_that_cannot_be_read_is_refused_and_not_written(tmp_path, row, words):
    folder = make_study(tmp_path / "s", evidence=PIECE)
    before = (folder / "study.toml").read_bytes()
    with pytest.raises(UnusableInput) as caught:
        add_row(folder, "quenched", row)
    assert words in str(caught.value)
    assert "evidence" in str(caught.value)
    assert (folder / "study.toml").read_bytes() == before


def test_two_devices_lose_no_row_and_a_stale_fact_is_refused(tmp_path):
    folder = make_study(tmp_path / "s", evidence=PIECE)
    shown = load_study(folder).evidence["pieces"][0]
    add_row(folder, "quenched", {"medium": "oil", "hardness": [61]})
    add_row(folder, "quenched", {"medium": "air", "hardness": ["<40"]})
    assert [r["medium"] for r in load_study(folder).evidence["quenched"]] == ["oil", "air"]
    put_piece(folder, shown, shown | {"coating": "removed"})
    with pytest.raises(UnusableInput, match=r"piece leaf is now .*removed.*, not .*none"):
        put_piece(folder, shown, shown | {"coating": "painted"})
    assert load_study(folder).evidence["pieces"][0]["coating"] == "removed"
    row = load_study(folder).evidence["quenched"][0]
    take_out(folder, "quenched", row)
    with pytest.raises(UnusableInput, match="not there any more"):
        take_out(folder, "quenched", row)


def test_criteria_and_losses_of_the_maker_are_used(tmp_path):
    folder = make_study(tmp_path / "s", evidence=LADDER)
    wishes = {"life_ratio": 0.9, "wrong_reuse_h": 50.0, "hardness_hrc": "55-58"}
    more = {"test_hours": {"lab_analysis": 2.0}, "no_test": ["another_piece"]}
    put_criteria(folder, {}, wishes | more)
    assert wishes_of(load_study(folder)).hardness_hrc == (55, 58)
    result = judge_steel(folder)
    wanted = {c.name: c.wanted for c in result.best.criteria}
    assert wanted["life"] == "at least 0.9 of the reference's life"
    assert wanted["hardness"] == "55 to 58 HRC"
    assert result.best.losses.wrong_reuse_h == 50
    assert {t.code: t.hours for t in result.best.tests}["lab_analysis"] == 2
    with pytest.raises(UnusableInput, match="the criteria are now"):
        put_criteria(folder, {}, {"life_ratio": 0.5})
    was = load_study(folder).verdict
    put_criteria(folder, was, {"no_test": ["x-ray"]})
    with pytest.raises(UnusableInput, match='"x-ray" is no test'):
        judge_steel(folder)
