import json
from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from edgetest.chop.balance import Hold
from edgetest.chop.beam import bending_modes
from edgetest.chop.predict import predict, what_if
from edgetest.chop.silhouette import silhouette
from edgetest.chop.tool_outline import Grind, Part, cross_section, outline, rigid_body, thinned
from edgetest.errors import UnusableInput


def camp_knife(**options):
    given = {
        "grind": Grind(edge_mm=0.5, from_mm=130),
        "parts": (Part("scales", 60, 5, 115),),
        **options,
    }
    return outline(
        [0, 110, 130, 330, 400], [22, 28, 38, 45, 2], [0, 130, 400], [5, 5, 2.5], **given
    )


HOLD = Hold(60.0, 310.0)
UNGROUND = Grind(share=0)


def test_sections_of_known_shape():
    bar = cross_section(40, 5, ground=0)
    assert_allclose(
        [bar.area_mm2, bar.edge_mm4, bar.flat_mm4], [200, 5 * 40**3 / 12, 40 * 125 / 12]
    )
    wedge = cross_section(40, 5, ground=1)
    assert_allclose(
        [wedge.area_mm2, wedge.edge_mm4, wedge.flat_mm4], [100, 5 * 40**3 / 36, 40 * 125 / 48]
    )


def test_partly_ground_section_by_polygon():
    """Against the shoelace sums of the same pentagon of half sections."""
    w, t, e, g = 36.0, 4.0, 0.6, 0.7
    y = np.array([0, (1 - g) * w, w])
    half = np.array([t / 2, t / 2, e / 2])
    polygon = np.concatenate([np.stack([y, half]), np.stack([y, -half])[:, ::-1]], axis=1)
    a, b = polygon, np.roll(polygon, -1, axis=1)
    cross = a[0] * b[1] - b[0] * a[1]
    area = cross.sum() / 2
    centre = ((a[0] + b[0]) * cross).sum() / (6 * area)
    second = ((a[0] ** 2 + a[0] * b[0] + b[0] ** 2) * cross).sum() / 12 - area * centre**2
    flat = ((a[1] ** 2 + a[1] * b[1] + b[1] ** 2) * cross).sum() / 12
    found = cross_section(w, t, e, g)
    assert_allclose(
        [found.area_mm2, found.edge_mm4, found.flat_mm4], [abs(area), abs(second), abs(flat)]
    )


def test_parts_add_their_mass_where_they_sit():
    bare = rigid_body(camp_knife(parts=()))
    whole = rigid_body(camp_knife())
    assert whole[0] - bare[0] == pytest.approx(0.060)
    assert whole[1] == pytest.approx((bare[0] * bare[1] + 0.060 * 0.060) / whole[0])


def test_cone_of_known_mass_and_balance():
    """Width and thickness both run to a point: a pyramid, balance at a quarter of its length."""
    mass, balance, inertia = rigid_body(
        outline([0, 300], [30, 0], [0, 300], [6, 0], grind=UNGROUND)
    )
    assert mass == pytest.approx(7850 * 0.3 * 0.03 * 0.006 / 3)
    assert balance == pytest.approx(0.3 / 4)
    assert inertia == pytest.approx(mass * 0.3**2 * (1 / 10 - 1 / 16))


def test_thinner_tip_moves_everything_towards_the_hand():
    before, after, change = what_if(
        camp_knife(), thinned(camp_knife(), 200, 1.2), HOLD, rng=np.random.default_rng(1)
    )
    rows = {row["figure"]: row for row in change.rows}
    for figure in ("mass_g", "balance_mm", "inertia_grip_kg_cm2", "percussion_mm"):
        assert rows[figure]["high"] < 0, figure
    assert after.flat.nodes_mm[1].value < before.flat.nodes_mm[1].value
    kept = thinned(camp_knife(), 200, 9.0)
    assert np.all(kept.thickness_mm <= np.interp(kept.x_mm, [0, 130, 400], [5, 5, 2.5]) + 1e-12)


def test_prediction_carries_the_calipers_uncertainty():
    rng = np.random.default_rng(1)
    known = replace(camp_knife(), thickness_u_mm=0.0, width_relative_u=0.0)
    sure = predict(known, HOLD, rng=rng)
    unsure = predict(replace(camp_knife(), thickness_u_mm=0.1), HOLD, rng=rng)
    spread = unsure.balance.mass_g.high - unsure.balance.mass_g.low
    # 0.1 mm on about 3.8 mm of mean thickness is 2.6 % of the steel.
    steel = unsure.balance.mass_g.value - 60
    assert spread == pytest.approx(2 * 1.96 * 0.026 * steel, rel=0.25)
    assert sure.balance.mass_g.high - sure.balance.mass_g.low < 0.4 * spread
    assert len(unsure.flat.nodes_mm) == 2
    assert unsure.flat.frequency_hz.low < unsure.flat.frequency_hz.value
    assert "across the flat it rings at" in unsure.summary()
    json.dumps(unsure.to_dict(), allow_nan=False)


def test_nodes_do_not_depend_on_the_mesh():
    coarse, fine = (bending_modes(camp_knife(), elements=n)[0] for n in (40, 160))
    assert_allclose(coarse.nodes_mm, fine.nodes_mm, atol=0.05)
    assert coarse.frequency_hz == pytest.approx(fine.frequency_hz, rel=1e-4)


def test_point_mass_draws_the_node():
    bare = bending_modes(camp_knife(parts=()))[0].nodes_mm
    pommel = bending_modes(camp_knife(parts=(Part("pommel", 150, 0, 0),)))[0].nodes_mm
    assert pommel[0] < bare[0]


def test_mass_of_parts_is_whole_wherever_they_end():
    """A part off the mesh or past the steel weighs the same as one on it."""
    on, off = (
        bending_modes(camp_knife(parts=(Part("scales", 60, start, stop),)))[0].frequency_hz
        for start, stop in ((5, 115), (5.37, 114.63))
    )
    assert on == pytest.approx(off, rel=2e-3)
    past = bending_modes(camp_knife(parts=(Part("pommel", 150, -30, -1e-6),)))[0]
    end = bending_modes(camp_knife(parts=(Part("pommel", 150, 0, 0),)))[0]
    assert_allclose(past.nodes_mm, end.nodes_mm, rtol=1e-9)


def drawn_blade(angle_deg, *, butt_left=True, mm_per_px=0.25, blur=1.0, noise=0.01):
    """Picture of a tapering blade, 300 mm long, 40 mm wide at the butt, 10 mm at the tip."""
    from scipy.ndimage import gaussian_filter

    rows, columns = np.mgrid[0:600, 0:1400] * mm_per_px
    x, y = columns - 175.0, 75.0 - rows
    turn = np.deg2rad(angle_deg)
    along = x * np.cos(turn) + y * np.sin(turn) + 150
    across = -x * np.sin(turn) + y * np.cos(turn)
    along = along if butt_left else 300 - along
    inside = (along >= 0) & (along <= 300) & (np.abs(across) <= (40 - 0.1 * along) / 2)
    picture = gaussian_filter(np.where(inside, 0.1, 0.8), blur)
    return picture + noise * np.random.default_rng(1).standard_normal(picture.shape)


@pytest.mark.parametrize(("angle_deg", "butt"), [(0, "left"), (3, "left"), (-4, "right")])
def test_silhouette_gives_the_drawn_widths_back(angle_deg, butt):
    found = silhouette(drawn_blade(angle_deg, butt_left=butt == "left"), 0.25, butt=butt)
    assert found.length_mm == pytest.approx(300, abs=0.5)
    assert found.area_mm2 == pytest.approx(7500, rel=0.002)
    inside = (found.x_mm > 1) & (found.x_mm < 299)
    assert_allclose(found.width_mm[inside], 40 - 0.1 * found.x_mm[inside], atol=0.2)
    shape = outline(found.x_mm, found.width_mm, [0], [4], grind=UNGROUND, centre_mm=found.centre_mm)
    truth = rigid_body(outline([0, 300], [40, 10], [0], [4], grind=UNGROUND))
    assert_allclose(rigid_body(shape), truth, rtol=3e-3)


def test_silhouette_refuses_what_it_cannot_see():
    with pytest.raises(UnusableInput, match="another tone"):
        silhouette(0.5 + 0.01 * np.random.default_rng(1).standard_normal((200, 300)), 0.25)
    cut = drawn_blade(0)[:, 300:]
    with pytest.raises(UnusableInput, match="runs out of the picture"):
        silhouette(cut, 0.25)
    with pytest.raises(UnusableInput, match='"left" or "right"'):
        silhouette(drawn_blade(0), 0.25, butt="top")


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: outline([0, 10, 5], [1, 2, 3], [0], [5]), "order them from the butt"),
        (lambda: outline([0, 10], [1, -2], [0], [5]), "negative or missing"),
        (lambda: outline([0, 10], [1, 2], [0], [5], grind=Grind(share=1.2)), "share 0 to 1"),
        (lambda: camp_knife(parts=(Part("guard", -1, 0, 5),)), "part guard"),
        (lambda: thinned(camp_knife(), 500, 1), "begin between 0 and 400"),
        (lambda: bending_modes(camp_knife(), plane="side"), '"flat" or "edge"'),
    ],
)
def test_errors(call, words):
    with pytest.raises(UnusableInput, match=words):
        call()
