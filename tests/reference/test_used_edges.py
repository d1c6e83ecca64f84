"""Edges that were really used: flint and lydite, angles before and after 50 to 2000 strokes.

Source: L. Schunk, edge_angle_experiments (repository lschunk/edge_angle_experiments, commit
fb14904, CC0); monograph: Understanding Middle Palaeolithic asymmetric stone tool design and use,
Verlag des Römisch-Germanischen Zentralmuseums, Mainz 2022, doi 10.11588/propylaeum.1076. The
column `edge_angle_deg` of `stone_edges.csv` is the mean of the best-fit angles 1 to 3 steps from
the apex. Three specimens of each stone, some ten sections along each edge: sections are stations.
Angles grow from 0 to 2000 strokes by 0.1, 0.2, -5.3 against -1.5, 0.5, -0.6 degrees (cutting, 45
degrees) and by 0.0, -1.5, -2.6 against 44.1, 13.8, 2.1 (cutting, 35 degrees, two edges of lydite
broke): no wear is seen, and nothing can be told of the stones.
"""

from functools import cache
from pathlib import Path

import pandas as pd
import pytest

import edgetest as et

TABLE = Path(__file__).parent / "stone_edges.csv"
TASKS = [
    ("cutting", 45.0),
    pytest.param("cutting", 35.0, marks=pytest.mark.slow),
    pytest.param("carving", 45.0, marks=pytest.mark.slow),
]


@cache
def compared(task, angle, limit):
    """The answer on one task; an angle stands in the column of the widths, in degrees."""
    table = pd.read_csv(TABLE).query("task == @task and start_angle_deg == @angle")
    log = pd.DataFrame(
        {
            "blade": table["specimen"],
            "heat_treatment": table["material"],
            "cuts": table["cuts"],
            "station_mm": table["section"],
            "edge_width_um": table["edge_angle_deg"],
        }
    )
    return et.compare(log, limit=limit)


@pytest.mark.parametrize(("task", "angle"), TASKS)
def test_nothing_is_told_of_the_stones(task, angle):
    at = compared(task, angle, None).compared.at_cuts
    assert at.cuts == 2000
    assert at.verdict == "cannot_tell"
    assert at.ratio.low < 1 < at.ratio.high
    assert sum(group.n for group in at.comparison.groups) == 6  # specimens, never sections


@pytest.mark.parametrize(("task", "angle"), TASKS)
def test_no_life_is_given_to_a_limit_that_no_edge_neared(task, angle):
    found = compared(task, angle, 120.0)
    assert all(curve.life.high == float("inf") for curve in found.fit.blades)
    assert found.compared.at_cuts.leads
    assert not found.compared.levels or all(
        level.comparison.ratio.high < 1000 for level in found.compared.levels
    )


def test_the_edges_that_broke_are_named():
    found = compared("cutting", 35.0, None)
    named = {one.where.blade for one in found.doubts if one.code == "outlying_reading"}
    assert "LYDIT5-5" in named


def test_edges_that_did_not_wear_are_not_called_alike():
    found = compared("cutting", 45.0, None)
    assert not found.compared.at_cuts.worn
    assert "The edges have hardly worn there" in found.summary()
