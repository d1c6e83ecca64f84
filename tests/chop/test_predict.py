import json
from dataclasses import replace

import numpy as np
import pytest

from edgetest.chop.predict import predict, what_if
from edgetest.chop.tool_outline import Grind, Part, outline, thinned
from tests.chop.tools import HOLD, camp_knife


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
    assert unsure.summary().endswith(
        "(scales counted as weight alone; glued on, they stiffen it and move all this)"
    )
    assert unsure.flat.to_dict()["unstiffened"] == ["scales"]
    assert unsure.edge.left_out() == ""  # a slab glued to the flats hardly stiffens it edgewise
    json.dumps(unsure.to_dict(), allow_nan=False)


def test_stiffness_known_to_3_per_cent_leaves_the_pitch_to_half_of_that():
    """Frequency goes with the root of Young's modulus; all else is known, and no part is on it."""
    steel = replace(camp_knife().material, density_u=0.0)
    known = replace(
        camp_knife(parts=()), material=steel, thickness_u_mm=0.0, width_relative_u=0.0,
        length_u_mm=0.0,
    )  # fmt: skip
    flat = predict(known, HOLD, rng=np.random.default_rng(1)).flat
    assert flat.left_out() == ""
    pitch = flat.frequency_hz
    assert (pitch.high - pitch.low) / 2 / pitch.value == pytest.approx(1.96 * 0.015, rel=0.01)


def test_a_block_no_longer_than_wide_tells_its_swing_and_not_how_it_rings():
    head = outline(
        [296, 320, 345, 360], [40, 60, 72, 75], [296, 330, 360], [25, 20, 8],
        grind=Grind(0.6, 0.05), parts=(Part("ash handle", 190, 0, 330),),
    )  # fmt: skip
    told = predict(head, HOLD, rng=np.random.default_rng(1))
    assert told.flat is None
    assert told.edge is None
    assert "rings" not in told.summary()
    (said,) = told.balance.doubts
    assert said.code == "no_slender_blade"
    assert "64 mm long and 62 mm wide on average" in said.text
    document = told.to_dict()
    assert document["flat"] is None
    assert document["balance"]["mass_g"]["value"] > 600


def test_a_hatchet_forged_with_its_handle_still_rings():
    whole = outline([0, 250, 270, 360], [24, 24, 80, 80], [0, 360], [6, 6], grind=Grind(0.6, 0.3))
    assert predict(whole, HOLD, rng=np.random.default_rng(1)).flat is not None
