"""Edges of twice or half the angle are asked about: one among others, or all of a study."""

from pathlib import Path

import pytest

from edgetest.store.records import study_of
from edgetest.study.edge_angles import asked_of_angles


def asked(*angles, protocol="sisal_rope"):
    blades = [{"id": f"B{k}", "heat_treatment": "h", **angle} for k, angle in enumerate(angles, 1)]
    study = study_of({"title": "t", "protocol": protocol, "blades": blades,
                      "heat_treatments": [{"id": "h"}]}, Path("x"))  # fmt: skip
    return [str(one) for one in asked_of_angles(study)]


def test_the_one_edge_of_twice_or_half_the_others_angle_is_asked_about():
    whole, side = {"included_angle_deg": 36}, {"angle_per_side_deg": 36}
    (told,) = asked(whole, side, whole)
    assert "blades 2 (B2), angle_per_side_deg: 36° per side (72° included), where all" in told
    assert "if it was measured over both sides, name it included_angle_deg" in told
    (half,) = asked(whole, whole, {"included_angle_deg": 18})
    assert "if it was measured on one side, name it angle_per_side_deg" in half
    narrow, both = {"angle_per_side_deg": 24}, {"included_angle_deg": 24}
    assert asked(both, narrow) == asked(both, both, narrow, narrow) == []
    assert asked(whole, whole, {"included_angle_deg": 40}) == []


def test_all_edges_of_twice_the_protocol_s_angle_are_asked_about_once():
    twice, odd = {"angle_per_side_deg": 30}, {"angle_per_side_deg": 30.4}
    (told,) = asked(twice, odd, {})
    assert told.startswith("study.toml, blades, angle_per_side_deg: 30° per side (60° included)")
    assert "on all edges with an angle (B1 and B2), twice what the protocol asks for, 30°" in told
    assert "if it was measured over both sides, name it included_angle_deg" in told
    (half,) = asked({"included_angle_deg": 15})
    assert "(B1), half what the protocol asks for" in half
    assert "if it was measured on one side, name it angle_per_side_deg" in half


def test_an_angle_per_side_that_is_wide_for_both_sides_is_asked_about():
    (told,) = asked({"angle_per_side_deg": 38}, {"angle_per_side_deg": 19})
    assert told.startswith(
        "study.toml, blades 1 (B1), angle_per_side_deg: 38° per side (76° included), and few edges "
        "are wider than 30° per side; is 38° the angle over both sides?"
    )
    assert "name it included_angle_deg" in told
    assert asked({"angle_per_side_deg": 30}, {"included_angle_deg": 76}) == []


@pytest.mark.parametrize(
    "angles",
    [
        [{"angle_per_side_deg": 15}],  # as asked
        [{"angle_per_side_deg": 20}],
        [{"angle_per_side_deg": 30}, {"angle_per_side_deg": 25}],  # ground unlike
        [{"included_angle_deg": 60}],  # typed over both sides: it cannot have been doubled
        [{"angle_per_side_deg": 30}, {"included_angle_deg": 60}],
        [{}],
    ],
)
def test_edges_that_were_hardly_taken_for_the_other_way_are_not_asked_about(angles):
    assert asked(*angles) == []
