import tomllib

import pytest

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.store.records import load_study
from edgetest.study.steel.case_plan import cases_of_study, plan_case
from edgetest.study.steel.evidence_edit import (
    put_row,
)
from edgetest.study.steel.judge_steel import judge_steel
from tests.study.steel.found_steel import PACK, PIECE, make_study


def test_a_pack_in_inches_and_fahrenheit_is_the_same_pack():
    heat = {"temperature_c": "1652 °F", "hours": "240 min", "surface": "carburising"}
    sections = [{"thickness_mm": "1/4 in", "removed_mm": "1/64 in"}]
    (typed,) = plan_case({"heats": [heat], "sections": sections, "core_pct": 0.2})
    heat = {"temperature_c": 900, "hours": 4, "surface": "carburising"}
    sections = [{"thickness_mm": 6.35, "removed_mm": 0.396875}]
    (plain,) = plan_case({"heats": [heat], "sections": sections, "core_pct": 0.2})
    assert typed.case.edge_carbon_pct == plain.case.edge_carbon_pct
    assert typed.hours.hours.value == pytest.approx(plain.hours.hours.value, rel=1e-12)
    assert "1/4 in packed on both faces at 1652 °F" in typed.words()
    assert "6.35 mm packed on both faces at 900 °C" in plain.words()


def test_a_case_wants_the_carbon_of_its_core(tmp_path):
    folder = make_study(tmp_path / "s", evidence=PIECE + PACK)
    result = judge_steel(folder)
    assert result.cases == ()
    assert "core_unknown" in codes(result.doubts)
    with pytest.raises(UnusableInput, match="carbon of the core is not known"):
        cases_of_study(folder)
    was = load_study(folder).evidence["pieces"][0]
    put_row(folder, "pieces", was, was | {"carbon_pct": 0.2})
    (found,) = cases_of_study(folder)
    assert (found.core.carbon_pct, found.core.whence) == (0.2, "core_from_analysis")
    assert found.case.probability_edge_hard > 0.8


def test_a_plan_and_a_study_of_the_same_pack_agree(tmp_path):
    folder = make_study(tmp_path / "s", evidence=PIECE + PACK + "core_pct = 0.2\n")
    (study,) = cases_of_study(folder)
    (plan,) = plan_case(tomllib.loads(PACK)["evidence"]["pack"] | {"core_pct": 0.2})
    assert study.case.edge_carbon_pct == plan.case.edge_carbon_pct
    assert study.hours == plan.hours


def test_a_coupon_of_the_own_pack_narrows_the_case(tmp_path):
    heats = [{"temperature_c": 900, "hours": 8.0, "surface": "carburising"}]
    pack = {"heats": heats, "sections": [{"thickness_mm": 6.0}], "core_pct": 0.2}
    coupon = {"thickness_mm": 6.0, "depth_mm": 0.85, "depth_u_mm": 0.05}
    (wide,), (own,) = plan_case(pack), plan_case(pack | {"coupon": coupon})
    spread = [c.case.case_depth_mm.high - c.case.case_depth_mm.low for c in (wide, own)]
    assert spread[1] < 0.8 * spread[0]


def test_a_pack_below_a3_is_refused_and_the_verdict_says_so(tmp_path):
    cold = PACK.replace("= 900", "= 780") + "core_pct = 0.2\n"
    folder = make_study(tmp_path / "s", evidence=PIECE + cold)
    with pytest.raises(UnusableInput, match="partly ferrite"):
        cases_of_study(folder)
    result = judge_steel(folder)
    assert result.cases == ()
    (said,) = [d for d in result.doubts if d.code == "case_refused"]
    assert "partly ferrite" in said.text
    assert "837 °C" in said.text


def test_a_core_quenched_partly_ferrite_is_said_to_come_less_hard_than_told():
    heats = [
        {"temperature_c": 900, "hours": 4, "surface": "carburising"},
        {"temperature_c": 810, "hours": 0.15},
    ]
    pack = {"heats": heats, "sections": [{"thickness_mm": 5}], "core_pct": 0.18}
    (found,) = plan_case(pack)
    (said,) = [one.text for one in found.doubts if one.code == "core_partly_ferrite"]
    assert "it hardens from there in part at most, less than the hardness told of it" in said
