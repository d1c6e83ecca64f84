"""The carburised case, with the trade's three facts at its end."""

import json

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.doubts import codes
from edgetest.errors import UnusableInput
from edgetest.steel.heat_schedule import Heat, carbon_profile
from edgetest.steel.martensite import carbon_for_hardness
from edgetest.steel.wanted_edge import WantedEdge
from tests.steel.packed import PACK, hours, rng, run


def test_decarburising_heat_leaves_a_soft_skin_to_grind_off():
    heats = (*PACK[:1], Heat(850, 0.3, "decarburising"))
    found = run(heats, 6.0)
    assert 0 < found.soft_skin_mm.value < 0.15
    assert found.case_depth_mm.value > 0.5
    untouched, cleaned = found.face_carbon_pct.value, run(heats, 6.0, removed_mm=(0.2, 0.2))
    assert cleaned.face_carbon_pct.value > untouched
    assert cleaned.probability_faces_hard > 0.9 > run(heats, 6.0).probability_faces_hard


def test_one_sided_pack_leaves_the_other_face_at_core():
    found = run((Heat(900, 6, "carburising", faces=1),), 3.0, core_sd_pct=0.0)
    assert found.carbon_pct[1, 0] > 0.9
    assert found.carbon_pct[1, -1] == pytest.approx(0.2, abs=0.01)


def test_cold_heats_move_nothing():
    warm = run((*PACK, Heat(200, 2)), core_sd_pct=0)
    assert "heat_below_austenite" in codes(warm.doubts)
    assert_allclose(warm.carbon_pct, run(PACK, core_sd_pct=0).carbon_pct, rtol=1e-12)


def test_rich_pack_warns_of_carbides():
    assert "carbide_network" in codes(run((Heat(900, 4, "carburising", surface_pct=1.3),)).doubts)
    assert "carbide_network" not in codes(run().doubts)


def test_single_diffusivity_and_no_uncertainty_is_the_profile_itself():
    heats = (PACK[0], Heat(850, 0.2))
    known = {"temperature_sd_c": 0, "surface_sd_pct": 0, "core_sd_pct": 0}
    found = run(heats, diffusivities=("steelmatter",), **known)
    _, carbon = carbon_profile(heats, 1.0, core_pct=0.2, diffusivity_name="steelmatter", nodes=80)
    assert_allclose(found.carbon_pct, np.repeat(carbon[None], 3, axis=0), rtol=1e-9)
    assert found.edge_carbon_pct.low == pytest.approx(found.edge_carbon_pct.high)


def test_spread_of_published_sets_is_in_the_interval():
    one = run(thickness_mm=6.0, diffusivities=("wells_mehl",))
    all_sets = run(thickness_mm=6.0)
    width = lambda e: e.high - e.low  # noqa: E731
    assert width(all_sets.case_depth_mm) > 1.3 * width(one.case_depth_mm)
    assert "diffusivity_spread" in codes(all_sets.doubts)
    depths = [v["case_depth_mm"] for v in all_sets.by_diffusivity.values()]
    assert max(depths) / min(depths) == pytest.approx(np.sqrt(2.5), rel=0.1)


@pytest.mark.parametrize(
    ("act", "words"),
    [
        (lambda: Heat(900, 4, "carbonising"), "no surface"),
        (lambda: Heat(900, -1), "no time"),
        (lambda: Heat(900, 1, "carburising", surface_pct=3), "more carbon than"),
        (lambda: run(()), "no heat"),
        (lambda: run(removed_mm=(0.6, 0.6)), "ground off 1 mm"),
        (lambda: run(thickness_mm=0), "no thickness"),
        (lambda: run(wanted=WantedEdge(64)), "no carbon gives 64 HRC after 2 times 60 min"),
        (lambda: hours(1, 900, core_pct=0.2, target_pct=1.2, rng=rng()), "between core"),
        (lambda: hours(1, 600, core_pct=0.2, target_pct=0.5, rng=rng()), "austenite"),
    ],
)
def test_refuses_what_cannot_be_worked_out(act, words):
    with pytest.raises(UnusableInput, match=words):
        act()


def test_json_is_plain_and_the_frame_marks_the_ground_away():
    found = run(removed_mm=(0.1, 0.3))
    plain = json.loads(json.dumps(found.to_dict(), allow_nan=False))
    assert len(plain["profile"]["carbon_pct_middle"]) == 80
    frame = found.to_frame()
    left = frame.loc[frame["left_after_grinding"], "depth_mm"]
    assert left.min() >= 0.1
    assert left.max() <= 0.7


# Common practice, no source. "Hard" is 57 HRC after the usual temper, 0.48 % carbon.
ORDINARY = [(t, h) for t in (870, 900, 925, 950) for h in (4, 8)]


@pytest.mark.parametrize(("temperature", "hours"), ORDINARY)
def test_an_edge_of_one_millimetre_hardens_right_through(temperature, hours):
    heats = (Heat(temperature, hours, "carburising"), Heat(820, 0.2))
    found = run(heats, 1.0)
    # Bound of the fact: at 870 °C four hours are not sure (0.8), at 900 °C nearly (0.96).
    sure = {(870, 4): 0.75, (900, 4): 0.94}.get((temperature, hours), 0.97)
    assert found.probability_through >= sure
    # Long in a rich pack its skin may keep austenite: it is not said to harden then.
    hardens = "hardens right through" in found.summary()
    assert hardens == ((temperature, hours) in {(870, 8), (900, 8)})


@pytest.mark.parametrize(("temperature", "hours"), [*ORDINARY, (950, 12)])
def test_a_spine_of_six_millimetres_does_not(temperature, hours):
    found = run((Heat(temperature, hours, "carburising"), Heat(820, 0.2)), 6.0)
    assert found.probability_through == 0
    assert found.edge_carbon_pct.high < 0.31  # its middle is still core
    assert found.case_depth_mm.high < 2.0


@pytest.mark.parametrize(("temperature", "hours"), [*ORDINARY, (950, 12)])
def test_a_place_ground_away_later_where_it_was_thick_does_not_harden(temperature, hours):
    heats = (Heat(temperature, hours, "carburising"), Heat(820, 0.2))
    found = run(heats, 6.0, removed_mm=(2.5, 2.5))
    assert found.finished_mm == 1.0
    assert found.probability_faces_hard == 0
    assert "ground_to_core" in codes(found.doubts)
    # After ordinary packs the ground face is core; after the longest still short of 53 HRC.
    assert found.face_carbon_pct.high < (0.28 if hours < 12 else carbon_for_hardness(53))


def test_ground_from_one_side_the_section_is_as_hard_as_its_worse_face():
    """Ground from the second side, one face is case, the other lies near the core."""
    heats = (Heat(925, 8, "carburising"), Heat(820, 0.2))
    known = {"temperature_sd_c": 0, "surface_sd_pct": 0, "core_sd_pct": 0}
    one, other, thin = (
        run(heats, 6.0, removed_mm=removed, diffusivities=("wells_mehl",), **known)
        for removed in ((0.0, 4.5), (4.5, 0.0), (0.0, 5.9))
    )
    x, carbon = carbon_profile(heats, 6.0, core_pct=0.2, diffusivity_name="wells_mehl", nodes=80)
    worse = np.interp(1.5, x, carbon)
    assert 0.22 < worse < 0.45 < carbon[0]
    assert one.face_carbon_pct.value == pytest.approx(worse, abs=0.01)
    assert one.edge_carbon_pct.value == pytest.approx(one.face_carbon_pct.value, abs=0.01)
    assert one.probability_faces_hard < 0.2
    # The same section turned over is the same; within the case both faces are hard.
    assert other.face_carbon_pct.value == pytest.approx(one.face_carbon_pct.value, abs=1e-3)
    assert other.edge_carbon_pct.value == pytest.approx(one.edge_carbon_pct.value, abs=1e-3)
    assert thin.face_carbon_pct.value > 0.8
    assert thin.edge_carbon_pct.value > 0.8


def test_a_pack_at_one_face_is_lost_where_that_face_is_ground_away():
    heats = (Heat(925, 8, "carburising", faces=1), Heat(820, 0.2))
    known = {"temperature_sd_c": 0, "surface_sd_pct": 0, "core_sd_pct": 0}
    kept, lost = (run(heats, 3.0, removed_mm=cut, **known) for cut in ((0.0, 2.4), (2.4, 0.0)))
    assert kept.face_carbon_pct.value > 0.5
    assert lost.face_carbon_pct.value == pytest.approx(0.2, abs=0.02)
    assert lost.edge_carbon_pct.value == pytest.approx(0.2, abs=0.02)


def test_a_pack_that_leaves_the_core_partly_ferrite_is_refused():
    """Between A1 (727 °C) and A3 of 0.2 % carbon, about 840 °C, the core is no austenite."""
    with pytest.raises(UnusableInput, match="heat pack, temperature_c"):
        run((Heat(780, 4, "carburising", name="pack"), Heat(820, 0.2)))
    assert run((Heat(870, 4, "carburising"), Heat(780, 0.2))).case_depth_mm.value >= 0


def test_bands_across_the_section_are_those_of_what_they_are_named_for():
    """Of a plate packed through, the face holds most austenite and is the softest for it."""
    found = run()
    ends = lambda e: [e.low, e.value, e.high]  # noqa: E731
    assert_allclose(found.hardness_hrc[:, 0], ends(found.edge_hardness_hrc), rtol=1e-6)
    assert_allclose(found.tempered_hrc[:, 0], ends(found.edge_tempered_hrc), rtol=1e-6)
    assert_allclose(found.austenite_pct[:, 0], ends(found.retained_austenite_pct), rtol=1e-6)
    assert_allclose(found.carbon_pct[:, 0], ends(found.face_carbon_pct), rtol=0.02)


def test_carbon_enough_right_through_is_told_apart_from_hard_where_austenite_stays():
    """Two chances of one section are of two things: its carbon, and its hardness after all."""
    found = run((Heat(900, 4, "carburising"),), 1.2)
    said = found.summary()
    assert found.probability_edge_hard < found.probability_through < 0.95
    assert "The chance that its carbon is enough right through is " in said
    assert "The chance that this place is hard, soft austenite counted, is " in said
