"""A scatter that a few degrees of freedom tell is planned with as such: averaged over, and told."""

import json

import numpy as np
import pytest

from edgetest.stats.power import Power
from edgetest.wear.plan.pooled_blades import power_to_tell
from edgetest.wear.plan.scatter_known import averaged, scatter_ends, scatter_nodes

OLD = {"S1": 300, "S2": 340, "H1": 420, "H2": 470}


def study(tmp_path, name, blades, lives=()):
    """A study of lives, each blade of the heat treatment that its name begins with."""
    folder = tmp_path / name
    folder.mkdir()
    lines = [f'title = "{name}"', 'protocol = "manila_rope"', "invented = true"]
    lines += [f'[[heat_treatments]]\nid = "{each}"' for each in "SH"]
    lines += [f'[[blades]]\nid = "{blade}"\nheat_treatment = "{blade[0]}"\nbatch = "{blade}"'
              for blade in blades]  # fmt: skip
    (folder / "study.toml").write_text("\n".join(lines), encoding="utf-8")
    rows = [f"{blade},{life}" for blade, life in dict(lives).items()]
    (folder / "log.csv").write_text("\n".join(["blade,life", *rows]) + "\n", encoding="utf-8")
    return folder


@pytest.fixture
def plan(run, tmp_path):
    def made(*asked):
        folder, old = tmp_path / "new", tmp_path / "old"
        if not old.exists():
            study(tmp_path, "new", [f"{side}{n}" for side in "SH" for n in range(4)])
            study(tmp_path, "old", OLD, OLD)
        status, told, fault = run("plan", folder, "--history", old, *asked)
        assert status == 0, fault
        return json.loads(told) if "--json" in asked else told

    return made


def test_the_blades_that_a_plan_asks_for_are_averaged_over_the_scatter(plan):
    found = plan("--json")
    known, sd = found["scatter_known"], found["sd_blades"]
    df = known["df"]
    assert df < 2
    drawn = sd * np.sqrt(df / np.random.default_rng(1).chisquare(df, 40_000))
    by_number = {n: power_to_tell(n, 1.25, drawn).mean() for n in (4, 7, 8)}
    assert by_number[7] < 0.8 < by_number[8]
    assert (found["blades"], known["blades_at_middle"]) == (8, 4)
    assert known["as_planned"] == pytest.approx(by_number[4], abs=0.02)
    assert found["as_planned"]["power"] == pytest.approx(power_to_tell(4, 1.25, sd))
    ends = np.quantile(drawn, [0.025, 0.975])
    assert [known["low"], known["high"]] == pytest.approx(ends, rel=0.1)
    assert (found["blades_low"], found["blades_high"]) == (2, None)


def test_the_words_carry_the_interval_and_both_chances(plan):
    said = plan()
    assert "80 %: 8 blades of each heat treatment, averaged over how far blades may scatter" in said
    assert (
        "worth 1.5 degrees of freedom, leaves 3.6 % to 83 % open (95 % interval), which takes from "
        "2 to more than 200 blades; 4 at its middle, 7.5 %."
    ) in said
    assert (
        "own 4 blades of each the chance is 94 % at the middle of the scatter, 66 % averaged over "
        "it."
    ) in said


def test_a_scatter_that_is_given_stands_whatever_the_history_tells(plan):
    found = plan("--sd", "0.1", "--json")
    assert (found["scatter_known"], found["blades_low"], found["blades_high"]) == (None,) * 3
    assert "averaged" not in plan("--sd", "0.1")


def test_shares_are_quantiles_of_the_chi_square():
    assert scatter_ends(4.0) == pytest.approx([(4 / 11.143) ** 0.5, (4 / 0.4844) ** 0.5], rel=1e-3)
    nodes = scatter_nodes(3.0, 4001)
    assert nodes[2000] == pytest.approx((3 / 2.366) ** 0.5, rel=1e-3)
    assert (np.diff(nodes) > 0).all()


def test_a_mean_of_chances_has_their_standard_error():
    found = averaged([Power(0.2, 0.03, "simulated", 4.0, "t"), Power(0.6, 0.04, "exact", 4.0, "t")])
    assert (found.value, found.stderr, found.how) == (0.4, 0.025, "simulated")
    exact = [Power(0.2, 0.0, "exact", 4.0, "t"), Power(0.4, 0.0, "exact", 4.0, "t")]
    assert averaged(exact).how == "exact"
