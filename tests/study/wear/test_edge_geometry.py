"""Angles and thickness of the edges compared: said with the answer where they differ."""

import re

import numpy as np
import pytest

from edgetest.errors import UnusableInput
from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from tests.study.wear.logs_of_wedges import wedge_log


def thick_study(tmp_path, thickness, angle=None, *, turned=False):
    """A study whose hard blades last 1.5 times as long; thickness by blade, mm."""
    lives = {("soft", f"A{i}"): 100 * f for i, f in enumerate((0.95, 1.0, 1.06))}
    lives |= {("hard", f"B{i}"): 150 * f for i, f in enumerate((0.97, 1.0, 1.03))}
    lives = dict(reversed(lives.items())) if turned else lives
    blades = [
        {"id": b, "heat_treatment": t}
        | ({} if angle == "blank" else {"angle_per_side_deg": (angle or {}).get(b, 15)})
        | ({"thickness_behind_edge_mm": thickness[b]} if b in thickness else {})
        for t, b in lives
    ]
    study = new_study(
        tmp_path / "thick", "sisal_rope", "thick", blades=blades,
        heat_treatments=[{"id": "soft", "title": "low"}, {"id": "hard"}][:: -1 if turned else 1],
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
    assert "any blade of low or hard" in text or "any blade of hard or low" in text
    with pytest.raises(UnusableInput, match=r"blade A0: the worn area needs the edge angle"):
        analyse(open_source(tmp_path / "thick"), AnalysisOptions(reading="worn_area_um2", limit=12))


def test_differing_edge_angles_are_said_with_the_answer(tmp_path):
    result = thick_study(tmp_path, {}, angle={f"B{i}": 18 for i in range(3)})
    (text,) = told(result, "edge_angle_differs")
    assert "30.0° included (low) and 36.0° (hard)" in text
    factor = np.tan(np.radians(15)) / np.tan(np.radians(18))
    assert result.compared.angles.factor.value == pytest.approx(factor)


@pytest.mark.parametrize(
    ("thickness", "per_side", "what"),
    [
        ((0.9, 0.6), (15, 15), "thickness behind the edge"),
        ((0.6, 0.6), (21.2, 15), "angle"),
        ((0.75, 0.6), (18, 15), "angle and thickness behind the edge"),
        ((0.6, 0.6), (16, 15), None),  # of 1.5, the angles may be 1.07
        ((0.6, 0.9), (15, 15), None),  # the thicker lasted longer all the same
    ],
)
def test_a_grind_that_may_be_all_of_the_difference_decides_the_answer(
    tmp_path, thickness, per_side, what
):
    thick = {f"{g}{i}": mm for g, mm in zip("AB", thickness, strict=True) for i in range(3)}
    angle = {f"{g}{i}": deg for g, deg in zip("AB", per_side, strict=True) for i in range(3)}
    result = thick_study(tmp_path, thick, angle)
    found = [one for one in result.study_doubts if one.code == "geometry_may_explain"]
    assert len(found) == (what is not None)
    for one in found:
        assert one.gravity == "decides"
        assert one.text.startswith(f"The edges differ in {what}. With what that may do taken out")
        assert one.text in " ".join(result.headline.answer)


@pytest.mark.parametrize("turned", [False, True])
def test_the_range_without_the_grind_is_of_the_longer_above_the_shorter(tmp_path, turned):
    """Of 1.5 the thickness may be 1.5: about 1.0 to 1.5, whichever was written first."""
    thick = {f"A{i}": 0.9 for i in range(3)} | {f"B{i}": 0.6 for i in range(3)}
    found = thick_study(tmp_path, thick, turned=turned)
    (text,) = told(found, "geometry_may_explain")
    numbers = re.search(r"hard lasts between ([\d.]+) and ([\d.]+) times as long as low:", text)
    low, high = map(float, numbers.groups())
    assert 0.8 < low < 1 < 1.4 < high < 1.8


def three_study(tmp_path, *, per_side, lives=(100, 100, 160)):
    """Three heat treatments of three blades each, angle and median life by heat treatment."""
    spread = (0.95, 1.0, 1.06)
    lives = {
        (t, f"{t}{i}"): n * f
        for t, n in zip("abc", lives, strict=True)
        for i, f in enumerate(spread)
    }
    blades = [
        {"id": b, "heat_treatment": t}
        | ({"angle_per_side_deg": per_side[t], "angle_u_deg": 0.2} if t in per_side else {})
        for t, b in lives
    ]
    study = new_study(
        tmp_path / "three", "sisal_rope", "three", blades=blades,
        heat_treatments=[{"id": "a", "title": "low"}, {"id": "b"}, {"id": "c"}],
    )  # fmt: skip
    (study.folder / "log.csv").write_text(wedge_log(lives, dict.fromkeys("abc", 2.4)))
    return analyse(open_source(study.folder), AnalysisOptions(limit=12, also=(10.0,)))


def test_every_pair_is_held_against_its_own_grind(tmp_path):
    found = three_study(tmp_path, per_side={"a": 17, "b": 17, "c": 13})
    doubted = {frozenset((g.first, g.second)): g.may_be_all for g in found.compared.grinds}
    assert doubted == {frozenset("ac"): True, frozenset("bc"): True}  # a and b are ground alike
    (text,) = told(found, "geometry_may_explain")
    assert "times as long as low; c lasts between" in text
    assert "times as long as b: the grind alone may be all of each difference" in text
    assert [one["may_be_all"] for one in found.to_dict()["grinds"]] == [True, True]


def test_a_pair_that_does_not_lead_is_doubted_for_its_own_grind(tmp_path):
    """b over a leads and is ground alike; c, which a outlasts, is ground apart."""
    found = three_study(tmp_path, per_side={"a": 15, "b": 15, "c": 19}, lives=(100, 200, 75))
    assert {found.comparison.first, found.comparison.second} == {"a", "b"}
    (text,) = told(found, "geometry_may_explain")
    assert "low lasts between" in text
    assert "times as long as c: the grind alone may be all of the difference" in text
    (limit,) = told(found, "grind_taken_out")
    assert "b lasts between" in limit  # over c by more than any grind makes


def test_angles_not_noted_of_a_third_heat_treatment_are_told(tmp_path):
    found = three_study(tmp_path, per_side={"a": 15, "b": 15})
    (text,) = told(found, "edge_angle_not_noted")
    assert "any blade of c," in text


def test_a_grind_that_is_a_part_of_a_difference_limits_it(tmp_path):
    found = thick_study(tmp_path, {}, angle={f"A{i}": 16 for i in range(3)})
    (text,) = told(found, "grind_taken_out")
    low, high = map(float, re.search(r"between ([\d.]+) and ([\d.]+) times", text).groups())
    ends = found.comparison.ratio
    longer, shorter = max(ends.high, 1 / ends.low), max(ends.low, 1 / ends.high)
    factor = np.tan(np.radians(16)) / np.tan(np.radians(15))
    assert (low, high) == pytest.approx((shorter / factor**2, longer * factor**2), abs=0.006)
