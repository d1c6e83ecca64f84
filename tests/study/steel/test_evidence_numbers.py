import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.store.records import load_study
from edgetest.study.steel.evidence_edit import (
    add_row,
    take_out,
)
from edgetest.study.steel.evidence_numbers import places, tempered_of
from edgetest.study.steel.evidence_records import evidence_of
from edgetest.study.steel.judge_steel import judge_steel
from tests.study.steel.found_steel import LADDER, PIECE, make_study


def test_vickers_goes_through_the_table_and_widens_the_reading(tmp_path):
    folder = make_study(tmp_path / "s", evidence=PIECE)
    add_row(folder, "quenched", {"medium": "oil", "hardness": [720], "scale": "HV"})
    found = judge_steel(folder).routes[0].quench
    assert found.hardens_in == "oil"  # 720 HV is 61 HRC
    add_row(folder, "quenched", {"medium": "oil", "hardness": [1200], "scale": "HV"})
    with pytest.raises(UnusableInput, match="1200 HV lies outside the conversion table"):
        judge_steel(folder)


def test_the_temper_nearest_the_range_counts_unless_one_is_marked(tmp_path):
    folder = make_study(tmp_path / "s", evidence=LADDER)
    for heat, hrc in ((175.0, 63.5), (200.0, 60.0), (260.0, 54.0)):
        add_row(folder, "tempered", {"temperature_c": heat, "time_min": 60.0, "hardness": [hrc]})
    result = judge_steel(folder)
    assert result.routes[0].hardness.hardness.value == pytest.approx(60.0, abs=0.3)
    assert "temper_chosen" in codes(result.doubts)
    ladder = load_study(folder).evidence["tempered"]
    take_out(folder, "tempered", ladder[2])
    add_row(folder, "tempered", ladder[2] | {"for_use": True})
    result = judge_steel(folder)
    assert result.routes[0].hardness.hardness.value == pytest.approx(54.0, abs=0.3)
    assert "temper_chosen" not in codes(result.doubts)


def test_equal_tempers_are_read_together(tmp_path):
    folder = make_study(tmp_path / "s", evidence=LADDER)
    twice = {"temperature_c": 200.0, "time_min": 60.0, "repeats": 2, "hardness": [60.0]}
    add_row(folder, "tempered", twice)
    add_row(folder, "tempered", {"temperature_c": 200.0, "time_min": 120.0, "hardness": [61.0]})
    result = judge_steel(folder)
    assert result.routes[0].hardness.pieces[0].readings == 2


def test_a_temper_of_the_carburised_steel_says_nothing_of_the_steel_as_it_is(tmp_path):
    folder = make_study(tmp_path / "s", evidence=LADDER)
    row = {"temperature_c": 200.0, "time_min": 60.0}
    add_row(folder, "tempered", row | {"hardness": [54.0]})
    add_row(folder, "tempered", row | {"hardness": [61.0], "route": "carburised"})
    study = load_study(folder)
    evidence = evidence_of(study)
    where = places(study, evidence)
    of_route = {
        route: tempered_of(study, evidence, where, route, (58, 62))[0].hardness.value
        for route in ("as it is", "carburised")
    }
    assert of_route == pytest.approx({"as it is": 54.0, "carburised": 61.0}, abs=0.3)
