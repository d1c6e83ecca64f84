"""Handling and shapes of a chopper: what a study says of its swing, and the words of faults."""

import pytest

from edgetest.errors import ManyFaults
from edgetest.store.records import load_study
from edgetest.study.chop.chop_analysis import analyse_chops
from edgetest.study.chop.handling import handling_of, outline_of, shapes_of
from edgetest.study.sources import open_chops

RUN = "camp_hatchet_study"


@pytest.fixture(scope="module")
def folder(sample_run):
    return sample_run(RUN)


HEAD = (
    "blade,kind,order,chops,near_misses,width_mm,thickness_mm,nominal,length_mm,mass_g,species,"
    "moisture_pct,depth_mm,chips_count,result,board,bend_deg,note\n"
)


TOML = """
title = "A study"
protocol = "billet_chop"
[[blades]]
id = "K1"
angle_per_side_deg = 20
edge_length_mm = 100
[[blades]]
id = "K2"
angle_per_side_deg = 20
"""


# Handling and shapes.


def toml_with(more):
    return (
        TOML.replace('protocol = "billet_chop"', 'protocol = "billet_chop"\ncontrol = "K2"') + more
    )


def load(tmp_path, more):
    (tmp_path / "study.toml").write_text(toml_with(more), encoding="utf-8")
    return load_study(tmp_path)


def test_a_section_without_a_name_is_the_only_tool_s(tmp_path):
    study = load(tmp_path, "[handling]\ngrip_mm = 60\nstrike_mm = 250\nmass_g = '1 kg'\n")
    assert handling_of(study)["K1"].mass_g == 1000


@pytest.mark.parametrize(
    ("more", "where", "what"),
    [
        ("[handling.K9]\ngrip_mm = 60\n", "study.toml, handling.K9", '"K9" is not a blade'),
        ("[handling.K1]\ngrip_mm = 60\n", "study.toml, handling.K1, strike_mm", "missing"),
        ("[handling.K1]\ngrip_mm = 60\nstrike_mm = 50\n", "study.toml, handling.K1", "not beyond"),
        (
            "[handling.K1]\ngrip_mm = 60\nstrike_mm = 250\nseconds = [19.5]\n",
            "study.toml, handling.K1",
            "a pendulum test without mass_g, balance_mm, pivot_mm, swings",
        ),
        (
            "[handling.K1]\ngrip_mm = 60\nstrike_mm = 250\nmas_g = 3\n",
            "study.toml, handling.K1, mas_g",
            "is not a key here",
        ),
    ],
)  # fmt: skip
def test_faults_of_handling_name_key_and_mend(tmp_path, more, where, what):
    study = load(tmp_path, more)
    with pytest.raises(ManyFaults) as caught:
        handling_of(study)
    assert caught.value.faults[0].where == where
    assert what in caught.value.faults[0].what


@pytest.mark.parametrize(
    ("more", "what"),
    [
        ("thicknesses = [[0, 5]]\n", "exactly one of widths, sides or silhouette"),
        ("thicknesses = [[0, 5]]\nsilhouette = 'x.jpg'\n", "a silhouette without its one scale"),
        ("widths = [[0, 30], [300, 30]]\n", "missing"),
    ],
)
def test_faults_of_a_shape_are_told(tmp_path, more, what):
    study = load(tmp_path, "[outline.K1]\n" + more)
    with pytest.raises(ManyFaults) as caught:
        shapes_of(study)
    assert what in caught.value.faults[0].what


def test_a_bar_s_shape_alone_gives_its_swing_before_anything_is_forged(tmp_path):
    """A uniform bar gripped at its butt: percussion centre at two thirds of its length."""
    (tmp_path / "study.toml").write_text(
        toml_with(
            "[handling.K1]\ngrip_mm = 0\nstrike_mm = 250\n"
            "[outline.K1]\nwidths = [[0, 30], [300, 30]]\nthicknesses = [[0, 5]]\nground = 0.0\n"
        ),
        encoding="utf-8",
    )
    (tool,) = analyse_chops(open_chops(tmp_path)).report.tools
    assert tool.measured is None
    assert tool.balance.percussion_mm.value == pytest.approx(200, rel=1e-9)
    assert tool.predicted.flat.mode.nodes_mm[0] == pytest.approx(0.2242 * 300, abs=0.05)


def test_widths_of_the_silhouette_agree_with_the_drawn_tool(folder):
    """The control was drawn from a table that its maker does not know."""
    shape = outline_of(shapes_of(load_study(folder))["C1"], load_study(folder))
    for place, width in ((70, 31), (200, 47), (320, 55), (360, 49)):
        assert shape.at(place)[0] == pytest.approx(width, abs=0.6)
    assert shape.length_mm == pytest.approx(400, abs=1.0)
