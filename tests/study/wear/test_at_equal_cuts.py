"""What a log answers at equal cuts: beside the lives, in their place, and when it leads."""

import numpy as np
import pandas as pd
import pytest

import edgetest as et
from edgetest.errors import UnusableInput

CUTS = (0, 25, 50, 100, 200)


def worn(lives, *, stop=None, column="edge_width_um", treatments=None):
    """An invented log: widths from 2 to 12 µm at each blade's life, exact to 1 %."""
    rng = np.random.default_rng(5)
    rows = []
    for i, life in enumerate(lives):
        treatment = treatments[i] if treatments else ("soft", "hard")[i % 2]
        for n in CUTS:
            if stop is not None and n > stop.get(i, np.inf):
                continue
            width = np.sqrt(4 + 140 * n / life) * np.exp(0.01 * rng.standard_normal())
            rows.append({"blade": f"B{i}", "heat_treatment": treatment, "cuts": n, column: width})
    return pd.DataFrame(rows)


LIVES = [100, 150, 110, 165, 90, 135]


def test_equal_cuts_stand_beside_lives_that_were_reached():
    found = et.compare(worn(LIVES), limit=12)
    at = found.compared.at_cuts
    assert (at.cuts, at.leads) == (200, False)
    assert at.ratio.estimate == pytest.approx(np.sqrt((4 + 28000 / 150) / (4 + 280)), rel=0.02)
    assert at.verdict == "second"
    assert "At 200 cuts the edge of hard is 0." in found.words()
    assert found.headline.answer[0].startswith("Hard lasts")
    assert found.comparison_to_dict()["at_cuts"]["ratio"]["estimate"] == at.ratio.estimate
    # The log width runs there as 70 n / life over the width squared, 0.49, times the log cuts.
    assert at.comparison.practical.margin == pytest.approx(1.1**0.49 - 1, rel=0.05)
    assert "by more than 4.9 % in edge width (by the curves 10 % of a life)." in found.words()


def test_without_a_limit_equal_cuts_answer():
    found = et.compare(worn(LIVES))
    assert found.comparison is None
    assert found.summary().startswith("At 200 cuts the edge of hard is 0.")
    assert found.compared.at_cuts.leads
    codes = [one.code for one in found.doubts]
    assert "lives_not_compared" in codes
    assert "no_comparison" not in codes


def test_equal_cuts_lead_where_lives_lie_out_of_reach():
    found = et.compare(worn(LIVES), limit=60)
    assert found.compared.at_cuts.leads
    assert found.headline.answer[0].startswith("At 200 cuts the edge of hard is 0.")


def test_cuts_are_those_asked_for_and_a_blade_stopped_before_is_named():
    found = et.compare(worn(LIVES, stop={0: 50}), limit=12, at_cuts=100)
    assert found.compared.at_cuts.cuts == 100
    groups = {g.treatment: g.blades for g in found.compared.at_cuts.comparison.groups}
    assert groups["soft"] == ("B2", "B4")
    where = [one.where.blade for one in found.doubts if one.code == "not_at_these_cuts"]
    assert where == ["B0"]


@pytest.mark.parametrize("cuts", [900, -5])
def test_cuts_that_nobody_reached_are_refused(cuts):
    with pytest.raises(UnusableInput, match="the last cuts that all reached are 200"):
        et.compare(worn(LIVES), limit=12, at_cuts=cuts)


def test_the_control_blade_takes_its_drift_out_and_is_no_side():
    log = worn([*LIVES, 120, 120], treatments=["soft", "hard"] * 3 + ["", ""])
    log["block"] = log["blade"].map({f"B{i}": f"roll {i // 4}" for i in range(8)})
    log.loc[log["blade"] == "B7", "blade"] = "B6"
    log.loc[(log["blade"] == "B6") & (log.index % 10 < 5), "block"] = "roll 0"
    found = et.compare(log, limit=12, control="B6")
    assert [g.treatment for g in found.compared.at_cuts.comparison.groups] == ["soft", "hard"]


def card(totals):
    """An invented log of card cut in ten cycles that fall alike."""
    share = 0.93 ** np.arange(10)
    rng = np.random.default_rng(2)
    rows = [
        {"blade": f"B{i}", "heat_treatment": ("soft", "hard")[i % 2], "cuts": k + 1,
         "card_mm": total * share[k] / share.sum() * np.exp(0.01 * rng.standard_normal())}
        for i, total in enumerate(totals)
        for k in range(10)
    ]  # fmt: skip
    return pd.DataFrame(rows)


def test_card_totals_are_compared_blade_by_blade():
    found = et.compare(card([100, 130, 104, 136, 96, 125]))
    first, all_ = found.compared.totals
    assert (first.cuts, all_.cuts) == (3, 10)
    assert all_.ratio.estimate == pytest.approx(1.303, rel=0.02)
    assert all_.verdict == "second"
    assert "In the first 10 cycles together hard cuts 1.3" in found.words()


@pytest.mark.parametrize("law", ["falling_power", "no such law"])
def test_a_law_of_the_wrong_direction_is_refused(law):
    with pytest.raises(UnusableInput, match="choose one of wedge, saturating"):
        et.fit(worn(LIVES), limit=12, law=law)


def test_law_and_limit_of_fresh_are_used():
    found = et.fit(worn(LIVES), limit_of_fresh=6.0, law="saturating")
    assert found.fit.law == "saturating"
    lives = {b.blade: b.life.cuts for b in found.fit.blades}
    assert lives["B0"] == pytest.approx(100, rel=0.15)  # 12 µm is 6 times the fresh 2 µm
