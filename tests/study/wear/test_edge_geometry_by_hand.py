"""Angles and thickness of blades as they are noted, and what is doubted where they are not."""

from math import isnan
from types import SimpleNamespace

import pytest

from edgetest.doubts import codes
from edgetest.study.wear.edge_geometry import angles_of, edge_angle, geometry_doubts


def blade(name, angle=None, side=None, u=None, thick=None):
    whole = 2 * side if side is not None else angle
    return SimpleNamespace(id=name, included_angle_deg=whole, angle_per_side_deg=side,
                           angle_u_deg=u, thickness_behind_edge_mm=thick)  # fmt: skip


@pytest.mark.parametrize(
    ("of", "angle", "u"),
    [
        (blade("A", 30.0, u=0.5), 30.0, 0.5),
        (blade("A", side=15.0, u=0.5), 30.0, 1.0),  # a doubt of each side counts twice
        (blade("A", 30.0), 30.0, 0.0),
    ],
)
def test_an_angle_is_included_whichever_way_it_was_noted(of, angle, u):
    assert edge_angle(of) == (angle, u)
    assert all(isnan(each) for each in edge_angle(blade("A", u=0.5)))


def study(*blades, titles=()):
    kinds = [SimpleNamespace(id=name, title=title) for name, title in titles]
    return SimpleNamespace(blades=blades, heat_treatments=kinds)


def comparison(low=("A",), high=("B",), other=()):
    groups = [SimpleNamespace(treatment=name, blades=of)
              for name, of in (("low", low), ("high", high), ("other", other)) if of]  # fmt: skip
    return SimpleNamespace(first="low", second="high", groups=groups,
                           ratio=SimpleNamespace(estimate=1.5, low=1.2, high=1.9))  # fmt: skip


def doubted(*blades, of=None, **more):
    told = geometry_doubts(study(*blades, **more), of or comparison(), None, None)
    return [(one.code, one.text) for one in told]


def test_what_was_noted_of_both_is_not_doubted():
    whole = (blade("A", 30.0, thick=0.5), blade("B", 30.0, thick=0.5))
    assert doubted(*whole) == []
    assert doubted(blade("A", 30.0), blade("B", 30.0)) == []


@pytest.mark.parametrize(
    ("first", "second", "told"),
    [
        ({"thick": 0.5}, {}, "any blade of high"),
        ({}, {"thick": 0.5}, "any blade of Low temper"),
    ],
)
def test_a_thickness_of_one_alone_is_told(first, second, told):
    blades = blade("A", 30.0, **first), blade("B", 30.0, **second)
    ((code, text),) = doubted(*blades, titles=[("low", "Low temper"), ("high", "")])
    assert code == "thickness_half_known"
    assert told in text


def test_angles_that_nobody_noted_are_told_by_heat_treatment():
    ((code, text),) = doubted(blade("A"), blade("B", 30.0))
    assert code == "edge_angle_not_noted"
    assert "any blade of low" in text
    assert "any blade of low or high, so" in doubted(blade("A"), blade("B"))[0][1]
    mixed = comparison(low=("A", "C"))
    assert doubted(blade("A"), blade("B", 30.0), blade("C", 30.0), of=mixed) == []


def test_of_blades_that_the_study_does_not_know_nothing_is_said():
    assert doubted(blade("B")) == []
    assert angles_of(study(blade("B", 30.0)), comparison()) is None
    assert angles_of(study(blade("A"), blade("B", 30.0)), comparison()) is None
    found = angles_of(study(blade("A", 30.0), blade("B", 40.0)), comparison(other=("D",)))
    assert found is not None
    share = SimpleNamespace(matters=False)
    bare = study(blade("A", 30.0), blade("B", 30.0))
    assert codes(geometry_doubts(bare, comparison(), share, None)) == ()
