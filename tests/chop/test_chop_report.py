import dataclasses
import json

import numpy as np
import pytest

from edgetest.chop.balance import Hold
from edgetest.chop.chop_report import ChopTest, Trial, chop_report
from edgetest.chop.count_design import Billets
from edgetest.chop.counts import fit_counts
from edgetest.chop.damage_rates import Inspection
from edgetest.chop.depth import SingleChops
from edgetest.chop.pendulum import SwingTest
from edgetest.chop.tool_outline import Grind, Material, Part, outline
from edgetest.doubts import catalogue
from edgetest.errors import UnusableInput
from tests.chop import codes


@pytest.fixture
def everything():
    """A hatchet and a control, chopped in turn on three boards, swung and drawn."""
    rng = np.random.default_rng(8)
    blade = ["hatchet", "control"] * 3
    chop = np.tile(np.arange(0, 100, 10), 2)
    singles = np.repeat(["hatchet", "control"], 10)
    return {
        "billets": Billets(
            blade=blade,
            chops=[28, 35, 31, 44, 26, 39],
            area_cm2=[33.87] * 6,
            hardness_n=[3200.0, 3200, 3500, 3500, 2900, 2900],
            hardness_sd_log=0.1,
            chops_before=[0, 0, 28, 35, 59, 79],
            near_misses=[1, 0, 2, 1, 0, 0],
            board=["p", "p", "q", "q", "r", "r"],
        ),
        "single_chops": SingleChops(singles, chop, 14 * np.exp(rng.normal(0, 0.15, 20))),
        "inspections": (
            Inspection("chips", blade[:2], [0, 1], [90, 120], when="before"),
            Inspection(
                "chips", blade[:2], [0, 3], [90, 120], chops={"hatchet": 85, "control": 118}
            ),
        ),
        "swing_tests": {"hatchet": SwingTest(540, 282, 20, [22.0, 22.1, 21.95], 20)},
        "outlines": {
            "hatchet": outline(
                [0, 380],
                [30, 30],
                [0],
                [20],
                grind=Grind(share=0),
                material=Material(760, 40, 13),
                parts=(Part("head", 420, 300, 370),),
            )
        },
        "holds": {"hatchet": Hold(60, 335, handle_front_mm=300, length_mm=380)},
        "trials": (Trial("rope", "hatchet", True, 1), Trial("flex", "hatchet", 0, 2)),
    }


def reported(**parts):
    return chop_report(ChopTest(**parts), rng=np.random.default_rng(1))


def test_one_call_yields_every_figure(everything):
    report = reported(**everything)
    assert [one.blade for one in report.counts.blades] == ["hatchet", "control"]
    assert report.near_misses["hatchet"].value == pytest.approx(3 / 85)
    assert [when for when, _ in report.damage] == ["before", "after"]
    (tool,) = report.tools
    assert tool.balance is tool.measured
    assert tool.compared.rows[0]["figure"] == "mass_g"
    assert tool.depth_per_joule.value == pytest.approx(
        report.depths.blades[0].fresh_mm.value / tool.blow.energy_j.value
    )
    assert tool.joules_per_cm2.value > 0
    assert report.trials[0].passes.low == pytest.approx(0.05)
    assert "rolls" in report.not_tested
    assert "chips" not in report.not_tested
    assert set(codes(report)) <= set(catalogue())


def test_report_is_plain_json_and_reads_aloud(everything):
    report = reported(**everything)
    text = json.dumps(report.to_dict(), allow_nan=False)
    assert '"not_tested"' in text
    spoken = report.summary()
    assert "hatchet: " in spoken
    assert "before the test, hatchet: chips 0 on 90 mm of edge, fewer than" in spoken
    assert "hatchet, rope cut: passed 1 of 1; 5 % or more of such tries would pass" in spoken
    assert "hatchet, flex: passed 0 of 2; at most 78 % of such tries would pass\n" in spoken
    assert "not tested: rolls, knot chop, bend, nail, bone, antler, shaving" in spoken


def test_same_seed_same_report(everything):
    one, other = (reported(**everything) for _ in range(2))
    assert one.to_dict() == other.to_dict()


def test_parts_of_the_test_stand_alone(everything):
    for key in ("billets", "single_chops", "inspections", "trials"):
        report = reported(**{key: everything[key]})
        json.dumps(report.to_dict(), allow_nan=False)
    drawn = reported(outlines=everything["outlines"], holds=everything["holds"])
    assert drawn.tools[0].balance.source == "predicted"
    assert drawn.tools[0].measured is None
    assert "swing" in drawn.not_tested


def test_errors():
    with pytest.raises(UnusableInput, match="log at least one"):
        reported()
    with pytest.raises(UnusableInput, match="no grip and strike point for A"):
        reported(swing_tests={"A": SwingTest(500, 200, 20, [20.0], 20)})


def test_near_misses_are_a_share_of_the_strokes_where_they_were_counted(everything):
    bare = dataclasses.replace(everything["billets"], near_misses=[1, None, None, None, 0, None])
    assert bare.blade[:2] == ["hatchet", "control"]
    report = reported(billets=bare)
    assert set(report.near_misses) == {"hatchet"}
    assert report.near_misses["hatchet"].value == pytest.approx(1 / (28 + 26))


def test_what_all_woods_together_rest_on_is_not_told_where_the_woods_differ():
    def told(*mine):
        rows = [
            (tool, count, wood, f"{wood} {n}")
            for wood, own, theirs in zip(("ash", "oak"), mine, (20, 28), strict=True)
            for n in range(6) for tool, count in (("B1", own), ("C1", theirs))
        ]  # fmt: skip
        blade, chops, wood, board = zip(*rows, strict=True)
        billets = Billets(blade, chops, [25.0] * len(rows), wood=wood, board=board)
        counts = chop_report(ChopTest(billets), rng=np.random.default_rng(0), against="C1").counts
        alone = fit_counts(billets, against="C1")
        return counts.by_wood[0].apart, *(
            "rests_on_even_counts" in [one.code for one in each.doubts] for each in (counts, alone)
        )

    assert told(16, 26) == (False, True, True)
    assert told(15, 26) == (True, False, True)
