"""Worn areas and widths are one wear: A = w² / (4 tan(α)), so both end a life at the same cuts."""

from math import radians, tan

import pytest

from edgetest.store.workspace import new_study
from edgetest.study.sources import open_source
from edgetest.study.wear.analysis import AnalysisOptions, analyse
from edgetest.study.wear.study_readings import used_readings
from edgetest.wear.curve.worn_wedge import worn_area
from tests.study.wear.logs_of_wedges import wedge_log

LIVES = {("A", "a1"): 100, ("A", "a2"): 130, ("B", "b1"): 150, ("B", "b2"): 180}
ANGLES = {"a1": 30.0, "a2": 30.0, "b1": 40.0, "b2": 40.0}


def study(tmp_path, **more):
    blades = [
        {"id": b, "heat_treatment": t, "included_angle_deg": ANGLES[b], **more} for t, b in LIVES
    ]
    folder = new_study(
        tmp_path / "areas", "sisal_rope", "Areas", blades=blades,
        heat_treatments=[{"id": "A"}, {"id": "B"}],
    ).folder  # fmt: skip
    (folder / "log.csv").write_text(wedge_log(LIVES, {"A": 2.0, "B": 2.0}), encoding="utf-8")
    return open_source(folder)


def lives(source, reading, limit):
    found = analyse(source, AnalysisOptions(reading=reading, limit=limit), compare=False)
    return found, {curve.blade: curve.life.cuts for curve in found.fit.blades}


def test_an_area_is_the_wedge_s_and_ends_a_life_where_its_width_does(tmp_path):
    source = study(tmp_path)
    assert worn_area(12.0, 30.0) == pytest.approx(12.0**2 / (4 * tan(radians(15))))
    _, by_width = lives(source, "edge_width_um", 12.0)
    _, by_area = lives(source, "worn_area_um2", float(worn_area(12.0, 30.0)))
    for blade in ("a1", "a2"):
        assert by_area[blade] == pytest.approx(by_width[blade], rel=0.03)
    # The blunter edge is less worn at that area of the keener one's 12 µm: its width is larger.
    assert by_area["b1"] > 1.2 * by_width["b1"]
    areas = {one.line: one for one in used_readings(source, "worn_area_um2")[0]}
    for width in used_readings(source, "edge_width_um")[0]:
        assert areas[width.line].value == pytest.approx(worn_area(width.value, ANGLES[width.blade]))


def test_the_doubt_about_an_angle_widens_the_life_by_area_alone(tmp_path):
    sure, unsure = study(tmp_path / "sure"), study(tmp_path / "unsure", angle_u_deg=3.0)
    limit = float(worn_area(12.0, 30.0))

    def width_of(source, reading, at):
        life = lives(source, reading, at)[0].fit.blades[0].life
        return life.high / life.low

    assert width_of(unsure, "worn_area_um2", limit) > 1.1 * width_of(sure, "worn_area_um2", limit)
    assert width_of(unsure, "edge_width_um", 12.0) == pytest.approx(
        width_of(sure, "edge_width_um", 12.0), rel=1e-6
    )
