"""Published counts through `edgetest chop --json`: one rate, two rates, counts that scatter.

One rate (137 in 24.19893) and two rates (11 in 800, 21 in 3011): R's documentation of
poisson.test. Faults in 32 rolls of cloth: Bissell, Biometrika 59 (1972) 435-441, data as in
R's boot::cloth; quasi-Poisson dispersion 2.194. Rolls are blades here, faults their chips.
"""

import pytest
from numpy.testing import assert_allclose
from scipy.stats import chi2

from tests.reference.test_chop_counts import CLOTH

HEAD = "blade,kind,order,chops,width_mm,thickness_mm,chips_count\n"


def told(folder, answer, blades, *, treatments=False):
    """The command's answer; a blade is its chops, its length of edge (mm) and its new chips."""
    toml = 'title = "Counts (published)"\nprotocol = "billet_chop"\n'
    toml += "".join(f'[[heat_treatments]]\nid = "of {b}"\n' for b in blades if treatments)
    for name, (_, length, _) in blades.items():
        toml += f'[[blades]]\nid = "{name}"\nedge_length_mm = {length!r}\n'
        toml += f'heat_treatment = "of {name}"\n' if treatments else ""
    rows = [f"{name},inspection,,,,,0" for name in blades]
    rows += [f"{name},billet,1,{chops},50,50," for name, (chops, _, _) in blades.items()]
    rows += [f"{name},inspection,,,,,{chips}" for name, (_, _, chips) in blades.items()]
    (folder / "study.toml").write_text(toml, encoding="utf-8")
    (folder / "chops.csv").write_text(HEAD + "\n".join(rows) + "\n", encoding="utf-8")
    return answer("chop", folder)


def new_chips(document):
    (found,) = [d for d in document["damage"] if (d["when"], d["kind"]) == ("during", "chips")]
    return found


def test_one_rate(tmp_path, answer):
    (blade,) = new_chips(told(tmp_path, answer, {"A": (50, 2419.893, 137)}))["blades"]
    rate = blade["per_100_mm"]
    assert_allclose(
        [rate["value"], rate["low"], rate["high"]], [5.661407, 4.753125, 6.692709], atol=6e-7
    )


def test_two_rates_of_one_tool_each(tmp_path, answer):
    blades = {"B": (3011, 100.0, 21), "A": (800, 100.0, 11)}
    document = told(tmp_path, answer, blades, treatments=True)
    (chips,) = [row for row in document["treatments"] if row["quantity"].startswith("chips")]
    assert (chips["first"], chips["second"], chips["scope"]) == ("of A", "of B", "tools")
    ratio = chips["ratio"]
    assert_allclose(
        [ratio["value"], ratio["low"], ratio["high"]], [1.971488, 0.8584264, 4.277266], rtol=4e-7
    )


def test_faults_in_cloth_scatter_more_than_chance(tmp_path, answer):
    rolls = {f"R{i}": (50, float(100 * x), int(y)) for i, (x, y) in enumerate(CLOTH)}
    found = new_chips(told(tmp_path, answer, rolls))
    assert found["p_blades_differ"] == pytest.approx(chi2.sf(31 * 2.194, 31), rel=0.02)
    pooled = found["pooled_per_100_mm"]
    faults, metres = CLOTH.sum(axis=0)[::-1]
    assert pooled["value"] == pytest.approx(faults / metres, rel=1e-9)
    # Wider than by chance, about as much as the quasi-Poisson interval.
    assert (pooled["high"] / pooled["low"]) ** 0.5 == pytest.approx(
        2.718281828 ** (1.96 * (2.194 / faults) ** 0.5), rel=0.06
    )


def test_the_pooled_rate_is_that_of_the_negative_binomial_fit(tmp_path, answer):
    """Rate 1.5105 (1.276 to 1.788) by glm.nb in R's MASS, theta 8.694; ours is 3 % wider."""
    rolls = {f"R{i}": (50, float(100 * x), int(y)) for i, (x, y) in enumerate(CLOTH)}
    pooled = new_chips(told(tmp_path, answer, rolls))["pooled_per_100_mm"]
    assert pooled["value"] == pytest.approx(1.5105, rel=1e-3)
    assert 1.276 * 0.97 < pooled["low"] <= 1.276
    assert 1.788 <= pooled["high"] < 1.788 * 1.03
